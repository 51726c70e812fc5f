"""What the filter learns, what it leaves out, and what it will not say."""

from math import exp

import numpy as np
import pytest
from msgspec.structs import replace

from evenwater.domain.warmth.heat.heat_balance import Fluxes, HeatModel, Weather, fluxes_of, simulate
from evenwater.domain.warmth.loss_filter import (
    READING_SD_K,
    UA,
    Belief,
    Known,
    LossFilter,
    begin,
    believed_model,
    loss_w_per_k,
)

from .heat.test_heat_balance import STARTS_AT, days_open, pond

DAYS = 28
HOURS = DAYS * 24


def weather(air_c: float = 4.0) -> Weather:
    hours = np.arange(HOURS)
    return Weather(
        starts_at=STARTS_AT,
        air_c=air_c + 3 * np.cos((hours - 14) / 24 * 2 * np.pi) + 2 * np.sin(hours / 60),
        humidity_fraction=np.full(HOURS, 0.8),
        wind_m_per_s=np.full(HOURS, 1.0),
        cloud_fraction=np.full(HOURS, 0.5),
        sun_w_per_m2=np.maximum(0, 150 * np.cos((hours - 12) / 24 * 2 * np.pi)),
    )


def written(truth: HeatModel, fluxes: Fluxes, setpoint_c: float = 16.0) -> Known:
    """A pond's log without any error: heater by its meter, covers as they were, two readings a day to a tenth."""
    covered = days_open(HOURS)
    run = simulate(truth, fluxes, covered, setpoint_c, [setpoint_c] * HOURS, 5000.0)
    readings = [
        (hour + 1.0, round(run.temperature_c[hour], 1), READING_SD_K) for hour in range(HOURS) if hour % 24 in (7, 18)
    ]
    moves = [(0.0, 1.0)] + [(h + 0.0, covered[h]) for h in range(1, HOURS) if covered[h] != covered[h - 1]]
    return Known(covers=moves, readings=readings, heat_w=np.array(run.heat_w), setpoint_c=np.full(HOURS, np.nan))


def learned(prior: HeatModel, fluxes: Fluxes, known: Known) -> Belief:
    return LossFilter(begin(prior, known.readings[0][1], 0.2, known.readings[0][0]), fluxes, known).run(HOURS)


def band(belief: Belief) -> tuple[float, float]:
    found = loss_w_per_k(belief)
    assert found is not None
    return found[0] * exp(-1.645 * found[1]), found[0] * exp(1.645 * found[1])


@pytest.mark.parametrize("off", [0.5, 1.0, 2.0])
def test_a_loss_told_wrongly_by_half_or_double_is_learned_from_four_weeks_of_readings(off):
    truth, fluxes = pond(), fluxes_of(weather())
    belief = learned(replace(truth, ua_w_per_k=off * truth.ua_w_per_k), fluxes, written(truth, fluxes))
    assert believed_model(belief).ua_w_per_k == pytest.approx(truth.ua_w_per_k, rel=0.2)
    low, high = band(belief)
    assert low < truth.ua_w_per_k < high
    assert belief.left_out == ()


def test_below_four_degrees_between_water_and_air_nothing_is_said():
    truth, fluxes = replace(pond(), inflow_c=13.0), fluxes_of(weather(14.0))
    assert loss_w_per_k(learned(truth, fluxes, written(truth, fluxes))) is None


def test_nights_without_air_are_left_out_and_named_and_the_rest_still_teaches():
    truth, fluxes = pond(), fluxes_of(weather())
    gappy = weather()
    gappy.air_c[10 * 24 : 17 * 24] = np.nan
    known = written(truth, fluxes)
    belief = learned(replace(truth, ua_w_per_k=1.5 * truth.ua_w_per_k), fluxes_of(gappy), known)
    assert [int(at_h // 24) for at_h in belief.left_out] == [10, 11, 12, 13, 14, 15, 16]
    low, high = band(belief)
    assert low < truth.ua_w_per_k < high
    assert belief.covered_h < learned(truth, fluxes, known).covered_h


def test_a_cover_nobody_answered_for_teaches_nothing():
    truth, fluxes = pond(), fluxes_of(weather())
    known = written(truth, fluxes)
    unknown = replace(known, covers=[(0.0, None)])
    belief = learned(truth, fluxes, unknown)
    assert loss_w_per_k(belief) is None
    # As unsure as at the start, and a little more for the weeks that went by.
    assert belief.covariance[UA, UA] >= begin(truth, 16.0, 0.2).covariance[UA, UA]


def test_one_reading_in_the_sun_is_set_aside_and_two_alike_are_believed():
    truth, fluxes = pond(), fluxes_of(weather())
    known = written(truth, fluxes)
    readings = list(known.readings)
    at_h, value_c, sd_k = readings[20]
    readings[20] = (at_h, value_c + 4.0, sd_k)
    belief = learned(truth, fluxes, replace(known, readings=readings))
    assert [one.at_h for one in belief.foretold if not one.believed] == [at_h]
    low, high = band(belief)
    assert low < truth.ua_w_per_k < high

    moved = [(at, value + (3.0 if nth >= 20 else 0.0), sd) for nth, (at, value, sd) in enumerate(known.readings)]
    belief = learned(truth, fluxes, replace(known, readings=moved[:24]))
    assert [one.believed for one in belief.foretold[19:23]].count(False) == 1


def test_the_same_log_gives_the_same_belief():
    truth, fluxes = pond(), fluxes_of(weather())
    known = written(truth, fluxes)
    one, other = learned(truth, fluxes, known), learned(truth, fluxes, known)
    assert np.array_equal(one.mean, other.mean)
    assert np.array_equal(one.covariance, other.covariance)


def test_a_heater_known_by_its_setting_alone_still_teaches():
    truth, fluxes = pond(), fluxes_of(weather())
    known = written(truth, fluxes)
    by_setting = replace(known, heat_w=np.full(HOURS, np.nan), setpoint_c=np.full(HOURS, 16.0), power_w=5000.0)
    free = replace(by_setting, setpoint_c=np.where(np.arange(HOURS) % 24 < 7, 16.0, np.nan))
    # Held all day, the temperature says nothing of the loss; let go by day, it does.
    held, let_go = learned(truth, fluxes, by_setting), learned(truth, fluxes, free)
    assert let_go.covariance[UA, UA] < held.covariance[UA, UA]
