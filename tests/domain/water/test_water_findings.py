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


def test_carbon_dioxide_follows_from_kh_ph_and_warmth(log, found):
    # PHREEQC (phreeqpython 1.6.2): KH 6, log pCO2 -2.8, 20 °C has pH 7.8938 and 2.730 mg/L.
    log.read("kh_dkh", 6.0, AT - DAY)
    log.read("temperature_c", 20.0, AT)
    log.read("ph", 7.8938, AT)
    one = found()["co2"]
    assert one.big == "2.7 mg/L"
    # 10^-2.8 over 10^-3.38 is 3.8.
    assert one.says.startswith("3.8")
    assert [given.name for given in one.workings.inputs] == ["KH", "pH", "temperature"]


def test_water_poorer_in_carbon_dioxide_than_air_says_so(log, found):
    log.read("kh_dkh", 4.0, AT)
    log.read("temperature_c", 15.0, AT)
    log.read("ph", 8.8, AT)
    # PHREEQC: KH 4, log pCO2 -3.376, 15 °C has pH 8.2649.
    assert found()["co2"].says.startswith("Less than outdoor air would leave")
    assert "pH would be 8.3" in found()["co2"].says


def test_carbon_dioxide_needs_kh_and_warmth_of_about_the_same_time(log, found):
    log.read("kh_dkh", 6.0, AT - 5 * DAY)
    log.read("temperature_c", 20.0, AT)
    log.read("ph", 7.9, AT)
    assert "co2" not in found()


def test_scale_is_foretold_from_measured_calcium(log, found):
    # PHREEQC: KH 12, Ca 2.4 mmol/L, log pCO2 -3.2, 20 °C has an index of +1.34; pH there is about 8.55.
    log.read("kh_dkh", 12.0, AT)
    log.read("calcium_mg_per_l", 2.4 * 40.078, AT)
    log.read("temperature_c", 20.0, AT)
    log.read("ph", 8.55, AT)
    one = found()["calcite"]
    assert float(one.big) == pytest.approx(1.34, abs=0.15)
    assert "expect scale" in one.says
    assert "estimated" not in one.says


def test_scale_without_calcium_is_estimated_from_gh_and_says_so(log, found):
    log.read("kh_dkh", 5.0, AT)
    log.read("gh_dgh", 8.0, AT - 20 * DAY)
    log.read("temperature_c", 15.0, AT)
    log.read("ph", 7.6, AT)
    one = found()["calcite"]
    assert "Calcium is estimated: three quarters of GH 8 °dGH." in one.says
    # 8 °dGH are 8 × 0.17833 mmol/L; three quarters of that are 42.9 mg/L of calcium.
    assert one.workings.inputs[-1].value == pytest.approx(42.9, abs=0.1)


def test_soft_water_does_not_scale(log, found):
    log.read("kh_dkh", 3.0, AT)
    log.read("calcium_mg_per_l", 10.0, AT)
    log.read("temperature_c", 12.0, AT)
    log.read("ph", 7.2, AT)
    assert found()["calcite"].says.startswith("Calcite does not fall out")


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


def test_chloride_enough_for_the_nitrite_shields(log, found):
    log.read("chloride_mg_per_l", 42.0, AT)
    log.read("nitrite_n_mg_per_l", 0.18, AT)
    one = found()["nitrite-chloride"]
    assert one.big == "233 : 1"
    assert "it shields" in one.says
    assert one.cautions == ()


def test_too_little_chloride_names_the_salt_as_arithmetic(log, found):
    log.read("chloride_mg_per_l", 2.0, AT)
    log.read("nitrite_n_mg_per_l", 1.0, AT)
    one = found()["nitrite-chloride"]
    # (10 × 1.0 - 2.0) mg/L of chloride; salt is 0.6066 chloride by weight: 13.2 mg/L, 0.26 kg in 20 m³.
    assert "13.2 mg/L, 0.26 kg in 20000 L" in one.says
    assert len(one.cautions) == 3
    assert "fish vet" in one.cautions[-1]


def test_salt_measured_stands_beside_salt_put_in(log, found):
    log.write("salt", AT - 3 * DAY, salt_g=24_000)
    log.read("salinity_g_per_l", 1.1, AT)
    assert "24 kg put in before would make 1.2 g/L" in found()["salt"].says


def test_salt_nobody_wrote_down_is_said(log, found):
    log.read("salinity_g_per_l", 1.1, AT)
    assert "No salt was written down" in found()["salt"].says


def test_the_volume_shows_in_the_rise_of_conductivity(log, found):
    # PHREEQC: 5 kg of salt in 20 m³ of medium tap water lift conductivity by 495 µS/cm.
    log.read("ec25_us_per_cm", 450.0, AT - 7 * HOUR)
    log.write("salt", AT - 6 * HOUR, salt_g=5_000)
    log.read("ec25_us_per_cm", 945.0, AT)
    one = found()["volume-by-salt"]
    volume_l, sd_l = (float(part) for part in one.big.removesuffix(" L").split(" ± "))
    assert volume_l == pytest.approx(20_000, rel=0.02)
    assert 100 < sd_l < 2000
    assert "that fits" in one.says


def test_a_volume_set_down_wrongly_shows(log, found):
    log.pond(volume_l=14_000)
    log.read("ec25_us_per_cm", 450.0, AT - 7 * HOUR)
    log.write("salt", AT - 6 * HOUR, salt_g=5_000)
    log.read("ec25_us_per_cm", 945.0, AT)
    assert "look again" in found()["volume-by-salt"].says


def test_salt_put_in_twice_between_two_readings_tells_no_volume(log, found):
    log.read("ec25_us_per_cm", 450.0, AT - 9 * HOUR)
    log.write("salt", AT - 8 * HOUR, salt_g=5_000)
    log.write("salt", AT - 6 * HOUR, salt_g=5_000)
    log.read("ec25_us_per_cm", 1400.0, AT)
    assert "volume-by-salt" not in found()


def test_what_lies_outside_the_formulas_is_left_out(log, found):
    log.read("kh_dkh", 25.0, AT)
    log.read("temperature_c", 40.0, AT)
    log.read("ph", 3.0, AT)
    log.read("gh_dgh", 40.0, AT)
    assert set(found()) <= {"co2", "calcite"}


def test_nothing_hangs_on_the_minute(log, found):
    for quantity, value in (("kh_dkh", 5.0), ("ph", 7.7), ("temperature_c", 15.0), ("gh_dgh", 7.0)):
        log.read(quantity, value, AT)
    log.read("oxygen_mg_per_l", 9.0, AT)
    log.read("salinity_g_per_l", 0.3, AT)
    assert found(NOW) == found(NOW + timedelta(minutes=7)) == found(NOW + 40 * DAY)
    assert len(found()) == 4
