"""A keeper's hand-over, made over the wire, and the phone of a neighbour who comes in by its link."""

from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

import httpx

from evenwater.domain.rounds.standing_jobs import STARTER, as_settings

JO, KIM = str(UUID(int=71 << 64)), str(UUID(int=72 << 64))
DAILY = ("main/cover", "main/feed", "main/buffer", "main/look")
CEILING = {"pond": "main", "feed_g_per_day": 40, "buffer_g_per_day": 60}


class Writes:
    """Somebody's device: writes entries and sends them."""

    def __init__(self, client: httpx.AsyncClient, person: str, device: str) -> None:
        self.client, self.person, self.device = client, person, device
        self.cursor, self.epoch = 0, None

    def entry(self, kind: str, at: datetime, *, pond: str = "main", **fields: Any) -> dict[str, Any]:
        """An entry as this device would write it, in UTC."""
        stamp = at.isoformat()
        when = {"happened_at": stamp, "recorded_at": stamp, "local_date": at.date().isoformat(), "zone": "UTC"}
        who = {"id": str(uuid4()), "v": 1, "pond": pond, "kind": kind, "device": self.device, "author": self.person}
        return who | when | fields

    def tick(self, at: datetime, job: str, slot: str = "day", **fields: Any) -> dict[str, Any]:
        return self.entry("tick", at, standing_job=job, due_on=at.date().isoformat(), slot=slot, **fields)

    async def call(self, *entries: Any, now: datetime, **more: Any) -> httpx.Response:
        asked = {"device": self.device, "device_now": now.isoformat(), "app_version": "test", "epoch": self.epoch}
        asked |= {"cursor": self.cursor, "entries": list(entries), "want_plan": False}
        return await self.client.post("/api/sync", json=asked | more)

    async def sync(self, *entries: Any, now: datetime, **more: Any) -> dict[str, Any]:
        answer = await self.call(*entries, now=now, **more)
        assert answer.status_code == 200, answer.text
        told = answer.json()
        self.cursor, self.epoch = told["cursor"], told["epoch"]
        return told

    async def verdicts(self, *entries: Any, now: datetime, **more: Any) -> list[str]:
        """What became of each: "accepted", or the code of its refusal."""
        told = await self.sync(*entries, now=now, **more)
        return [one.get("code", one["verdict"]) for one in told["verdicts"]]


def pond_settings(writer: Writes, at: datetime, pond: str = "main", **settings: Any) -> list[dict[str, Any]]:
    """The entries that settle a pond with the starter's jobs."""
    usual = {"volume_l": 20_000, "capful_g": 27, "zone": "UTC", "feed_g_per_day": 100} | settings
    found = [
        writer.entry("set", at, pond=pond, target="pond", field=name, value=value) for name, value in usual.items()
    ]
    for one in (setting for job in STARTER for setting in as_settings(job)):
        found.append(writer.entry("set", at, pond=pond, target=one.target, field=one.field, value=one.value))
    return found


def hand_over(
    writer: Writes,
    at: datetime,
    begins_on: date,
    days: int = 10,
    *,
    name: str = "autumn",
    pond: str = "main",
    **more: Any,
) -> list[dict[str, Any]]:
    """The entries that make a hand-over, as the keeper's form writes them: one for each field."""
    fields: dict[str, Any] = {
        "begins_on": begins_on.isoformat(),
        "ends_on": (begins_on + timedelta(days=days - 1)).isoformat(),
        "helpers": [{"id": JO, "name": "Jo", "tel": "0123 456"}],
        "jobs": list(DAILY),
        "ceilings": [CEILING],
        "ring": [{"name": "Marit", "tel": "+32 470 00 00"}],
    }
    target = f"hand-over/{name}"
    return [
        writer.entry("set", at, pond=pond, target=target, field=field, value=value)
        for field, value in (fields | more).items()
    ]


async def make_link(keeper: httpx.AsyncClient, helper: str = JO, name: str = "autumn") -> dict[str, Any]:
    answer = await keeper.post(f"/api/hand-overs/{name}/links", json={"helper": helper})
    assert answer.status_code == 201, answer.text
    return answer.json()


async def use_phone(client: httpx.AsyncClient, secret: str, device: str | None = None) -> Writes:
    """Tap "Use this phone"."""
    device = device or str(uuid4())
    asked = {"secret": secret, "device": device, "device_label": "Jo's phone"}
    answer = await client.post("/api/helper/bind", json=asked)
    assert answer.status_code == 200, answer.text
    return Writes(client, answer.json()["person"]["id"], device)


async def plan_of(phone: Writes, now: datetime) -> dict[str, Any]:
    told = await phone.sync(now=now, want_plan=True)
    while told["plan"]["follows"]:
        told = await phone.sync(now=now, want_plan=True)
    return told["plan"]


def jobs_of(plan: dict[str, Any], on: date) -> dict[str, dict[str, Any]]:
    (day,) = [one for one in plan["days"] if one["date"] == on.isoformat()]
    return {job["standing_job"]: job for job in day["jobs"]}
