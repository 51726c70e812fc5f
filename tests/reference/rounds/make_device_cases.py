"""Writes device_cases.json: plans, entries in every state a phone may hold them, and the round that must come of it.

The expected rounds come from the Python fold; the browser's copy must agree with every one of them. Run this file again
after a change of `domain/rounds/today.py` or of what a plan holds, and read the difference before committing it.
"""

import random
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from uuid import UUID

import msgspec
from msgspec.structs import replace

from evenwater.domain.fold import Seen, fold
from evenwater.domain.read_entries import read_entry
from evenwater.domain.rounds.jobs import Job
from evenwater.domain.rounds.plan import make_plan
from evenwater.domain.rounds.standing_jobs import STARTER, as_settings
from evenwater.domain.rounds.today import round_now
from evenwater.domain.standing_job import ByRule, Measured, OnWeekdays, StandingJob, WhenTrue, Window

JOBS = (
    *(("cover", "off"), ("cover", "on"), ("heater", "dusk"), ("agitate", "midday")),
    *(("sweep", "day"), ("count", "day"), ("test", "day"), ("air", "day")),
)
FILE = Path(__file__).with_name("device_cases.json")
MADE_AT = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
CASES_PER_PLAN = 40
HELPED = "helped"
DAYS_KEPT = 9
# What the starter's jobs leave out: a calendar's rule, a condition that is not known, one that holds, one that is late.
OTHERS = (
    StandingJob(id="sweep", pond="", text="Sweep", recur=ByRule("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU,WE"), waits_days=2),
    StandingJob(id="count", pond="", text="Count the fish", recur=OnWeekdays(("sun",)), serious=True),
    StandingJob(id="test", pond="", text="Test", only_if=(Measured("tan_mg_n_per_l", "above", 0.5),)),
    StandingJob(
        id="air", pond="", text="Air", recur=WhenTrue(rest_days=2), only_if=(Measured("kh_dkh", "below", 9.0),)
    ),
)
FED = (
    StandingJob(
        id="food",
        pond="",
        text="Feed",
        shape="feed",
        windows={name: Window("midday", "08:00", "20:00") for name in ("day", "dusk")},
    ),
)
PERSON, DEVICE = str(UUID(int=2 << 64)), str(UUID(int=3 << 64))


class Writer:
    """Writes entries of one phone, numbered, with the place in time the server would give them."""

    def __init__(self) -> None:
        self.count = 0

    def write(self, kind: str, at: datetime, seq: int | None = None, **fields: object) -> Seen:
        self.count += 1
        entry = {
            "id": str(UUID(int=self.count)),
            "v": 1,
            "pond": "main",
            "kind": kind,
            "happened_at": at.isoformat(),
            "local_date": at.date().isoformat(),
            "zone": "UTC",
            "recorded_at": at.isoformat(),
            "device": DEVICE,
            "author": PERSON,
            **fields,
        }
        read = read_entry(msgspec.json.encode(entry))
        return Seen(read, seq, at, at.date())  # type: ignore[arg-type]


def ponds() -> dict[str, dict[str, object]]:
    """Settings of the ponds whose plans the cases use: the usual one, and each way it can be unusual."""
    usual = {"volume_l": 20_000, "capful_g": 27, "inflow_l_per_day": 600, "source_kh_dkh": 1, "zone": "UTC"}
    return {
        "usual": {**usual, "latitude": 51.0, "longitude": 4.0},
        "no capful": {**usual, "capful_g": None},
        "no volume": {"capful_g": 27, "zone": "UTC"},
        "potassium, tight limit": {**usual, "substance": "potassium_bicarbonate", "kh_rise_limit_dkh": 0.3},
        "never measured": {**usual, "kh_target_dkh": 6},
        "long unmeasured": {**usual, "kh_target_dkh": 6},
        HELPED: {**usual},
    }


def as_bag(job: Job, number: int) -> Job:
    """A job as a helper has it: buffer and food in bags."""
    if job.shape not in ("dose", "feed"):
        return job
    job = replace(job, state="open", chart=None, unrounded_g=None, bag=number, fixed=True, reason=f"Bag {number} of 9")
    if job.shape == "feed":
        return replace(job, feed_g=20.0, limit_g_24h=40.0)  # one of two meals
    return replace(job, amount_g=60.0, limit_g_24h=60.0)


def history(name: str, settings: dict[str, object], writer: Writer) -> list[Seen]:
    """Four weeks of a pond that loses about 0.3 °dKH a day and is measured every third day."""
    begun = MADE_AT - timedelta(days=28)
    written: list[Seen] = []

    def add(kind: str, at: datetime, **fields: object) -> None:
        written.append(writer.write(kind, at, len(written) + 1, **fields))

    for field, value in settings.items():
        if value is not None:
            add("set", begun, target="pond", field=field, value=value)
    for job in (*STARTER, *OTHERS, *(FED if name == HELPED else ())):
        for setting in as_settings(job):
            add("set", begun, target=setting.target, field=setting.field, value=setting.value)
    add("set", begun, target="job/heater", field="setting_c", value=19)
    add("set", begun, target="job/heater", field="setting_c", value=18.5, effective_from="2026-11-05")
    last_measured = {"never measured": -1, "long unmeasured": 8}.get(name, 27)
    for day in range(27):
        at = begun + timedelta(days=day)
        if day % 3 == 0 and day <= last_measured:
            add("reading", at, quantity="kh_dkh", value=5.0 - 0.5 * (day % 2), step=0.5)
        if day % 4:
            given = {"amount_g": 162.0, "substance": "sodium_bicarbonate"}
            add("tick", at + timedelta(minutes=20), standing_job="buffer", due_on=str(at.date()), slot="dusk", **given)
        if day == 20:
            add("tick", at, standing_job="agitate", due_on=str(at.date()), slot="midday")
    return written


def happenings(chance: random.Random, writer: Writer, log_seq: int, now: datetime, *, helped: bool) -> list[Seen]:
    """A handful of entries since, some confirmed, some counted by the plan, some neither, some taken back."""
    today = MADE_AT.date()
    written: list[Seen] = []
    for _ in range(chance.randrange(7)):
        at = now - timedelta(minutes=chance.choice((1, 5, 20, 55, 130, 600, 1435, 1441, 1700, 3000)))
        seq = chance.choice((None, None, log_seq - 2, log_seq, log_seq + 1, log_seq + 9))
        written.append(_happening(chance, writer, at, seq, today, helped=helped))
    for _ in range(chance.randrange(3)):
        if written:
            target = chance.choice(written).entry.id
            written.append(writer.write("take_back", now - timedelta(seconds=30), None, entry=target))
    return written


def _happening(
    chance: random.Random, writer: Writer, at: datetime, seq: int | None, today: date, *, helped: bool
) -> Seen:
    due_on = str(today + timedelta(days=chance.choice((0, 0, 0, -1, 1))))
    grams = chance.choice((0.0, 6.75, 27.0, 54.0, 100.0, 162.0, 600.0, 700.0))
    substance = chance.choice(("sodium_bicarbonate", "potassium_bicarbonate"))
    kind = chance.randrange(12 if helped else 10)
    if kind >= 10:
        food = chance.choice((0.0, 10.0, 20.0, 25.0, 40.0))
        if kind == 10:
            return writer.write("feed", at, seq, feed_g=food)
        return writer.write("tick", at, seq, standing_job="food", due_on=due_on, slot="day", feed_g=food)
    if kind == 0:
        return writer.write("dose", at, seq, amount_g=grams, substance=substance)
    if kind <= 3:
        value = chance.choice((0.5, 2.4, 2.5, 3.0, 4.0, 4.5, 5.0, 5.5, 6.5, 9.0, 25.0))
        point = chance.choice(("pond", "pond", "pond", "mains"))
        return writer.write("reading", at, seq, quantity="kh_dkh", value=value, point=point)
    if kind == 4:
        given = {"amount_g": grams, "substance": substance}
        return writer.write("tick", at, seq, standing_job="buffer", due_on=due_on, slot="dusk", **given)
    if kind == 8:
        return writer.write("power", at, seq, on=chance.random() < 0.25)
    if kind == 9:
        return writer.write("water_running", at, seq, running=chance.random() < 0.75)
    job, slot = chance.choice(JOBS)
    if job in ("agitate", "count"):
        due_on = chance.choice((due_on, "2026-11-04" if job == "agitate" else "2026-11-01"))
    if kind == 5:
        return writer.write("not_done", at, seq, standing_job=job, due_on=due_on, slot=slot, reason="rain")
    return writer.write("tick", at, seq, standing_job=job, due_on=due_on, slot=slot)


def build() -> dict[str, object]:
    """All plans and all cases, the same at every call."""
    plans: dict[str, object] = {}
    cases: list[dict[str, object]] = []
    for name, settings in ponds().items():
        chance, writer = random.Random(name), Writer()
        log = history(name, settings, writer)
        plan = make_plan(fold(log), len(log), {}, MADE_AT)
        days = tuple(
            replace(day, jobs=tuple(replace(job, workings=None) for job in day.jobs)) for day in plan.days[:DAYS_KEPT]
        )
        if name == HELPED:
            days = tuple(
                replace(day, jobs=tuple(as_bag(job, nth) for job in day.jobs)) for nth, day in enumerate(days, 1)
            )
        plans[name] = {"days": days, "log_seq": plan.log_seq, "good_until": plan.good_until}
        for nth in range(CASES_PER_PLAN):
            now = MADE_AT + timedelta(minutes=chance.choice((0, 1, 90, 330, 900, 1440, 4 * 1440, 8 * 1440)))
            on = chance.choice((now.date(), now.date(), MADE_AT.date(), now.date() + timedelta(days=1)))
            entries = happenings(chance, writer, plan.log_seq, now, helped=name == HELPED)
            cases.append(
                {
                    "name": f"{name} {nth}",
                    "plan": name,
                    "entries": entries,
                    "now": now,
                    "on": on,
                    "expect": round_now(days, entries, plan.log_seq, plan.good_until, now, on),
                }
            )
    return {"plans": plans, "cases": cases}


def written() -> bytes:
    """The file's content, one case a line."""
    built = build()
    plans = msgspec.json.encode(built["plans"])
    cases = b",\n".join(msgspec.json.encode(case) for case in built["cases"])  # type: ignore[attr-defined]
    return b'{"plans":' + plans + b',\n"cases":[\n' + cases + b"\n]}\n"


if __name__ == "__main__":
    FILE.write_bytes(written())
