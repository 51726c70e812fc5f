"""What the readings add up to, held to the numbers of other engines where there are any."""

from datetime import timedelta

import pytest
from written_log import NOW

from evenwater.domain.fold import fold
from evenwater.domain.water.water_findings import water_findings

AT = NOW - timedelta(hours=1)
HOUR, DAY = timedelta(hours=1), timedelta(days=1)


@pytest.fixture
def found(log):
    def look(now=NOW):
        known = fold(log.entries)
        return {one.id: one for one in water_findings(known.ponds(now.date())[0], known.facts, now)}

    return look


def test_nothing_is_found_where_nothing_was_read(found):
    assert found() == {}


def test_the_swing_of_ph_is_shown_day_by_day(log, found):
    for day in range(9, 0, -1):
        log.read("ph", 7.6, NOW - day * DAY - 6 * HOUR)
        log.read("ph", 7.8, NOW - day * DAY)
    one = found()["ph-swing"]
    assert one.big == "0.2"
    assert len(one.rows) == 7
    assert one.rows[-1] == ("2 Nov", "7.6", "7.8", "0.2")


def test_oxygen_is_shown_as_a_share_of_saturation(log, found):
    log.read("temperature_c", 20.0, AT)
    log.read("oxygen_mg_per_l", 8.2, AT)
    # 9.09 mg/L at 20 °C: EN 25814 / ISO 5814 table as reprinted in an instrument manual.
    assert found()["oxygen-saturation"].big == f"{100 * 8.2 / 9.09:.0f} %"


def test_height_above_the_sea_counts_for_oxygen(log, found):
    log.pond(altitude_m=500.0)
    log.read("temperature_c", 20.0, AT)
    log.read("oxygen_mg_per_l", 8.554, AT)
    # 8.554 mg/L at 20 °C and 500 m: the equation with psychrolib's pressure, as the design has it.
    assert found()["oxygen-saturation"].big == "100 %"


def test_salt_measured_stands_beside_salt_put_in(log, found):
    log.write("salt", AT - 3 * DAY, salt_g=24_000)
    log.read("salinity_g_per_l", 1.1, AT)
    assert "24 kg put in before would make 1.2 g/L" in found()["salt"].says


def test_salt_nobody_wrote_down_is_said(log, found):
    log.read("salinity_g_per_l", 1.1, AT)
    assert "No salt was written down" in found()["salt"].says


def test_nothing_hangs_on_the_minute(log, found):
    for quantity, value in (("kh_dkh", 5.0), ("ph", 7.7), ("temperature_c", 15.0), ("gh_dgh", 7.0)):
        log.read(quantity, value, AT)
    log.read("oxygen_mg_per_l", 9.0, AT)
    log.read("salinity_g_per_l", 0.3, AT)
    assert found(NOW) == found(NOW + timedelta(minutes=7)) == found(NOW + 40 * DAY)
    assert len(found()) == 2
