"""Gate 6: the heater plan, from a pond's course to settings in words.

Ponds of one seed, half of them with a time switch and half set by hand. `search` is the search for settings alone; a
plan beyond it holds the linear programme, the words and the workings too. Heaters too small for their window bring in
longer hours and the mixed-integer programme: those are timed apart.
"""

import random
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from figures import Report, percentile

from evenwater.domain.kit import Heater
from evenwater.domain.warmth.course import Course
from evenwater.domain.warmth.heater.heater_ahead import look_ahead
from evenwater.domain.warmth.heater.heater_ideal import hours_to_heat, ideal
from evenwater.domain.warmth.heater.heater_offer import Wish
from evenwater.domain.warmth.heater.heater_plan import plan_heater
from evenwater.domain.warmth.heater.heater_search import search
from evenwater.domain.warmth.heater.heater_stretches import stretches_of
from evenwater.domain.warmth.heater.heater_words import Spoken
from evenwater.domain.warmth.heater.heater_worth import Limits

_HOURS, _PONDS = 72, 10
_START = datetime(2026, 1, 15, 18, tzinfo=UTC)
_CHEAP = [(18 + hour) % 24 < 7 for hour in range(_HOURS)]
_PRICES = [0.12 if flag else 0.30 for flag in _CHEAP]
_AIR = [1.0 + 4.0 * ((hour + 9) % 24 / 12 - 1) for hour in range(_HOURS)]
_WISH = Wish(low_c=18.0, high_c=20.0, target_c=19.0)
_LIMITS = Limits(floor_c=18.12, highest_setting_c=20.0, swing_k=1.0)


def measure(report: Report, folder: Path, rounds: int) -> None:
    """Add gate 6 to the report.

    Source of the limits: the wanted speed of a plan; 50 ms lets a page work it out anew for each setting tried.
    """
    searches, worst, programmes, mixed, plans = [], [], [], [], []
    for number in range(rounds):
        draw = random.Random(number)
        ponds = [_pond(draw, at % 2 == 0) for at in range(_PONDS)]
        each = [_ms(lambda pond=pond: _search(*pond)) for pond in ponds]
        searches.append(percentile(each, 50))
        worst.append(max(each))
        programmes.append(percentile([_ms(lambda pond=pond: _ideal(*pond)) for pond in ponds], 50))
        mixed.append(percentile([_ms(lambda pond=pond: _mixed(*pond)) for pond in ponds], 50))
        plans.append(percentile([_ms(lambda pond=pond: _plan(*pond)) for pond in ponds], 50))
    report.add(6, "heater settings found by search, 72 h", searches, "ms", limit=50, digits=1)
    report.add(6, "heater settings, the slowest of ten ponds", worst, "ms", digits=1)
    report.add(6, "ideal bound by linear programme", programmes, "ms", digits=1)
    report.add(6, "hours by mixed-integer programme", mixed, "ms", limit=200, digits=1)
    report.add(6, "a whole plan, in words", plans, "ms", digits=1)


def _ms(work: Callable[[], object]) -> float:
    """What it takes of a core: nothing here waits, and the machine's other work is not the plan's."""
    begun = time.process_time()
    work()
    return (time.process_time() - begun) * 1000


def _pond(draw: random.Random, time_switch: bool) -> tuple[Course, Heater]:
    litres, loss = draw.uniform(6_000, 30_000), draw.uniform(15, 50)
    course = Course(
        starts_at=_START,
        capacity_j_per_k=litres * 4187.0,
        gain_w=tuple(100.0 + loss * air for air in _AIR),
        loss_w_per_k=(loss,) * _HOURS,
    )
    return course, Heater(power_w=loss * 18 * 24 / 7 * draw.uniform(0.8, 2.5), time_switch=time_switch)


def _search(course: Course, heater: Heater) -> object:
    ahead = look_ahead(course, heater, _PRICES, _AIR, _CHEAP)
    return search(ahead, heater, 19.0, _LIMITS, 19.0, stretches_of(ahead, heater, "Europe/Berlin", 22, 7))


def _ideal(course: Course, heater: Heater) -> object:
    return ideal(look_ahead(course, heater, _PRICES, _AIR, _CHEAP), heater, 19.0, _LIMITS)


def _mixed(course: Course, heater: Heater) -> object:
    return hours_to_heat(look_ahead(course, heater, _PRICES, _AIR, _CHEAP), heater, 19.0, _LIMITS, 2.0)


def _plan(course: Course, heater: Heater) -> object:
    return plan_heater(course, heater, _PRICES, _AIR, _CHEAP, 19.0, _WISH, Spoken("Europe/Berlin"))
