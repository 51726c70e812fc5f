"""What the rules of a day look at, gathered once from a pond's log: warmth, tests, fish, food, doses, settings.

All of it is of the last weeks; only moves of fish go back further.
"""

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Final, Literal

from msgspec import Struct

from evenwater.domain.entries import NotDone, Salt, Set, Tick, zone_named
from evenwater.domain.fish.appetite import LearnedAppetite, learned_appetite
from evenwater.domain.fish.feed_steps import LOOKS_BACK_DAYS, FeedStep, WaterTest, step_on
from evenwater.domain.fish.outlook import FishStock
from evenwater.domain.fish.stock import Quarantine, Stock, moves_of, quarantine_of, stock_at
from evenwater.domain.fold import Known, Seen, buffer_doses, feeds, job_key
from evenwater.domain.kit import FeedSteps
from evenwater.domain.pond import Pond, Range
from evenwater.domain.rounds.appetite_days import days_eaten
from evenwater.domain.rounds.held.events import Back, power_back
from evenwater.domain.warmth.outlook import PondWarmth
from evenwater.domain.water.ammonia_answer import company_of
from evenwater.domain.water.outlook import Answer
from evenwater.domain.water.ranges import answer_of, cuts_of, worse
from evenwater.domain.water.recent import Read, Recent, recent_of

_LOOKS_BACK: Final = timedelta(days=40)
_OF_LATE: Final = timedelta(days=3)
"""What was given or ticked longer ago bears on no job that is still shown."""
_STEPS_TAKE: Final = timedelta(days=80)
"""How long a spring's restart is followed: it takes weeks, and older tests are not at hand."""
WATER_GOOD_FOR: Final = timedelta(days=3)
"""How long a temperature of the water is acted upon. Common practice, no source."""
_TESTS_BAR_FOR: Final = timedelta(days=3)
_OXYGEN_BARS_FOR: Final = timedelta(hours=24)
_A_DAY: Final = timedelta(hours=24)
_OUTAGE: Final = timedelta(days=14)
_TAN, _NITRITE, _NH3 = "tan_mg_n_per_l", "nitrite_n_mg_per_l", "nh3_mg_per_l"


class Drop(Struct, frozen=True):
    """The largest fall of the water's temperature within a day, of those whose low is not a day old: by how much [K].

    `low_at`: when it had fallen.
    """

    fell_k: float
    low_at: datetime


class Poor(Struct, frozen=True):
    """A test that forbids food until a better one, or until it is too old."""

    what: Literal["TAN", "nitrite", "oxygen"]
    value: float
    on: date


class Care(Struct, frozen=True, kw_only=True):
    """A pond as the rules of a day see it.

    `water`: when it was last read and its temperature [°C]. `cold_days`: for how many days every reading was below the
    floor of feeding. `fed_g`: food given today [g]. `stock_then`: the fish when the usual food was set.
    `appetite`: what was learned of what they left. `outage`: a power cut that ended within a day. `salted_on`: days
    salt went in. `gave_on`: substances of buffer given, by day. `setting`: when the heater was last set, and to what
    [°C]. `answered`: jobs that were lately ticked, or not done.
    """

    pond: Pond
    now: datetime
    today: date
    water: tuple[datetime, float] | None
    cold_days: int
    drop: Drop | None
    poor: tuple[Poor, ...]
    step: FeedStep | None
    fed_g: float
    stock: Stock
    stock_then: Stock
    appetite: LearnedAppetite | None
    quarantine: Quarantine | None
    outage: Back | None
    salted_on: frozenset[date]
    gave_on: Mapping[date, frozenset[str]]
    setting: tuple[datetime, float] | None
    answered: frozenset[str]


def care_of(
    known: Known, pond: Pond, facts: Sequence[Seen], page: PondWarmth, now: datetime, fish: FishStock | None = None
) -> Care:
    """Gather it.

    Args:
        known: All that stands in the log, every pond's.
        pond: The pond as set for today.
        facts: Its standing facts, oldest first.
        page: Its warmth as worked out: the last temperature of the water, a probe's too.
        now: The moment, aware; later facts are left out.
        fish: Its fish by their own lengths, where that was worked out.
    """
    today = now.astimezone(zone_named(pond.zone)).date()
    facts = _lately(facts, _since(pond.feed_steps, today, now), now)
    of_late = _lately(facts, now - _OF_LATE, now)
    recent = recent_of(facts, now)
    ranges = known.ranges(pond.id, today)
    moves = moves_of(known)
    set_at = usual_set(known, pond.id, today)
    stock = stock_at(moves, pond.id, now, today)
    then = stock_at(moves, pond.id, set_at.at, set_at.on) if set_at else Stock(None, None)
    if fish is not None and fish.by_register and fish.mass_g is not None:
        stock, then = Stock(fish.count, fish.mass_g.middle), Stock(then.count, fish.mass_then_g)
    return Care(
        pond=pond,
        now=now,
        today=today,
        water=(page.water_at, page.water_c) if page.water_at is not None and page.water_c is not None else None,
        cold_days=_cold_days(recent, pond.feed_floor_c, now),
        drop=_drop(recent, page, now),
        poor=tuple(_poor(pond, ranges, recent, now)),
        step=_step(pond.feed_steps, pond, ranges, recent, today),
        fed_g=sum(feed_g for one, feed_g, _ in feeds(of_late) if one.on == today),
        stock=stock,
        stock_then=then,
        appetite=learned_appetite(days_eaten(pond, stock, then, facts, recent), today),
        quarantine=quarantine_of(moves, pond, today),
        outage=power_back(_lately(known.facts, now - _OUTAGE, now), now),
        salted_on=frozenset(one.on for one in of_late if isinstance(one.entry, Salt) and one.entry.salt_g > 0),
        gave_on=_gave_on(of_late),
        setting=recent.settings[-1] if recent.settings else None,
        answered=frozenset(job_key(one.entry) for one in of_late if isinstance(one.entry, Tick | NotDone)),
    )


def _since(steps: FeedSteps | None, today: date, now: datetime) -> datetime:
    """Far enough back for the rules; for the steps of spring, to where they began."""
    if steps is None or not _under_way(steps, today):
        return now - _LOOKS_BACK
    return now - max(_LOOKS_BACK, today - steps.starts_on + timedelta(days=LOOKS_BACK_DAYS + 1))


def _under_way(steps: FeedSteps, today: date) -> bool:
    return timedelta(0) <= today - steps.starts_on <= _STEPS_TAKE


def _lately(facts: Sequence[Seen], since: datetime, now: datetime) -> Sequence[Seen]:
    first = bisect_left(facts, since, key=lambda one: one.at)
    return [one for one in facts[first:] if one.at <= now]


def _gave_on(facts: Sequence[Seen]) -> dict[date, frozenset[str]]:
    found: dict[date, frozenset[str]] = {}
    for _, _, substance, one in buffer_doses(facts):
        found[one.on] = found.get(one.on, frozenset()) | {substance}
    return found


def usual_set(known: Known, pond: str, on: date) -> Seen | None:
    """When the usual food that holds today was set."""
    found: Seen | None = None
    for one in known.settings:
        entry = one.entry
        if isinstance(entry, Set) and (entry.target, entry.field, entry.pond) == ("pond", "feed_g_per_day", pond):
            found = one if entry.effective_from is None or entry.effective_from <= on else found
    return found


def _cold_days(recent: Recent, floor_c: float, now: datetime) -> int:
    since: datetime | None = None
    for one in reversed(recent.of("temperature_c")):
        if one.value >= floor_c:
            break
        since = one.at
    return (now - since).days if since is not None else 0


def _drop(recent: Recent, page: PondWarmth, now: datetime) -> Drop | None:
    """The readings typed in, and what a probe sent of the last day."""
    probe = page.tonight.measured if page.tonight else ()
    typed = [(one.at, one.value) for one in recent.of("temperature_c") if one.at > now - 2 * _A_DAY]
    course = sorted([*typed, *((at, value) for at, value in probe if at <= now)])
    found: Drop | None = None
    for nth, (low_at, low_c) in enumerate(course):
        if low_at <= now - _A_DAY:
            continue
        fell_k = max((high_c - low_c for at, high_c in course[:nth] if at >= low_at - _A_DAY), default=0.0)
        if fell_k > 0 and (found is None or fell_k >= found.fell_k):
            found = Drop(fell_k, low_at)
    return found


def _poor(pond: Pond, ranges: Mapping[str, Range], recent: Recent, now: datetime) -> list[Poor]:
    found: list[Poor] = []
    tan, nitrite, oxygen = (recent.latest(name) for name in (_TAN, _NITRITE, "oxygen_mg_per_l"))
    if tan and tan.at > now - _TESTS_BAR_FOR and _tan_answer(pond, ranges, recent, tan) == "act_now":
        found.append(Poor("TAN", tan.value, tan.on))
    if nitrite and nitrite.at > now - _TESTS_BAR_FOR and _answer(pond, ranges, nitrite) == "act_now":
        found.append(Poor("nitrite", nitrite.value, nitrite.on))
    if oxygen and oxygen.at > now - _OXYGEN_BARS_FOR and _answer(pond, ranges, oxygen) == "act_now":
        found.append(Poor("oxygen", oxygen.value, oxygen.on))
    return found


def _answer(pond: Pond, ranges: Mapping[str, Range], one: Read) -> Answer:
    """By its value alone: a test that says food does harm is acted upon whatever stands beside it."""
    cuts = cuts_of(pond, ranges, one.quantity, "pond")
    return answer_of(cuts, one.value) if cuts else "not_known"


def _tan_answer(pond: Pond, ranges: Mapping[str, Range], recent: Recent, one: Read) -> Answer:
    """By the NH3 it holds and by EPA's limit over a month; not known without pH and temperature of about that time."""
    beside = company_of(recent, one.at)
    cuts = cuts_of(pond, ranges, _NH3, "pond")
    if beside is None or cuts is None:
        return "not_known"
    limit = beside.chronic_tan()
    by_limit: Answer = "act_now" if one.value >= limit else "drifting" if one.value >= limit / 2 else "in_range"
    return worse(by_limit, answer_of(cuts, one.value * beside.nh3_per_tan()))


def _step(
    steps: FeedSteps | None, pond: Pond, ranges: Mapping[str, Range], recent: Recent, today: date
) -> FeedStep | None:
    if steps is None or not _under_way(steps, today):
        return None
    tests = [WaterTest(one.on, "tan", _fine(_tan_answer(pond, ranges, recent, one))) for one in recent.of(_TAN)]
    tests += [WaterTest(one.on, "nitrite", _fine(_answer(pond, ranges, one))) for one in recent.of(_NITRITE)]
    return step_on(steps, tests, today)


def _fine(said: Answer) -> bool | None:
    return None if said == "not_known" else said == "in_range"
