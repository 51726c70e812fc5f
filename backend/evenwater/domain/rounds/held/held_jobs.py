"""What must not happen now: jobs held back, each with the reason and what that rests on.

A keeper may go ahead all the same and say why; a helper may not. What hangs on an event that may begin or end while a
device has no signal (the power, water running in) is named in `held_while` and judged on the device. How far buffer
may lift KH is judged in hold_back.py.
"""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Final

from msgspec.structs import replace

from evenwater.domain.fish.stock import Quarantine
from evenwater.domain.keeper_units import change_words, level_words
from evenwater.domain.rounds.amounts.feed_job import FAST_DROP_K, Hold, feed_job
from evenwater.domain.rounds.held.care import WATER_GOOD_FOR, Care
from evenwater.domain.rounds.jobs import Holds, Job
from evenwater.domain.standing_job import Foretold, Measured, StandingJob, WhenTrue

MOVE, LIFT, QUARANTINE, RESTART = "move", "lift", "quarantine", "restart"
"""Slots that say what a job is about: fish taken to another pond, fish lifted out, a tank's days of quarantine, a
filter that stood still. The last two, and moving, are there only while there is something to do."""
_SOON_DAYS: Final = 3
_WEATHER: Final = "the weather"
_NOT_KNOWN: Final = "Not known:"
LIFT_C: Final = (8.0, 26.0)
"""Water in which a koi is lifted out and held [°C]. Common practice, no source."""
_HELD_WHILE: Final[dict[str, tuple[Holds, ...]]] = {
    "dose": ("power_out", "water_running"),
    "feed": ("power_out",),
    "setting": ("power_out",),
}
_SETTING_STANDS: Final = timedelta(days=35)
_TANCK = "Tanck et al. (2000), J. Fish Biol. 57:881-894: carp are stressed from 7 °C at once; the line is your own."
_KH = (
    "A rise of KH lifts pH, which frees ammonia: Emerson et al. (1975), Directive 2006/44/EC. The limit of a day is"
    " your own; what is slow enough is common practice, no source."
)
_PRACTICE = "Common practice, no source."


def hold_jobs(
    jobs: Sequence[Job], care: Care, on: date, standing: Mapping[str, StandingJob] | None = None
) -> list[Job]:
    """The jobs of a date, those held back that must not be done, and the food jobs with their amount.

    Args:
        jobs: One pond's jobs of that date, in any order; the order is kept.
        care: The pond as it stands.
        on: The date they are shown on.
        standing: The rules that made them, by id.
    """
    jobs = _said_once(jobs, standing or {})
    jobs = [job for job in jobs if job.id in care.answered or _has_cause(job, care, on)]
    portions = sum(job.shape == "feed" and job.state == "open" and job.id not in care.answered for job in jobs)
    return [_held(job, care, on, max(1, portions)) for job in jobs]


def _said_once(jobs: Sequence[Job], standing: Mapping[str, StandingJob]) -> list[Job]:
    """Of the jobs that wait for the same thing to be told the first, which names the others: one line, not five."""
    waiting: dict[str, list[Job]] = {}
    for job in jobs:
        asks = _asks_for(standing.get(job.standing_job)) if job.state == "not_known" else None
        if asks is not None:
            waiting.setdefault(asks, []).append(job)
    first_of = {of[0].id: (asks, of[1:]) for asks, of in waiting.items() if len(of) > 1}
    left_out = {job.id for _, others in first_of.values() for job in others}
    return [_naming(job, *first_of[job.id]) if job.id in first_of else job for job in jobs if job.id not in left_out]


def _asks_for(rule: StandingJob | None) -> str | None:
    """What a job waits to be told before it is there at all: the weather ahead, or readings of a quantity."""
    conditions = rule.only_if if rule is not None and isinstance(rule.recur, WhenTrue) else ()
    if any(isinstance(one, Foretold) for one in conditions):
        return _WEATHER
    return next((one.quantity for one in conditions if isinstance(one, Measured)), None)


def _naming(job: Job, asks: str, others: Sequence[Job]) -> Job:
    names = ", ".join(other.name.partition(":")[0] for other in others)
    said = f"{_NOT_KNOWN} the weather ahead." if asks == _WEATHER else _bare(job.reason)
    return replace(job, reason=f"{said} For it wait, too: {names}.")


def _bare(reason: str) -> str:
    """Of a reason for what is not known only what is missing: why the job is wanted is not the news."""
    return reason[reason.index(_NOT_KNOWN) :] if _NOT_KNOWN in reason else reason


def _has_cause(job: Job, care: Care, on: date) -> bool:
    kept = care.quarantine
    if job.slot == QUARANTINE:
        return kept is not None and not kept.over(on)
    if job.slot == RESTART:
        return care.outage is not None and care.outage.rinse and on == care.today
    return job.slot != MOVE or kept is not None


def _held(job: Job, care: Care, on: date, portions: int) -> Job:
    # A dose may come to be held back on the device, by a reading the plan has not seen.
    source = _KH if job.shape == "dose" else job.source
    job = replace(job, held_while=_HELD_WHILE.get(job.shape, ()), source=source)
    if job.state == "not_known":
        return replace(job, reason=_bare(job.reason))
    if job.state != "open" or job.id in care.answered:
        return job
    if job.slot == QUARANTINE and care.quarantine is not None:
        return replace(job, reason=_quarantine_words(job.reason, care.quarantine, on))
    if job.slot == MOVE and care.quarantine is not None:
        job = _moving(job, care.quarantine, on)
    if job.state != "open":
        return job
    if job.shape == "feed":
        return feed_job(job, care, portions)
    hold = _hold(job, care, on)
    return job if hold is None else replace(job, state="held_back", reason=hold.reason, source=hold.source)


def _hold(job: Job, care: Care, on: date) -> Hold | None:
    if job.shape == "dose":
        return _two_substances(care, on)
    if job.shape == "setting" and job.setting_c is not None:
        return _too_far(job.setting_c, care, on)
    if job.slot == MOVE:
        return _in_quarantine(care, on)
    return _not_to_be_lifted(care) if job.slot == LIFT else None


def _two_substances(care: Care, on: date) -> Hold | None:
    if on in care.salted_on:
        return Hold("Salt went in today: one thing a day, so that you see what each does.", _PRACTICE)
    others = care.gave_on.get(on, frozenset()) - {care.pond.substance}
    if others:
        names = " and ".join(sorted(name.replace("_", " ") for name in others))
        return Hold(f"{names.capitalize()} went in today: not two substances on one day.", _PRACTICE)
    return None


def _too_far(setting_c: float, care: Care, on: date) -> Hold | None:
    """A setting so far from the water, and from what was set before, that the water would change too fast."""
    if care.water is None or care.now - care.water[0] > WATER_GOOD_FOR or on > care.today:
        return None
    made = care.setting if care.setting and care.now - care.setting[0] <= _SETTING_STANDS else None
    bases = [care.water[1], *([made[1]] if made else [])]
    nearest_c = min(bases, key=lambda base_c: abs(setting_c - base_c))
    limit_k = care.pond.change_limit_c_per_day
    # A thermostat lets water swing about its setting; only a setting well beyond a day's change is one too far.
    if abs(setting_c - nearest_c) <= 2 * limit_k:
        return None
    limit = change_words(care.pond, "temperature_c", limit_k)
    wanted, water = (level_words(care.pond, "temperature_c", round(c, 1)) for c in (setting_c, care.water[1]))
    return Hold(f"{wanted} is too far from the water's {water} at once: at most {limit} a day, in steps.", _TANCK)


def _quarantine_words(reason: str, kept: Quarantine, on: date) -> str:
    """Which day it is, in place of how often the job comes."""
    day, of = (on - kept.begins).days + 1, (kept.ends - kept.begins).days
    return f"{reason.removesuffix('Every day.').strip()} Day {day} of {of}, to {_day(kept.ends)}.".strip()


def _moving(job: Job, kept: Quarantine, on: date) -> Job:
    """Told of when it is near: what is weeks off is no news."""
    if (kept.ends - on).days > _SOON_DAYS:
        return replace(job, state="stood_down", reason=f"In quarantine to {_day(kept.ends)}.")
    reason = job.reason.removesuffix("Every day.").strip()
    return replace(job, reason=f"{reason} Their quarantine ended {_day(kept.ends)}.".strip())


def _in_quarantine(care: Care, on: date) -> Hold | None:
    kept = care.quarantine
    if kept is None or kept.over(on):
        return None
    days = (kept.ends - on).days
    left = f"{days} more day{'s' * (days != 1)}"
    return Hold(f"In quarantine since {_day(kept.begins)}: {left}, to {_day(kept.ends)}, before they move.", _PRACTICE)


def _not_to_be_lifted(care: Care) -> Hold | None:
    if care.drop is not None and care.drop.fell_k >= FAST_DROP_K:
        fell = change_words(care.pond, "temperature_c", care.drop.fell_k)
        return Hold(f"The water fell {fell} within a day: leave the fish alone until it is steady.", _PRACTICE)
    if care.water is None or care.now - care.water[0] > WATER_GOOD_FOR:
        return None
    low_c, high_c = LIFT_C
    water_c = care.water[1]
    if low_c <= water_c <= high_c:
        return None
    water, low, high = (level_words(care.pond, "temperature_c", round(c, 1)) for c in (water_c, low_c, high_c))
    return Hold(f"Water is {water}: fish are lifted between {low} and {high}.", _PRACTICE)


def _day(on: date) -> str:
    return f"{on.day} {on:%b}"
