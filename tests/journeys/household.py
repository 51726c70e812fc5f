"""A household to tell stories about, and a device that speaks to its server without a screen.

The people and the pond are invented. Everything goes in through the API a phone uses.
"""

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4
from zoneinfo import ZoneInfo

import httpx

PASSPHRASE = "four small words here"
ZONE = ZoneInfo("Europe/Berlin")
EVENING = datetime(2026, 11, 24, 16, 45, tzinfo=ZONE)
"""A Tuesday at dusk: covers, buffer and heater are due, the sun is down."""
MORNING = datetime(2026, 11, 25, 8, 30, tzinfo=ZONE)
"""The morning after."""
POND = "long-pond"
CAPFUL_G = 40
SETTINGS: dict[str, Any] = {
    "name": "Long pond",
    "zone": "Europe/Berlin",
    "latitude": 52.5,
    "longitude": 13.4,
    "volume_l": 16_000,
    "inflow_l_per_day": 400,
    "source_kh_dkh": 0.5,
    "kh_target_dkh": 5,
    "capful_g": CAPFUL_G,
    "ring": [{"name": "Tove", "tel": "+49 30 23125 001"}],
}


_QUARTERS = {0.0: "", 0.25: "¼", 0.5: "½", 0.75: "¾"}


def in_words(grams: float) -> str:
    """An amount as the screen says it first: "2½ capfuls", "1 capful"; above four capfuls "180 g"."""
    capfuls = grams / CAPFUL_G
    if capfuls > 4:
        return f"{grams:.0f} g"
    text = f"{int(capfuls) or ''}{_QUARTERS[capfuls % 1]}"
    return f"{text} {'capful' if capfuls <= 1 else 'capfuls'}"


class Caller:
    """A signed-in device without a screen. `url` is the server's; `now` its clock, for the device's own."""

    def __init__(self, url: str, now: Any) -> None:
        self.url, self.now, self.device = url, now, str(uuid4())
        self.http = httpx.Client(base_url=url, headers={"Origin": url}, timeout=20)
        self.person = ""

    def begin(self, name: str = "Marit") -> "Caller":
        """Begin the household as its first person."""
        return self._enter("/api/people/first", name)

    def sign_in(self, name: str = "Marit") -> "Caller":
        """Sign in as somebody who is there already."""
        return self._enter("/api/sign-in", name)

    def _enter(self, path: str, name: str) -> "Caller":
        told = {"name": name, "passphrase": PASSPHRASE, "device": self.device, "device_label": "A caller"}
        self.person = self.http.post(path, json=told).raise_for_status().json()["person"]["id"]
        return self

    def entry(self, kind: str, at: datetime | None = None, **fields: Any) -> dict[str, Any]:
        """An entry of this device, `at` (now) in the pond's zone."""
        here = (at or self.now()).astimezone(ZONE)
        envelope = {"id": str(uuid4()), "v": 1, "pond": POND, "kind": kind, "happened_at": here.isoformat()}
        made = {
            "zone": ZONE.key,
            "local_date": here.date().isoformat(),
            "recorded_at": here.astimezone(UTC).isoformat(),
        }
        return {**envelope, **made, "device": self.device, "author": self.person, **fields}

    def send(self, *entries: dict[str, Any], **more: Any) -> dict[str, Any]:
        """One call of POST /api/sync from the beginning of the log; the answer."""
        asked = {
            "device": self.device,
            "device_now": self.now().isoformat(),
            "app_version": "caller",
            "epoch": None,
            "cursor": 0,
            "entries": entries,
            "want_plan": False,
        }
        return self.http.post("/api/sync", json={**asked, **more}).raise_for_status().json()

    def keep(self, *entries: dict[str, Any]) -> None:
        """Send entries that must be accepted, each of them."""
        verdicts = self.send(*entries)["verdicts"]
        assert [one["verdict"] for one in verdicts] == ["accepted"] * len(entries), verdicts

    def log(self, *kinds: str) -> list[dict[str, Any]]:
        """The server's whole log, in its order; only these kinds when any are named."""
        answer = self.send()
        logged = answer["entries"]
        while answer["more"]:
            answer = self.send(cursor=answer["cursor"], epoch=answer["epoch"])
            logged += answer["entries"]
        return [one for one in logged if not kinds or one["entry"]["kind"] in kinds]

    def plan(self) -> dict[str, Any]:
        """The server's plan as it stands; it comes with the end of the log, its pages sometimes a moment later."""
        answer = self.send(want_plan=True)
        while answer["more"] or answer["plan"]["follows"]:
            answer = self.send(cursor=answer["cursor"], epoch=answer["epoch"], want_plan=True)
        return answer["plan"]

    def job(self, standing_job: str, slot: str = "dusk", day: int = 0) -> dict[str, Any]:
        """A job of the plan's day (0 is today)."""
        jobs = self.plan()["days"][day]["jobs"]
        found = [one for one in jobs if (one["standing_job"], one["slot"]) == (standing_job, slot)]
        assert len(found) == 1, f"{standing_job}/{slot}: {found}"
        return found[0]

    def set_up(self, **pond: Any) -> None:
        """The pond and the starter's standing jobs, as the first start sets them; `pond`: fields other than ours."""
        long_ago = self.now() - timedelta(days=40)
        starter = self.plan()["starter"]
        fields = {name: value for name, value in {**SETTINGS, **pond}.items() if value is not None}
        mine = [{"target": "pond", "field": name, "value": value} for name, value in fields.items()]
        heater = {"target": "job/heater", "field": "setting_c", "value": 18.5}
        self.keep(*(self.entry("set", long_ago, **one, effective_from=None) for one in [*mine, *starter, heater]))

    def live_three_weeks(self) -> None:
        """Three weeks of readings and evening doses up to yesterday, and this morning's covers off.

        The cartridges were agitated eight days ago: tomorrow they are due.
        """
        evening = self.now().astimezone(ZONE).replace(hour=18, minute=5, second=0, microsecond=0)
        entries = []
        for ago in range(21, 0, -1):
            at = evening - timedelta(days=ago)
            if ago % 3 == 0:
                value = 4.5 if ago % 2 else 5.0
                entries.append(self.reading(value, at - timedelta(minutes=5)))
            dose = {"amount_g": 2.0 * CAPFUL_G, "substance": "sodium_bicarbonate"}
            entries.append(self.tick("buffer", "dusk", at, **dose))
            entries.append(self.tick("cover", "on", at + timedelta(minutes=4)))
        entries.append(self.tick("agitate", "midday", evening - timedelta(days=8, hours=6)))
        entries.append(self.tick("cover", "off", self.now().astimezone(ZONE).replace(hour=8, minute=20)))
        self.keep(*[one for one in entries if datetime.fromisoformat(one["happened_at"]) <= self.now()])

    def tick(self, standing_job: str, slot: str, at: datetime, **more: Any) -> dict[str, Any]:
        """A job ticked on the day it was due."""
        due_on = at.astimezone(ZONE).date().isoformat()
        return self.entry("tick", at, standing_job=standing_job, due_on=due_on, slot=slot, **more)

    def reading(self, kh_dkh: float, at: datetime | None = None) -> dict[str, Any]:
        """KH of the pond as the kit reads."""
        return self.entry("reading", at, quantity="kh_dkh", value=kh_dkh, step=0.5)

    def close(self) -> None:
        self.http.close()
