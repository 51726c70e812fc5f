"""How much of something has gone through or by since a job was last done, and when its measure is full.

By the kit's own counter where it was read, with a straight line between two readings and its own pace after the last;
else by what is set: hours a day, litres a day. Without either it is not known.
"""

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import pairwise
from math import ceil, floor
from typing import Final

from msgspec import Struct

from evenwater.domain.calendar_rule import EARLIEST_START
from evenwater.domain.entries import Meter
from evenwater.domain.fold import Seen, readings_of
from evenwater.domain.kit import KitItem
from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.rounds.wanted.told import REMEMBERED_DAYS, short_date
from evenwater.domain.standing_job import ByUse

_FURTHEST_DAYS: Final = 4000
_UNITS: Final = {"volume_l": "L", "hours": "h", "readings": "readings"}


class Use(Struct, frozen=True, kw_only=True):
    """Where a measure stands. `due_on`: when it is full, None where that cannot be foretold or is not known.

    `days`: how long a whole measure lasts at the present pace [days]. `words`: a clause. `known`: whether it is.
    """

    known: bool
    words: str
    due_on: date | None = None
    days: int | None = None


def use_of(recur: ByUse, pond: Pond, facts: Sequence[Seen], since: date | None, today: date) -> Use:
    """How far a measure has come.

    Args:
        recur: The measure: litres of trickle or of a kit item, hours of one, readings of a quantity.
        pond: The pond as set; its trickle and its kit.
        facts: Its standing facts, oldest first.
        since: When the job was last done; None where it never was.
        today: The civil date at the pond.
    """
    if recur.of == "readings":
        return _by_readings(recur, facts, since, today)
    kit = next((item for item in pond.kit if item.id == recur.kit), None)
    fitted_on = kit.fitted_on if kit and kit.fitted_on and EARLIEST_START <= kit.fitted_on <= today else None
    began = since or fitted_on
    counter = _counter(recur, facts, today)
    pace = _pace(recur, pond, kit, counter)
    if pace is None or pace <= 0:
        return Use(known=False, words=_lacking(recur, kit))
    days = _days(recur.amount / pace).days
    every = f"every {_amount(recur.amount, recur)}"
    if began is None:
        return Use(known=True, words=f"{every}; not done yet in this log", days=days)
    used = _shown(counter, pace, today) - _shown(counter, pace, began) if counter else pace * (today - began).days
    due_on = _full_on(counter, pace, began, recur.amount)
    return Use(known=True, words=f"{every}; {_amount(used, recur)} since {short_date(began)}", due_on=due_on, days=days)


def _by_readings(recur: ByUse, facts: Sequence[Seen], since: date | None, today: date) -> Use:
    if recur.quantity not in QUANTITIES:
        return Use(known=False, words=f"{recur.quantity} is nothing that is measured here")
    # Of one date the job's own readings may be from before it; those count for the next time.
    points = QUANTITIES[recur.quantity].points
    read = [one.on for point in points for one in readings_of(facts, recur.quantity, point) if one.on <= today]
    counted = sorted(on for on in read if since is None or on > since)
    needed = ceil(recur.amount)
    due_on = counted[needed - 1] if len(counted) >= needed else None
    label = QUANTITIES[recur.quantity].label
    if due_on is None and since is not None and (today - since).days > REMEMBERED_DAYS:
        far = f"{since.day} {since:%b}, and {REMEMBERED_DAYS} days are looked through"
        return Use(known=False, words=f"how many readings of {label} since it was last done on {far}")
    after = f"since {short_date(since)}" if since else "in this log"
    return Use(known=True, words=f"every {needed} readings of {label}; {len(counted)} {after}", due_on=due_on)


def _counter(recur: ByUse, facts: Sequence[Seen], today: date) -> list[tuple[date, float]]:
    """(date, what the counter showed) of the kit item since it was last changed or set back."""
    found: list[tuple[date, float]] = []
    for one in facts:
        if isinstance(one.entry, Meter) and one.entry.kit == recur.kit and one.on <= today:
            shown = one.entry.hours if recur.of == "hours" else one.entry.volume_l
            if shown is not None:
                found = [] if found and shown < found[-1][1] else found
                found.append((one.on, shown))
    return found


def _pace(recur: ByUse, pond: Pond, kit: KitItem | None, counter: Sequence[tuple[date, float]]) -> float | None:
    """A day's use: by the last two readings of the counter on different days, else as set."""
    for (on, shown), (next_on, next_shown) in reversed(list(pairwise(counter))):
        if next_on > on and next_shown > shown:
            return (next_shown - shown) / (next_on - on).days
    if recur.of == "hours":
        return kit.hours_per_day if kit else None
    if kit is not None and kit.flow_l_per_day is not None:
        return kit.flow_l_per_day
    return pond.inflow_l_per_day or None


def _shown(counter: Sequence[tuple[date, float]], pace: float, on: date) -> float:
    """What the counter shows on a date, by straight lines; before the first and after the last at the pace."""
    if on <= counter[0][0]:
        return counter[0][1] - pace * (counter[0][0] - on).days
    for (before, shown), (after, next_shown) in pairwise(counter):
        if before <= on < after:
            return shown + (next_shown - shown) * (on - before).days / (after - before).days
    return counter[-1][1] + pace * (on - counter[-1][0]).days


def _full_on(counter: Sequence[tuple[date, float]], pace: float, since: date, amount: float) -> date:
    """The first date on which the measure is full."""
    if not counter:
        return since + _days(amount / pace)
    here, shown = since, _shown(counter, pace, since)
    full = shown + amount
    for on, next_shown in counter:
        if on <= here:
            continue
        if next_shown >= full:
            return here + _days((full - shown) / (next_shown - shown) * (on - here).days)
        here, shown = on, next_shown
    return here + _days((full - shown) / pace)


def _days(days: float) -> timedelta:
    return timedelta(days=max(1, ceil(min(days, _FURTHEST_DAYS) - 1e-9)))


def _lacking(recur: ByUse, kit: KitItem | None) -> str:
    if recur.of == "hours":
        name = kit.name if kit else recur.kit
        return f"how many hours {name} runs: set it under kit, or note what its counter shows"
    return "how much water goes through: set the trickle, or note what its counter shows"


def _amount(value: float, recur: ByUse) -> str:
    return f"{floor(value + 0.5):,} {_UNITS[recur.of]}"
