"""Today's food for the Fish page: the feed job's own reckoning, of the whole day, whatever jobs there are."""

from collections.abc import Sequence
from datetime import datetime, time
from typing import Final

from evenwater.domain.entries import Appetite, Tick, zone_named
from evenwater.domain.fish.outlook import FeedToday, FishStock
from evenwater.domain.fold import Known, Seen
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.amounts.feed_job import feed_job
from evenwater.domain.rounds.held.care import Care, care_of
from evenwater.domain.rounds.jobs import Job
from evenwater.domain.standing_job import StandingJob
from evenwater.domain.warmth.outlook import PondWarmth

# Water below which [°C], which food and how many meals. Common practice, no source; two portions are better than one:
# FAO AFFRIS, common carp.
_KINDS: Final = (
    (12.0, "easily digested food, of wheat germ, and little of it", 1),
    (16.0, "easily digested food, of wheat germ", 1),
    (20.0, "everyday food, half of it easily digested", 2),
    (28.0, "everyday or growth food, 35 to 40 % protein", 3),
    (100.0, "everyday food in the cool of the morning", 2),
)


def feed_today(
    known: Known,
    pond: Pond,
    facts: Sequence[Seen],
    page: PondWarmth,
    fish: FishStock | None,
    now: datetime,
) -> FeedToday:
    """How much today, of what, in how many meals, or nothing and why.

    Args:
        known: All that stands in the log.
        pond: The pond as set for today.
        facts: Its standing facts, oldest first.
        page: Its warmth as worked out.
        fish: What swims in it.
        now: The moment, aware.
    """
    care = care_of(known, pond, facts, page, now, fish)
    standing = [job for job in known.standing_jobs(pond.id, care.today) if job.shape == "feed"]
    job = feed_job(_whole_day(pond, now), care, 1)
    left_g = job.feed_g if job.state == "open" else None
    # The round may be done without an amount; here the amount is all that is asked.
    state = "not_known" if job.state == "open" and left_g is None else job.state
    kind, usual_meals = _kind(care)
    return FeedToday(
        state=state,
        day_g=None if left_g is None else left_g + care.fed_g,
        fed_g=care.fed_g,
        left_g=left_g,
        meals=_meals(standing, care, usual_meals),
        kind=kind if state == "open" else "",
        reason=job.reason + _helpers(known, pond, care),
        appetite_says=care.appetite.says() if care.appetite else None,
        last_appetite=_last_appetite(facts, now),
        source=job.source,
        workings=job.workings,
    )


def _whole_day(pond: Pond, now: datetime) -> Job:
    """A feed job that lasts all day: what is asked of the rules of feeding."""
    zone = zone_named(pond.zone)
    today = now.astimezone(zone).date()
    return Job(
        id=f"{pond.id}/feed-today",
        standing_job="feed-today",
        due_on=today,
        slot="day",
        pond=pond.id,
        place="",
        part="midday",
        name="Food",
        text="Food",
        opens_at=now,
        closes_at=datetime.combine(today, time(23, 59), zone),
        shape="feed",
    )


def _kind(care: Care) -> tuple[str, int]:
    if care.water is None:
        return "", 1
    return next((kind, meals) for below_c, kind, meals in _KINDS if care.water[1] < below_c)


def _meals(standing: Sequence[StandingJob], care: Care, usual: int) -> int:
    """Meals still to come today: by the feed jobs where there are any, else by the water's warmth."""
    slots = [f"{job.id}/{care.today.isoformat()}/{slot}" for job in standing for slot in job.windows]
    return sum(slot not in care.answered for slot in slots) if slots else usual


def _last_appetite(facts: Sequence[Seen], now: datetime) -> Appetite | None:
    for one in reversed(facts):
        if isinstance(one.entry, Tick) and one.entry.appetite is not None and one.at <= now:
            return one.entry.appetite
    return None


def _helpers(known: Known, pond: Pond, care: Care) -> str:
    """What a helper may give of it while a hand-over runs."""
    for one in known.hand_overs(care.today):
        if one.runs_on(care.today) and pond.id in one.ponds:
            most_g = one.ceiling(pond.id).feed_g_per_day
            return f" While you are away: at most {most_g:g} g a day." if most_g else " While you are away: nothing."
    return ""
