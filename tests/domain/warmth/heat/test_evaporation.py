"""What evaporates from a pond in a day."""

from datetime import timedelta

import pytest
from written_log import NOW, Log

from evenwater.domain.fold import fold
from evenwater.domain.kit import Shell
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.standing_jobs import STARTER
from evenwater.domain.warmth.heat.evaporation import Evaporation, evaporation_of
from evenwater.domain.warmth.level_finding import level_fall_of, level_finding
from evenwater.domain.warmth.pond_air import Samples

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
POND = Pond(id="main", volume_l=20_000, latitude=51.0, longitude=4.0)
COVER = STARTER[:1]
SINCE = NOW - 4 * DAY


def air(air_c: float, humidity: float = 0.7) -> Samples:
    hours = [SINCE - 3 * HOUR + nth * HOUR for nth in range(110)]
    return Samples(
        measured={
            "air_c": [(at, air_c) for at in hours],
            "humidity_fraction": [(at, humidity) for at in hours],
            "wind_m_per_s": [(at, 0.0) for at in hours],
        }
    )


def lost(log: Log, samples: Samples, pond: Pond = POND) -> Evaporation:
    return evaporation_of(pond, 12.0, COVER, fold(log.entries).facts, samples, SINCE, NOW)


@pytest.fixture
def open_pond() -> Log:
    log = Log()
    for day in range(5):
        log.write("reading", SINCE + day * DAY, quantity="temperature_c", value=20.0)
        log.write("cover", SINCE - HOUR + day * DAY * 0.8, covered_fraction=0.0)
    return log


def test_an_open_pond_loses_what_the_formula_says(open_pond):
    # Smith, Lof & Jones (1994), calm: 30.6 kJ/(h m² mmHg) × (17.53 - 0.7 × 9.21) mmHg = 339 kJ/(h m²); at 2454 kJ/kg
    # that is 3.3 mm a day. Vapour pressures of 20 and 10 °C from CRC's table, from memory.
    found = lost(open_pond, air(10.0))
    assert found.mm_per_day == pytest.approx(3.3, rel=0.03)
    assert found.low_mm < found.mm_per_day < found.high_mm
    assert found.rests_on == "the air over it, its warmth and its cover"


def test_dry_air_takes_more_than_damp_air(open_pond):
    assert lost(open_pond, air(10.0, 0.4)).mm_per_day > lost(open_pond, air(10.0, 0.95)).mm_per_day


def test_dew_adds_no_water(open_pond):
    assert lost(open_pond, air(30.0, 1.0)).mm_per_day == 0.0


def test_a_covered_pond_loses_a_little(open_pond):
    for day in range(5):
        open_pond.write("cover", SINCE - HOUR / 2 + day * DAY * 0.8, covered_fraction=1.0)
    covered = lost(open_pond, air(10.0))
    assert 0 <= covered.low_mm <= covered.mm_per_day < 0.4


def test_where_nobody_knows_the_cover_the_band_is_wide():
    log = Log()
    log.write("reading", SINCE, quantity="temperature_c", value=20.0)
    found = lost(log, air(10.0))
    assert found.low_mm == 0.0
    assert found.high_mm > 4.0


def test_without_air_the_keepers_own_figure_stands(open_pond):
    found = lost(open_pond, Samples(), Pond(id="main", evaporation_l_per_day=24.0))
    assert (found.low_mm, found.mm_per_day, found.high_mm) == (0.8, 2.0, 4.0)
    assert found.rests_on == "the evaporation you set"


def test_with_nothing_told_the_band_is_that_of_any_pond(open_pond):
    assert lost(open_pond, Samples()).high_mm == 9.0


def test_the_page_says_look_for_a_leak_with_first_steps_and_a_caution(open_pond):
    for day in range(5):
        open_pond.write("reading", SINCE + day * DAY, quantity="level_below_mark_mm", value=20.0 * day)
    pond = Pond(id="main", volume_l=20_000, shell=Shell(length_m=4.0, width_m=3.0))
    fall = level_fall_of(pond, COVER, fold(open_pond.entries).facts, air(10.0), NOW)
    found = level_finding(fall)
    assert found is not None
    assert (found.big, found.answer) == ("Look for a leak", "act_now")
    assert len(found.first) == 3 and found.cautions
    assert " L a day" in found.says


def test_without_readings_of_the_level_the_page_says_nothing(open_pond):
    assert level_finding(level_fall_of(POND, COVER, fold(open_pond.entries).facts, Samples(), NOW)) is None
