"""What the log says of covers and heater: as told, and not known where nobody answered."""

import numpy as np
import pytest
from written_log import Log, starter

from evenwater.domain.fold import fold
from evenwater.domain.kit import Heater
from evenwater.domain.warmth.heat_log import cover_moves, may_run, metered_w, setpoints, settings_made
from evenwater.domain.warmth.pond_air import Samples

from .pond_log import HOUR, NOW, TARIFF, TODAY

SINCE = NOW - 48 * HOUR


def log(**settings: object) -> Log:
    written = Log()
    written.pond(**settings)
    written.job(starter("cover"))
    written.job(starter("heater"), setting_c=16)
    return written


def parts(written: Log):
    known = fold(written.entries)
    return known.ponds(TODAY)[0], known.standing_jobs("main", TODAY), known.of_pond("main")


def moves(written: Log):
    return [((at - NOW) / HOUR, state) for at, state in cover_moves(*parts(written), NOW)]


def test_an_open_pond_is_known_until_the_next_evening_and_a_covered_one_three_days():
    written = log()
    written.tick("cover", TODAY, "off", NOW - 30 * HOUR)
    assert moves(written) == [(-30, 0.0), (-10, None)]
    written.tick("cover", TODAY, "on", NOW - 26 * HOUR)
    assert moves(written) == [(-30, 0.0), (-26, 1.0)]


def test_a_cover_not_moved_and_said_so_is_known_to_lie_as_it_did():
    written = log()
    written.tick("cover", TODAY, "off", NOW - 30 * HOUR)
    written.write(
        "not_done", NOW - 22 * HOUR, standing_job="cover", due_on=TODAY.isoformat(), slot="on", reason="forgot"
    )
    assert moves(written) == [(-30, 0.0), (-22, 0.0), (-2, None)]


def test_half_a_cover_is_half_of_what_a_whole_one_covers():
    written = log(cover={"covered_fraction": 0.9})
    written.write("cover", NOW - 5 * HOUR, covered_fraction=0.5)
    assert moves(written) == [(-5, 0.45)]


def test_a_time_switch_keeps_the_heater_to_the_cheapest_rate():
    pond, _, _ = parts(log(tariff=TARIFF))
    allowed = may_run(pond, Heater(), SINCE.replace(hour=0), 24)
    assert allowed[:9].tolist() == [0.5, 1, 1, 1, 1, 1, 1, 0.5, 0]
    assert may_run(pond, Heater(time_switch=False), SINCE, 24).all()


def test_the_setting_that_was_made_holds_in_the_hours_the_heater_may_run():
    written = log()
    written.tick("heater", TODAY, "dusk", SINCE + 10 * HOUR, setting_c=17)
    _, jobs, facts = parts(written)
    allowed = np.where(np.arange(48) % 24 < 12, 1.0, 0.0)
    found = setpoints(settings_made(jobs, facts), SINCE, allowed)
    assert np.isnan(found[:10]).all()
    assert found[10:12].tolist() == [17, 17]
    assert np.isnan(found[12:24]).all()


def meter(written: Log, kwh: float, hours: float) -> None:
    written.write("reading", SINCE + hours * HOUR, quantity="heater_meter_kwh", value=kwh, point="heater")


def test_the_meter_s_energy_is_spread_over_the_hours_the_heater_may_run():
    written = log()
    meter(written, 100, 0)
    meter(written, 112, 24)
    _, _, facts = parts(written)
    allowed = np.where(np.arange(48) % 24 < 6, 1.0, 0.0)
    found = metered_w(Heater(), facts, Samples(), SINCE, allowed, np.full(48, 5.0))
    assert found[:6].tolist() == pytest.approx([2000] * 6)
    assert found[6:24].tolist() == [0] * 18
    assert np.isnan(found[24:]).all()


def test_a_heat_pump_gives_more_than_its_meter_counts():
    written = log()
    meter(written, 100, 0)
    meter(written, 112, 24)
    _, _, facts = parts(written)
    pump = Heater(kind="heat_pump", cop=((-5.0, 3.0), (20.0, 3.0)))
    found = metered_w(pump, facts, Samples(), SINCE, np.ones(48), np.full(48, 5.0))
    assert found[:24].sum() == pytest.approx(36_000)


def test_a_meter_that_was_changed_counts_for_nothing_in_between():
    written = log()
    meter(written, 9000, 0)
    meter(written, 3, 24)
    meter(written, 7, 30)
    _, _, facts = parts(written)
    found = metered_w(Heater(), facts, Samples(), SINCE, np.ones(48), np.full(48, 5.0))
    assert np.isnan(found[:24]).all()
    assert found[24:30].sum() == pytest.approx(4000)


def test_a_meter_nobody_read_for_a_fortnight_says_nothing_of_a_night():
    written = log()
    meter(written, 100, -400)
    meter(written, 300, 20)
    _, _, facts = parts(written)
    assert np.isnan(metered_w(Heater(), facts, Samples(), SINCE, np.ones(48), np.full(48, 5.0))).all()


def test_a_logger_s_hour_bears_what_the_counter_showed_at_its_end():
    sent = [(SINCE + hour * HOUR, 100.0 + (3 if hour >= 2 else 0)) for hour in range(5)]
    found = metered_w(Heater(), [], Samples(measured={"heater_kwh": sent}), SINCE, np.ones(48), np.full(48, 5.0))
    assert found[1:5].tolist() == [0, 3000, 0, 0]
    assert np.isnan(found[[0, 5]]).all()
