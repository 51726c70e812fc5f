"""A falling level: a leak, or only the weather."""

import random
from datetime import datetime, timedelta

import pytest
from scipy.stats import theilslopes
from written_log import NOW, Log

from evenwater.domain.fold import fold
from evenwater.domain.warmth.heat.evaporation import Evaporation
from evenwater.domain.water.level_fall import LEVEL, RULER_SD_MM, LevelFall, level_fall

DAY = timedelta(days=1)
LITTLE = Evaporation(0.5, 1.0, 2.0, "a test")


def judged(log: Log, lost: Evaporation = LITTLE, **more: object) -> LevelFall | None:
    return level_fall(fold(log.entries).facts, NOW, lambda *_: lost, **more)  # type: ignore[arg-type]


def read(log: Log, days_ago: float, mm: float) -> None:
    log.write("reading", NOW - days_ago * DAY, quantity=LEVEL, value=mm)


def series(log: Log, *readings: float, every_days: float = 1.0) -> None:
    for nth, mm in enumerate(readings):
        read(log, (len(readings) - nth) * every_days, mm)


def test_a_fast_fall_is_a_leak_and_is_told_in_litres(log):
    series(log, 0, 10, 20, 30, 40)
    fall = judged(log, surface_m2=12.0)
    assert fall is not None
    assert (fall.found, fall.mm_per_day, fall.beyond_mm_per_day) == ("leak", 10.0, 9.0)
    assert "more than evaporation explains" in fall.says
    assert "about 108 L a day" in fall.says


def test_what_evaporates_explains_a_slow_fall(log):
    series(log, 0, 1, 2, 3, 4, 5, 6)
    fall = judged(log)
    assert fall is not None
    assert (fall.found, fall.beyond_mm_per_day) == ("evaporation", 0.0)
    assert "evaporation explains it" in fall.says


def test_two_readings_of_a_day_are_too_near_to_tell_a_small_leak(log):
    series(log, 0, 4)
    fall = judged(log)
    assert fall is not None
    assert fall.found == "too_near"
    assert "Read it again" in fall.says


def test_nothing_is_said_of_one_reading_or_of_two_within_hours(log):
    assert judged(log) is None
    read(log, 0.3, 10)
    assert judged(log) is None
    read(log, 0.1, 20)
    assert judged(log) is None


def test_readings_before_a_refill_do_not_count(log):
    series(log, 0, 30, 60, 90)
    log.write("water_change", NOW - DAY / 2, volume_l=500)
    assert judged(log) is None


def test_a_hose_that_was_opened_and_shut_is_a_refill(log):
    series(log, 0, 30, 60)
    log.write("water_running", NOW - DAY / 2, running=True)
    log.write("water_running", NOW - DAY / 3, running=False)
    assert judged(log) is None


def test_a_level_that_rose_by_itself_begins_anew(log):
    series(log, 50, 60, 5, 6, 7)
    fall = judged(log)
    assert fall is not None
    assert (fall.readings, fall.mm_per_day) == (3, 1.0)


def test_one_slip_of_the_ruler_does_not_decide(log):
    series(log, 0, 1, 2, 22, 23, 5, 6, 7, 8)
    # The slip falls back by more than a rise allows, so only what follows it counts.
    fall = judged(log)
    assert fall is not None
    assert fall.found == "evaporation"


def test_a_running_trickle_may_hide_a_leak_and_that_is_said(log):
    series(log, 0, 1, 2, 3, 4)
    fall = judged(log, trickle_runs=True)
    assert fall is not None and "shut it for a night" in fall.says


def test_a_level_that_stands_does_not_fall(log):
    series(log, 10, 10, 10, 10, 10)
    fall = judged(log)
    assert fall is not None
    assert fall.says.startswith("The level does not fall")


@pytest.mark.parametrize("seed", range(20))
def test_the_slope_is_theil_and_sens_as_scipy_has_it(seed):
    chance, log = random.Random(seed), Log()
    mm = [round(3.0 * nth + chance.gauss(0, 1.0)) for nth in range(12)]
    series(log, *mm)
    fall = judged(log)
    assert fall is not None
    days = [float(nth) for nth in range(12)]
    begun = len(days) - fall.readings
    theirs = theilslopes(mm[begun:], days[begun:], alpha=0.95)
    assert fall.mm_per_day == pytest.approx(theirs.slope, abs=1e-9)
    # Ours is the wider of their band and a ruler's own error: never narrower, save for which rank is rounded how.
    assert fall.high_mm - fall.low_mm >= 0.8 * (theirs.high_slope - theirs.low_slope)


def trial(seed: int, leak_mm: float, days: int) -> LevelFall | None:
    """A pond that loses 1 mm a day by evaporation (0.5 to 2 told) and so much by a leak, read each day by a ruler."""
    chance, log = random.Random(seed), Log()
    for day in range(days + 1):
        level = (1.0 + leak_mm) * day + chance.gauss(0, RULER_SD_MM)
        read(log, days - day + 0.1, max(-400, round(level)))
    return judged(log)


def share(found: str, leak_mm: float, days: int, trials: int = 400) -> float:
    falls = [trial(seed, leak_mm, days) for seed in range(trials)]
    return sum(fall is not None and fall.found == found for fall in falls) / trials


def test_no_sound_pond_in_forty_is_called_leaking():
    assert max(share("leak", 0.0, days) for days in (1, 2, 3, 5, 8)) <= 0.025


def test_a_leak_of_a_bathtub_a_day_is_found_within_three_days():
    # 12 mm a day on 12 m² are 144 L.
    assert share("leak", 12.0, 3) >= 0.95


def test_a_leak_is_rarely_put_down_to_evaporation():
    assert max(share("evaporation", leak, 5) for leak in (3.0, 6.0, 12.0)) <= 0.1


def test_the_band_reads_from_the_moments_of_the_readings(log):
    asked: list[tuple[datetime, datetime]] = []

    def evaporation(since: datetime, until: datetime) -> Evaporation:
        asked.append((since, until))
        return LITTLE

    series(log, 0, 1, 2)
    level_fall(fold(log.entries).facts, NOW, evaporation)
    assert asked == [(NOW - 3 * DAY, NOW - DAY)]
