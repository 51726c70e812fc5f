"""Pours this folder's story into an empty household, through the API a phone uses.

Days count from today (0), clock times are the pond's own; what would lie in the future is not sent. Each device signs
in and sends what was written on it. An entry's id follows from its place in the files and its moment, so the same story
poured on the same day has the same ids.
"""

import asyncio
import csv
import hashlib
import json
import secrets
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import httpx
from msgspec import Struct

from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.rounds.standing_jobs import STARTER, as_settings

from . import fish

HERE = Path(__file__).parent
BATCH = 200
_DAYS = frozenset({"starts_on", "fitted_on", "counted_on", "came_on"})
"""Fields of settings that hold a date; in the files a day of the story."""
EVENINGS = 14
"""How many evenings before today the household looks at its plan, so that forecasts were shown and can be judged."""
LOOKED_AT_TO_THE_END = 6
"""On how many of the last ones it waits for what the pages foretell: each costs half a second."""
_A_MOMENT_S = 0.3
Row = dict[str, str]


class NotTaken(Exception):
    """The server did not accept an entry of the story."""


class Draft(Struct, frozen=True):
    """An entry before anybody signed in: where it stands in the files, on which device, when, and what it says."""

    source: str
    device: str
    pond: str
    happened_at: datetime
    recorded_at: datetime
    says: dict[str, Any]

    @property
    def id(self) -> str:
        """A UUIDv7: the moment in milliseconds, then digits that follow from the source."""
        moment_ms = int(self.recorded_at.timestamp() * 1000)
        digits = int.from_bytes(hashlib.sha256(self.source.encode()).digest()[:10])
        return str(UUID(int=moment_ms << 80 | 7 << 76 | (digits >> 4 & 0xFFF) << 64 | 2 << 62 | digits >> 18))

    def entry(self, author: str, device: dict[str, Any]) -> dict[str, Any]:
        """The entry as this device would write it, its clock as wrong as it is."""
        ahead = timedelta(days=device["clock_ahead_days"])
        happened_at = self.happened_at + ahead
        return {
            "id": self.id,
            "v": 1,
            "pond": self.pond,
            "happened_at": happened_at.isoformat(timespec="milliseconds"),
            "local_date": happened_at.date().isoformat(),
            "zone": str(happened_at.tzinfo),
            "recorded_at": (self.recorded_at + ahead).isoformat(timespec="milliseconds"),
            "device": device["id"],
            "author": author,
            **self.says,
        }


async def pour(client: httpx.AsyncClient, now: datetime, set_clock: Callable[[datetime], None]) -> None:
    """Begin the household and send the whole story up to `now`, evening by evening towards its end.

    `set_clock` moves the server's clock, so that what it foretells on an evening is of that evening.

    Raises:
        NotTaken: an entry was not accepted.
        httpx.HTTPStatusError: a call was refused.
    """
    story = _json("pond.json")
    told, pictures = read_story(story, now)
    drafts = [draft for draft in told if draft.recorded_at <= now]
    client.headers["Origin"] = f"{client.base_url.scheme}://{client.base_url.netloc.decode()}"
    keeper = {"name": story["keeper"], "passphrase": secrets.token_urlsafe(24)}
    looks = [now - timedelta(days=ago) for ago in range(EVENINGS, -1, -1)]
    set_clock(looks[0])
    hands = [await _Hand.sign_in(client, keeper, device) for device in story["devices"]]
    before = datetime.min.replace(tzinfo=UTC)
    for look in looks:
        set_clock(look)
        for hand in hands:
            await hand.send(
                [one for one in drafts if one.device == hand.name and before < one.recorded_at <= look], look
            )
        await hands[0].look_at_plan(look, to_the_end=look in looks[-LOOKED_AT_TO_THE_END:])
        before = look
    wanted = {one for draft in drafts for one in draft.says.get("photos", ())}
    await hands[0].send_pictures({one: content for one, content in pictures.items() if one in wanted})


class _Hand:
    """A device that is signed in: its cookie, its author, how far it has read."""

    def __init__(self, client: httpx.AsyncClient, device: dict[str, Any], author: str) -> None:
        self._client, self._device, self._author = client, device, author
        self._cookies = dict(client.cookies)
        self._place: dict[str, Any] = {"epoch": None, "cursor": 0}
        self._tags: dict[str, str] = {}
        self.name: str = device["name"]

    @classmethod
    async def sign_in(cls, client: httpx.AsyncClient, keeper: dict[str, str], device: dict[str, Any]) -> "_Hand":
        # The first device begins the household; a cookie sent along would end the session it belongs to.
        path = "/api/sign-in" if client.cookies else "/api/people/first"
        client.cookies.clear()
        told = {**keeper, "device": device["id"], "device_label": device["label"]}
        signed_in = (await client.post(path, json=told)).raise_for_status().json()
        return cls(client, device, signed_in["person"]["id"])

    async def send(self, drafts: list[Draft], now: datetime) -> None:
        """Send what was written on this device."""
        for start in range(0, len(drafts), BATCH):
            entries = [one.entry(self._author, self._device) for one in drafts[start : start + BATCH]]
            answer = await self._call(now, entries, want_plan=False)
            for entry, verdict in zip(entries, answer["verdicts"], strict=True):
                if verdict["verdict"] != "accepted":
                    raise NotTaken(f"{entry}: {verdict}")

    async def send_pictures(self, pictures: dict[str, bytes]) -> None:
        """Send drawings by their sums, as the app sends photos."""
        self._sign()
        for photo_sum, content in pictures.items():
            headers = {"Content-Type": "image/jpeg"}
            (await self._client.put(f"/api/photos/{photo_sum}", content=content, headers=headers)).raise_for_status()

    async def look_at_plan(self, now: datetime, *, to_the_end: bool) -> None:
        """Fetch what is new, and the plan with it; `to_the_end`: wait for the pages that follow a moment later."""
        answer = await self._call(now, [], want_plan=True)
        while answer["more"] or (to_the_end and answer["plan"]["follows"]):
            await asyncio.sleep(_A_MOMENT_S)
            answer = await self._call(now, [], want_plan=True)

    async def _call(self, now: datetime, entries: list[dict[str, Any]], *, want_plan: bool) -> dict[str, Any]:
        call = {
            "device": self._device["id"],
            "device_now": (now + timedelta(days=self._device["clock_ahead_days"])).isoformat(),
            "app_version": "seed",
            **self._place,
            "entries": entries,
            "want_plan": want_plan,
            "plan_tags": self._tags,
        }
        self._sign()
        answer = (await self._client.post("/api/sync", json=call)).raise_for_status().json()
        self._place = {"epoch": answer["epoch"], "cursor": answer["cursor"]}
        self._tags |= _tags(answer["plan"]) if answer["plan"] else {}
        return answer

    def _sign(self) -> None:
        self._client.cookies.clear()
        self._client.cookies.update(self._cookies)


def _tags(plan: dict[str, Any]) -> dict[str, str]:
    """The tags of a plan's parts, so that what is known already is not sent again."""
    pages = {f"{page}/{one['pond']}": one["tag"] for page in ("water", "warmth", "book") for one in plan[page]}
    back = {f"back/{day['date']}": day["tag"] for day in plan["back"]}
    return pages | back | {day["date"]: day["tag"] for day in plan["days"]}


class Calendar(Struct, frozen=True):
    """Turns the files' days and clock times into moments: `today` is the civil date at the ponds."""

    today: date
    zone: ZoneInfo

    def on(self, day: str | int) -> date:
        """The date of a day of the story."""
        return self.today + timedelta(days=int(day))

    def dated(self, value: Any) -> Any:
        """A setting with the days of the story in it as dates."""
        if isinstance(value, list):
            return [self.dated(one) for one in value]
        if not isinstance(value, dict):
            return value
        return {
            name: self.on(one).isoformat() if name in _DAYS and isinstance(one, int) else self.dated(one)
            for name, one in value.items()
        }

    def moment(self, day: str | int, clock: str) -> datetime:
        """A clock time at the ponds."""
        return datetime.combine(self.on(day), time.fromisoformat(clock), self.zone)

    def draft(self, source: str, row: dict[str, Any], says: dict[str, Any]) -> Draft:
        """An entry of a row; one noted later than it happened says when."""
        happened_at = self.moment(row["day"], row["clock"])
        noted_at = self.moment(row["noted_day"], row["noted_clock"]) if row.get("noted_day") else happened_at
        return Draft(source, row["device"], row["pond"], happened_at, noted_at, says)


def read_story(story: dict[str, Any], now: datetime) -> tuple[list[Draft], dict[str, bytes]]:
    """(every entry of the files, oldest first; the pictures that go with them, by sum).

    Days count from the civil date of `now` at the ponds.
    """
    zone = ZoneInfo(story["zone"])
    calendar = Calendar(now.astimezone(zone).date(), zone)
    readings, slips = _readings(calendar)
    drafts = [*_first_settings(calendar, story), *_settings(calendar), *readings, *_round(calendar)]
    drafts += [*_water(calendar), *_kit(calendar), *_journal(calendar, slips)]
    of_fish, pictures = _fish(calendar)
    return sorted([*drafts, *of_fish], key=lambda draft: draft.recorded_at), pictures


def _fish(calendar: Calendar) -> tuple[list[Draft], dict[str, bytes]]:
    pictures: dict[str, bytes] = {}
    named = _table("fish.csv")
    colours = {row["id"]: row["colours"] for row in named}
    told = [
        *fish.register(named, calendar.today, calendar.dated),
        *fish.measures(_table("bowling.csv"), pictures, colours),
        *fish.days(_table("fish_days.csv")),
    ]
    return [calendar.draft(source, row, says) for source, row, says in told], pictures


def _first_settings(calendar: Calendar, story: dict[str, Any]) -> Iterator[Draft]:
    """The ponds as they were first set up, and their standing jobs; those of the starter keep what is not set here."""
    starter = {job.id: {one.field: one.value for one in as_settings(job)} for job in STARTER}
    since = {pond["id"]: pond["known_since"] for pond in story["ponds"]}
    wanted = [(pond["id"], "pond", {**pond["set"], "zone": story["zone"]}, {}) for pond in story["ponds"]]
    for job in _json("standing_jobs.json"):
        fields = starter.get(job["id"], {}) | job["set"]
        wanted.append((job["pond"], f"job/{job['id']}", fields, {"day": job["since"]} if "since" in job else {}))
    for pond, target, fields, known in wanted:
        for name, value in calendar.dated(fields).items():
            says = {"kind": "set", "target": target, "field": name, "value": value, "effective_from": None}
            yield calendar.draft(f"{pond}/{target}/{name}", {**since[pond], **known, "pond": pond}, says)


def _settings(calendar: Calendar) -> Iterator[Draft]:
    for nth, row in enumerate(_table("settings.csv")):
        from_day = calendar.on(row["from_day"]).isoformat() if row["from_day"] else None
        value = calendar.dated(json.loads(row["value"]))
        says = {"kind": "set", "target": row["target"], "field": row["field"], "value": value}
        yield calendar.draft(f"settings/{nth}", row, {**says, "effective_from": from_day})


def _readings(calendar: Calendar) -> tuple[list[Draft], dict[str, str]]:
    """The readings, one for each filled column, and the ids of those that have a name."""
    drafts: list[Draft] = []
    names: dict[str, str] = {}
    for source, nth, row in [
        (file, *line) for file in ("readings", "warmth") for line in enumerate(_table(f"{file}.csv"))
    ]:
        for quantity in (column for column in row if column in QUANTITIES and row[column]):
            says = {"kind": "reading", "quantity": quantity, "value": float(row[quantity]), "point": row["point"]}
            says["step"] = QUANTITIES[quantity].step
            drafts.append(calendar.draft(f"{source}/{nth}/{quantity}", row, says))
            names[row.get("name", "")] = drafts[-1].id
        if row.get("low_c"):
            forecast = {"on": calendar.on(row["day"]).isoformat(), "low_c": float(row["low_c"])}
            says = {"kind": "air_forecast", **forecast, "high_c": float(row["high_c"])}
            drafts.append(calendar.draft(f"{source}/{nth}/forecast", row, says))
    return drafts, names


def _round(calendar: Calendar) -> Iterator[Draft]:
    for nth, row in enumerate(_table("round.csv")):
        yield calendar.draft(f"round/{nth}", row, _answer(row, calendar.on(row["day"]).isoformat()))


def _water(calendar: Calendar) -> Iterator[Draft]:
    for nth, row in enumerate(_table("water.csv")):
        yield calendar.draft(f"water/{nth}", row, _WATER[row["kind"]](row))


def _kit(calendar: Calendar) -> Iterator[Draft]:
    for nth, row in enumerate(_table("kit.csv")):
        yield calendar.draft(f"kit/{nth}", row, _KIT[row["kind"]](row))


def _meter(row: Row) -> dict[str, Any]:
    shown = {name: float(row[name]) for name in ("hours", "volume_l") if row[name]}
    return {"kind": "meter", "kit": row["kit"], **shown}


_KIT = {
    "meter": _meter,
    "service": lambda row: {"kind": "service", "kit": row["kit"], "service": row["service"]},
    "change": lambda row: {"kind": "change", "kit": row["kit"], "text": row["words"], "jobs": row["jobs"].split()},
}


def _start_up(row: Row) -> dict[str, Any]:
    steps = [[float(part) for part in step.split(":")] for step in row["steps"].split(";")]
    return {"kind": "start_up", "steps": steps, "flow_l_per_min": float(row["flow_l_per_min"])}


_WATER = {"feed": lambda row: {"kind": "feed", "feed_g": float(row["feed_g"])}, "start_up": _start_up}


def _journal(calendar: Calendar, slips: dict[str, str]) -> Iterator[Draft]:
    for nth, row in enumerate(_table("journal.csv")):
        yield calendar.draft(f"journal/{nth}", row, _JOURNAL[row["kind"]](row, slips))


def _answer(row: Row, due_on: str) -> dict[str, Any]:
    about = {"standing_job": row["job"], "due_on": due_on, "slot": row["slot"]}
    if row["not_done_because"]:
        return {"kind": "not_done", **about, "reason": row["not_done_because"]}
    if row["amount_g"]:
        about |= {"amount_g": float(row["amount_g"]), "substance": "sodium_bicarbonate"}
    if row["setting_c"]:
        about |= {"setting_c": float(row["setting_c"])}
    return {"kind": "tick", **about}


def _look(row: Row, _: dict[str, str]) -> dict[str, Any]:
    wrong = row["wrong"].split()
    more = {"trouble": row["trouble"] or None, "text": row["words"] or None}
    return {"kind": "look", "all_well": not wrong, "wrong": wrong, **{k: v for k, v in more.items() if v}}


_JOURNAL = {
    "look": _look,
    "note": lambda row, _: {"kind": "note", "text": row["words"]},
    "dose": lambda row, _: {"kind": "dose", "substance": "sodium_bicarbonate", "amount_g": float(row["amount_g"])},
    "take_back": lambda row, slips: {"kind": "take_back", "entry": slips[row["takes_back"]]},
}


def _table(name: str) -> list[Row]:
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _json(name: str) -> Any:
    return json.loads((HERE / name).read_text(encoding="utf-8"))
