"""What needs an eye now, and what is no reason to worry anybody."""

from datetime import datetime, timedelta

from written_log import starter

from evenwater.domain.warmth.outlook import WarmthFinding
from evenwater.domain.warmth.pond_air import Samples

from .pond_log import HOUR, NOW, TARIFF, TODAY, WarmLog


def kept(**settings: object) -> WarmLog:
    log = WarmLog()
    log.keep(**settings)
    return log


def warnings(log: WarmLog, now: datetime = NOW) -> dict[str, WarmthFinding]:
    return {one.id: one for one in log.warmth(now).page.findings if one.section == "warning"}


def test_a_pond_that_does_as_it_should_gives_no_warning():
    assert warnings(kept(days=10)) == {}


def test_water_two_degrees_below_its_setting_asks_to_look_at_the_heater():
    log = kept()
    log.tick("heater", TODAY, "dusk", NOW - HOUR, setting_c=18.5)
    found = warnings(log)["below-setting"]
    assert found.answer == "act_now"
    assert found.says.endswith("below the setting of 18.5 °C.")
    assert "breaker" in found.first[0]


def test_a_fall_beyond_the_daily_limit_is_told_in_the_keeper_s_unit():
    log = WarmLog()
    log.pond(volume_l=16_800, units={"temperature_c": "°F"})
    log.warm(16.2, NOW - 20 * HOUR)
    log.warm(14.4, NOW - 1 * HOUR)
    found = warnings(log)["falls"]
    assert found.says == "The water fell by 3.2 °F within a day; the limit is 1.8 °F."


def test_near_the_floor_is_act_now():
    log = kept(air_c=1.0, setting_c=5.0)
    assert warnings(log)["near-floor"].answer == "act_now"


def test_a_probe_that_has_gone_silent_is_named_and_one_of_last_year_is_not():
    log = kept()
    log.samples = Samples(
        measured=log.samples.measured,
        last_heard={"water_c": NOW - 5 * HOUR, "house_c": NOW - timedelta(days=200), "price_per_kwh": NOW - 9 * HOUR},
    )
    assert warnings(log)["silent"].says.startswith("Nothing was heard of the water for 5 hours.")


def test_gusts_and_snow_ask_for_the_covers_and_nobody_stands_on_them():
    log = kept()
    hours = [NOW + HOUR * hour for hour in range(40)]
    forecast = {
        "air_c": [(at, 1.0) for at in hours],
        "gust_m_per_s": [(at, 19.0 if at == hours[9] else 6.0) for at in hours],
        "snow_cm": [(at, 0.5) for at in hours],
    }
    log.samples = Samples(measured=log.samples.measured, forecast=(NOW, forecast))
    found = warnings(log)
    assert found["gusts"].says.startswith("Up to 19 m/s within a day: fasten the covers")
    assert "Never stand on a cover" in found["snow"].cautions[0]


def test_covers_on_while_the_air_is_off_is_act_now():
    log = kept()
    log.write("look", NOW - HOUR, all_well=False, wrong=["air"])
    assert warnings(log)["covered-no-air"].answer == "act_now"
    log.write("look", NOW - HOUR / 2, all_well=True)
    assert "covered-no-air" not in warnings(log)


def test_clear_covers_left_on_in_bright_spring_sun_are_told_of():
    log = kept(air_c=12.0, setting_c=None)
    log.job(starter("cover"))
    noon = NOW.replace(hour=0) + timedelta(days=1, hours=10)
    hours = [NOW + HOUR * hour for hour in range(40)]
    sun = [(at, 700.0 if 8 <= at.hour < 18 else 0.0) for at in hours]
    bright = {"air_c": [(at, 14.0) for at in hours], "sun_w_per_m2": sun}
    log.samples = Samples(measured=log.samples.measured, forecast=(NOW, bright))
    found = [one for one in log.warmth(noon).page.findings if one.id == "bright"]
    assert [one.title for one in found] == ["Covers on in bright sun"]


def test_a_thermometer_in_the_sun_is_asked_about_and_two_alike_are_believed():
    log = kept(heater={"power_w": 3000}, tariff=TARIFF)
    log.foretell(2)
    later = NOW + HOUR
    log.warm(23.0, NOW + HOUR / 3)
    says = warnings(log, later)["doubted"].says
    assert says.startswith("23 °C was read on Tue 17:20, ")
    assert says.endswith("Was the thermometer in the sun?")
    log.warm(22.9, NOW + HOUR / 2)
    assert "doubted" not in warnings(log, later)


def test_a_slip_that_was_read_again_is_no_fall():
    log = kept(heater={"power_w": 3000}, tariff=TARIFF)
    log.warm(30.0, NOW - HOUR / 2)
    assert "falls" not in warnings(log)
    log.warm(9.0, NOW + HOUR / 2)
    assert warnings(log, NOW + HOUR)["falls"].answer == "act_now"


def test_a_silent_probe_is_called_by_what_it_measures():
    log = kept()
    log.samples = Samples(measured=log.samples.measured, last_heard={"house_humidity_fraction": NOW - 5 * HOUR})
    assert warnings(log)["silent"].says.startswith("Nothing was heard of humidity in the filter house for 5 hours.")


def test_bright_sun_on_covers_is_no_fault_where_nobody_tells_the_air():
    log = WarmLog()
    log.keep(air_c=12.0, setting_c=None, change_limit_c_per_day=0.2)
    log.pond(volume_l=1000)
    log.tick("cover", TODAY, "on", NOW + 0.2 * HOUR)
    noon = NOW.replace(hour=0) + timedelta(days=1, hours=10)
    bright = {"sun_w_per_m2": [(noon + HOUR * hour, 700.0) for hour in range(6)]}
    log.samples = Samples(measured=log.samples.measured, forecast=(NOW, bright))
    assert "bright" not in warnings(log, noon)
