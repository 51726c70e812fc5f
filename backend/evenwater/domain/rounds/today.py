"""What a device does with a plan, and no other arithmetic. The browser's copy: frontend/domain/today.js.

(a) due or late, from window and clock; (b) done, not done or taken back, from entries; (c) a job that comes so many
days after it was done moves when it is done; (d) an amount follows a reading the plan has not seen, less what was given
since; (e) held back when the day's limit leaves nothing; (f) held back while the power is out or water runs in, where
the job says so; (g) a helper's bag stays shut when somebody gave of the same since the date it is due.

Both copies answer every case of tests/reference/rounds/device_cases.json alike, to the last bit: keep the order of
operations.
"""

from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta
from itertools import pairwise
from math import floor
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.entries import Dose, Feed, NotDone, Reading, Tick
from evenwater.domain.fold import Seen, fold, job_key
from evenwater.domain.rounds.held.events import power_out, water_running
from evenwater.domain.rounds.jobs import Chart, Day, Job

NowState = Literal["upcoming", "due", "late", "lapsed", "done", "not_done", "stood_down", "held_back", "not_known"]
POWER_OUT_REASON = "The power is out: this waits until it is back."
GIVEN_REASON = "Given today already, by somebody: leave this bag shut."
WATER_RUNNING_REASON = "Water is running in: this waits until it is shut off."
_A_DAY = timedelta(hours=24)
_SLACK = 1e-9


class JobNow(Struct, frozen=True):
    """A job as it stands this moment. `given_g` was given in the last 24 h; `answers` are the entries about it.

    Ponds have jobs of the same `id`; `pond` and `id` together name one.
    """

    pond: str
    id: str
    state: NowState
    amount_g: float | None
    reason: str
    given_g: float | None
    answers: tuple[str, ...]


class Amount(Struct, frozen=True):
    """What to give, and why nothing if nothing."""

    amount_g: float
    given_g: float
    held: str | None
    enough: str | None


def round_now(
    days: Sequence[Day], entries: Iterable[Seen], log_seq: int, good_until: datetime, now: datetime, on: date
) -> list[JobNow]:
    """The round of the date `on` as it stands at `now`, in walking order.

    Args:
        days: The plan's days.
        entries: All this device has, confirmed or not, in any order.
        log_seq: The last entry the plan has counted.
        good_until: Past it only fixed jobs stand, without amounts.
        now: The corrected clock.
        on: Which day's round.
    """
    facts = fold(entries).facts
    fresh = now <= good_until
    jobs = jobs_on(days, facts, log_seq, on)
    return [job_now(job, facts, log_seq, now, fresh) for job in jobs if fresh or job.fixed]


def jobs_on(days: Sequence[Day], facts: Sequence[Seen], log_seq: int, on: date) -> list[Job]:
    """The jobs of a date, with those moved that were done since the plan was made."""
    moved = _moved(days, facts, log_seq)
    jobs = [
        job
        for day in days
        if day.date == on
        for job in day.jobs
        if _group(job) not in moved or _answered_on(job, facts, on)
    ]
    arrived = [job for group in moved.values() for job in group if job.due_on == on]
    here = {(known.pond, known.id) for known in jobs}
    return jobs + [job for job in arrived if (job.pond, job.id) not in here]


def _group(job: Job) -> tuple[str, str, str]:
    return job.pond, job.standing_job, job.slot


def _answered_on(job: Job, facts: Sequence[Seen], on: date) -> bool:
    return any(one.on == on for one in _answers(job, facts))


def _moved(days: Sequence[Day], facts: Sequence[Seen], log_seq: int) -> dict[tuple[str, str, str], list[Job]]:
    """For each job done since the plan was made: the occurrences it has instead of the plan's."""
    moved: dict[tuple[str, str, str], list[Job]] = {}
    first: dict[tuple[str, str, str], Job] = {}
    for day in days:
        for job in day.jobs:
            if job.after_done_days is not None and job.next_windows is not None:
                first.setdefault(_group(job), job)
    for group, job in first.items():
        done_on = _done_since_plan(job, facts, log_seq)
        if done_on is not None and job.after_done_days and job.next_windows:
            moved[group] = _redated(job, done_on, job.after_done_days, job.next_windows)
    return moved


def _done_since_plan(job: Job, facts: Sequence[Seen], log_seq: int) -> date | None:
    dates = [
        one.on
        for one in facts
        if not _counted(one, log_seq)
        and isinstance(one.entry, Tick)
        and (one.entry.pond, one.entry.standing_job, one.entry.slot) == _group(job)
    ]
    return max(dates, default=None)


def _redated(job: Job, done_on: date, after_days: int, windows: dict[date, tuple[datetime, datetime]]) -> list[Job]:
    jobs: list[Job] = []
    due_on = done_on + timedelta(days=after_days)
    last = max(windows)
    while due_on <= last:
        if due_on in windows:
            opens_at, closes_at = windows[due_on]
            key = f"{job.standing_job}/{due_on.isoformat()}/{job.slot}"
            jobs.append(replace(job, id=key, due_on=due_on, opens_at=opens_at, closes_at=closes_at))
        due_on += timedelta(days=after_days)
    return jobs


def _counted(one: Seen, log_seq: int) -> bool:
    return one.seq is not None and one.seq <= log_seq


def _answers(job: Job, facts: Sequence[Seen]) -> list[Seen]:
    # Nearly every entry is of another job: no key is made of it.
    return [
        one
        for one in facts
        if (isinstance(one.entry, Tick) or isinstance(one.entry, NotDone))  # noqa: SIM101 - a union takes thrice as long
        and one.entry.standing_job == job.standing_job
        and one.entry.pond == job.pond
        and job_key(one.entry) == job.id
    ]


def job_now(job: Job, facts: Sequence[Seen], log_seq: int, now: datetime, fresh: bool) -> JobNow:
    """One job as it stands: (a), (b) and (d) to (g). `fresh` is False past the plan's end."""
    answers = _answers(job, facts)
    ids = tuple(one.entry.id for one in answers)
    if any(isinstance(one.entry, Tick) for one in answers):
        return JobNow(job.pond, job.id, "done", None, job.reason, None, ids)
    if answers:
        return JobNow(job.pond, job.id, "not_done", None, job.reason, None, ids)
    if job.state != "open":
        return JobNow(job.pond, job.id, job.state, None, job.reason, None, ids)
    state = _by_clock(job, now)
    if state == "lapsed":
        return JobNow(job.pond, job.id, state, None, job.reason, None, ids)
    held = _held_by_event(job, facts, now) if state in ("due", "late") else None
    if held is not None:
        return JobNow(job.pond, job.id, "held_back", None, held, None, ids)
    if job.bag is not None:
        return _bag_now(job, state, facts, ids)
    if job.chart is None or job.unrounded_g is None or not fresh:
        return JobNow(job.pond, job.id, state, None, job.reason, None, ids)
    amount = amount_now(job.chart, job, facts, log_seq, now)
    if amount.held is not None:
        return JobNow(job.pond, job.id, "held_back", 0.0, amount.held, amount.given_g, ids)
    if amount.enough is not None:
        return JobNow(job.pond, job.id, "stood_down", 0.0, amount.enough, amount.given_g, ids)
    return JobNow(job.pond, job.id, state, amount.amount_g, job.reason, amount.given_g, ids)


def _bag_now(job: Job, state: NowState, facts: Sequence[Seen], ids: tuple[str, ...]) -> JobNow:
    """(g): a bag is given whole, or not at all where that would be more than the most for its date."""
    given_g = _given_since(job, facts)
    bag_g = job.feed_g if job.shape == "feed" else job.amount_g
    if given_g > 0 and given_g + (bag_g or 0.0) > (job.limit_g_24h or 0.0) + _SLACK:
        return JobNow(job.pond, job.id, "held_back", 0.0, GIVEN_REASON, given_g, ids)
    return JobNow(job.pond, job.id, state, job.amount_g, job.reason, given_g, ids)


def _given_since(job: Job, facts: Sequence[Seen]) -> float:
    """Grams of food, or of buffer of any kind, that the pond was given since the date the job is due."""
    given_g = 0.0
    for one in facts:
        entry = one.entry
        if entry.pond != job.pond or one.on < job.due_on:
            continue
        if job.shape == "feed":
            given_g += (entry.feed_g or 0.0) if isinstance(entry, Tick | Feed) else 0.0
        else:
            given_g += (entry.amount_g or 0.0) if isinstance(entry, Tick | Dose) else 0.0
    return given_g


def _by_clock(job: Job, now: datetime) -> NowState:
    if now < job.opens_at:
        return "upcoming"
    if now <= job.closes_at:
        return "due"
    return "lapsed" if job.lapses_at is not None and now >= job.lapses_at else "late"


def _held_by_event(job: Job, facts: Sequence[Seen], now: datetime) -> str | None:
    """(f): why it waits for what goes on at the pond to end."""
    if "power_out" in job.held_while and power_out(facts, now) is not None:
        return POWER_OUT_REASON
    if "water_running" in job.held_while and water_running(facts, now, job.pond) is not None:
        return WATER_RUNNING_REASON
    return None


def amount_now(chart: Chart, job: Job, facts: Sequence[Seen], log_seq: int, now: datetime) -> Amount:
    """(d) and (e): the amount by the newest reading the plan has not counted, or by the plan.

    From a reading's amount everything given after it is taken off, whoever gave it and whether the plan knew; from the
    plan's amount, what the plan has not counted. Never more than the 24 h limit leaves.
    """
    doses = [(one, grams) for one, grams in _doses(job.pond, chart, facts) if one.at <= now]
    given = sum(grams for one, grams in doses if one.at > now - _A_DAY)
    ceiling = max(0.0, (job.limit_g_24h or 0.0) - given)
    reading = _newest_reading(job.pond, chart, facts, log_seq, now)
    if reading is None:
        if chart.no_reading_reason is not None:
            return Amount(0.0, given, chart.no_reading_reason, None)
        wanted = (job.unrounded_g or 0.0) - sum(grams for one, grams in doses if not _counted(one, log_seq))
    else:
        since, value = reading
        if chart.hold_below is not None and value < chart.hold_below.reading:
            return Amount(0.0, given, chart.hold_below.reason, None)
        wanted = charted(chart, value, 1) - sum(grams for one, grams in doses if one.at > since)
    wanted = max(0.0, wanted)
    if ceiling <= _SLACK:
        return Amount(0.0, given, chart.limit_reason, None)
    amount = rounded_g(wanted, ceiling, chart.capful_g)
    return Amount(amount, given, None, None if amount > 0 else chart.enough_reason)


def _doses(pond: str, chart: Chart, facts: Sequence[Seen]) -> list[tuple[Seen, float]]:
    """Every buffer dose with its grams as this chart's substance."""
    return [
        (one, one.entry.amount_g * chart.equal_g.get(one.entry.substance or "", 1.0))
        for one in facts
        if isinstance(one.entry, Tick | Dose) and one.entry.pond == pond and one.entry.amount_g is not None
    ]


def _newest_reading(
    pond: str, chart: Chart, facts: Sequence[Seen], log_seq: int, now: datetime
) -> tuple[datetime, float] | None:
    oldest = now - timedelta(hours=chart.good_for_h)
    for one in reversed(facts):
        if (
            isinstance(one.entry, Reading)
            and one.entry.pond == pond
            and one.entry.quantity == chart.quantity
            and one.entry.point == "pond"
            and one.at <= now
        ):
            return (one.at, one.entry.value) if one.at >= oldest and not _counted(one, log_seq) else None
    return None


def charted(chart: Chart, value: float, column: int) -> float:
    """A column of the chart at a reading: straight lines between rows, flat outside."""
    rows = chart.rows
    if value <= rows[0][0]:
        return rows[0][column]
    for low, high in pairwise(rows):
        if value <= high[0]:
            share = (value - low[0]) / (high[0] - low[0])
            return low[column] + share * (high[column] - low[column])
    return rows[-1][column]


def rounded_g(wanted_g: float, ceiling_g: float, capful_g: float | None) -> float:
    """Grams in whole quarter capfuls (whole grams without a capful): to the nearest, down where the limit binds."""
    unit = capful_g / 4 if capful_g else 1.0
    parts = floor(wanted_g / unit + 0.5)
    if wanted_g >= ceiling_g or parts * unit > ceiling_g + _SLACK:
        parts = floor(min(wanted_g, ceiling_g) / unit + _SLACK)
    return parts * unit
