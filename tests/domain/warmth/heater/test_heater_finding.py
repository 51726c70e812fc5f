"""The heater's plan as it meets the keeper: at which hours it may heat, and what its jobs promise."""

from datetime import timedelta

import pytest

from evenwater.domain.warmth.heater.heater_finding import HeaterAdvice, heater_advice
from evenwater.domain.warmth.pond_air import Samples

from ..pond_log import HOUR, NOW, TARIFF, TODAY, WarmLog


def advised(hours_later: float = 0.0, low_c: float = 14, prices: dict[str, object] | None = None) -> HeaterAdvice:
    log = WarmLog()
    log.keep(heater={"power_w": 3000}, tariff=TARIFF, warm_low_c=low_c, warm_high_c=low_c + 2)
    for day in range(4):
        log.foretell(-3, TODAY + timedelta(days=day))
    log.samples = Samples(measured={**log.samples.measured, **(prices or {})})
    now = NOW + HOUR * hours_later
    return heater_advice(log.heat(now), log.samples, {}, {}, None, now)


@pytest.mark.parametrize("hours_later", [0, 3, 15, 18, 20])
def test_at_whatever_hour_one_looks_a_time_switch_heats_in_the_cheap_nights_alone(hours_later):
    advice = advised(hours_later)
    assert len(advice.cheap) >= 2
    for begins, ends in advice.cheap:
        assert ends - begins <= 7 * HOUR
        assert ends.hour <= 7
    settings = [key for key in advice.settings if key[1] == "morning"]
    assert settings == []


def test_of_imported_prices_the_cheapest_of_a_day_before_and_after_counts():
    hours = [NOW.replace(hour=0) + HOUR * hour for hour in range(120)]
    prices = {"price_per_kwh": [(at, 0.1 if at.hour in (2, 3) else 0.4) for at in hours]}
    assert {(begins.hour, ends.hour) for begins, ends in advised(15, prices=prices).cheap} == {(2, 4)}


def test_a_job_does_not_promise_what_the_heater_cannot_hold():
    hot = [one.reason for one in advised(low_c=22).settings.values()]
    cool = [one.reason for one in advised(low_c=12).settings.values()]
    assert [reason for reason in hot if not reason.startswith("As near 22 °C as it gets: ")] == []
    assert [reason for reason in cool if reason.startswith("As near")] == []
    assert len(hot) >= 3
    assert len(cool) >= 3
