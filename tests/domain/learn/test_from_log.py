"""What the filter is told, gathered from a log."""

from datetime import UTC, datetime, time, timedelta

import pytest
from written_log import NOW, Log

from evenwater.domain.fold import fold
from evenwater.domain.learn.estimate import Inflow
from evenwater.domain.learn.from_log import (
    estimate_of,
    events_of,
    food_g_per_day,
    inflow_of,
    inflows_of,
    nitrogen_g_per_day,
    tuning_of,
    volume_on,
)
from evenwater.domain.learn.pace import changed_markedly, pace_events


def parts(log: Log):
    known = fold(log.entries)
    return known.ponds(NOW.date())[0], known.of_pond("main")


@pytest.fixture
def log() -> Log:
    log = Log()
    log.pond(volume_l=10_000, inflow_l_per_day=500, source_kh_dkh=1.0)
    return log


def days_ago(days: float):
    return NOW - timedelta(days=days)


def test_without_a_volume_nothing_is_estimated():
    log = Log()
    log.pond(name="Pond")
    log.kh(5.0, NOW)
    pond, facts = parts(log)
    assert estimate_of(pond, facts, "kh_dkh", NOW) is None


def test_readings_doses_and_water_changes_are_told_in_order_of_time(log):
    log.write("water_change", days_ago(1), volume_l=1000, point="mains")
    log.write("reading", days_ago(2), quantity="kh_dkh", value=8.0, point="mains")
    log.kh(5.0, days_ago(3))
    log.write("dose", days_ago(2), substance="sodium_bicarbonate", amount_g=300)
    pond, facts = parts(log)
    events = events_of(pond, 10_000, facts, "kh_dkh", NOW, [])
    assert [event.kind for event in events] == ["reading", "dose", "mix"]
    assert events[1].value == pytest.approx(300 * 0.99 / 299.61, rel=1e-3)
    assert (events[2].value, events[2].share) == (8.0, 0.1)


def test_a_new_volume_counts_from_its_date_and_leaves_doses_given_before_as_they_were(log):
    log.write("water_change", days_ago(5), volume_l=1000, point="mains")
    log.write("reading", days_ago(6), quantity="kh_dkh", value=8.0, point="mains")
    log.write("dose", days_ago(4), substance="sodium_bicarbonate", amount_g=300)
    log.write("dose", days_ago(1), substance="sodium_bicarbonate", amount_g=300)
    as_it_was = rises_and_shares(log)
    new_volume(log, 20_000, 2)
    mix, before, after = rises_and_shares(log)
    assert [mix, before] == as_it_was[:2]
    assert after == pytest.approx(as_it_was[2] / 2)
    log.pond(volume_l=30_000)
    always = rises_and_shares(log)
    assert always == pytest.approx([value / 3 for value in as_it_was]), "it was always so, said outright"


def new_volume(log: Log, volume_l: float, since_days_ago: float) -> None:
    new_figure(log, "volume_l", volume_l, since_days_ago)


def new_figure(log: Log, field: str, value: float, since_days_ago: float) -> None:
    since = days_ago(since_days_ago).date().isoformat()
    log.write("set", NOW, target="pond", field=field, value=value, effective_from=since)


def rises_and_shares(log: Log) -> list[float]:
    pond, facts = parts(log)
    events = events_of(pond, pond.volume_l, facts, "kh_dkh", NOW, [])
    return [event.share or event.value for event in events]


def test_before_the_first_dated_volume_there_was_as_much_water(log):
    new_volume(log, 20_000, 2)
    new_volume(log, 5000, 40)
    _, facts = parts(log)
    on = days_ago(50).date()
    assert volume_on(facts, on, 1.0) == 10_000, "as was always so, until something else was said"
    assert volume_on(facts, days_ago(1).date(), 1.0) == 5000, "the last by the server's order"
    assert volume_on([*facts], on, 1.0) == 1.0


def test_another_trickle_counts_from_its_date(log):
    log.kh(5.0, days_ago(20))
    log.kh(5.0, days_ago(10))
    before = estimate_of(*parts(log), "kh_dkh", days_ago(8))
    new_figure(log, "inflow_l_per_day", 5000, 5)
    pond, facts = parts(log)
    first, (change,) = inflows_of(pond, facts, "kh_dkh", NOW)
    assert (first.share_per_day, change.share, change.value) == (0.05, 0.5, 1.0)
    assert change.at == datetime.combine(days_ago(5).date(), time(0), UTC)
    assert estimate_of(pond, facts, "kh_dkh", days_ago(8)) == before, "what was believed then stands"
    now = estimate_of(pond, facts, "kh_dkh", NOW)
    assert now is not None
    assert now.inflow.share_per_day == 0.5
    assert now.level < 2.0, "half the water a day, at 1 °dKH"


def test_a_trickle_that_was_always_so_changes_what_was_believed(log):
    log.kh(5.0, days_ago(20))
    log.pond(inflow_l_per_day=5000)
    assert inflows_of(*parts(log), "kh_dkh", NOW) == (Inflow(0.5, 1.0), [])


def test_a_water_change_mixes(log):
    log.kh(5.0, days_ago(1.001))
    log.write("reading", days_ago(2), quantity="kh_dkh", value=9.0, point="mains")
    pond, facts = parts(log)
    without = estimate_of(pond, facts, "kh_dkh", NOW)
    log.write("water_change", days_ago(1), volume_l=2500, point="mains")
    pond, facts = parts(log)
    after = estimate_of(pond, facts, "kh_dkh", NOW)
    assert without is not None and after is not None
    assert after.level - without.level == pytest.approx(0.25 * 4.0, abs=0.08)


def test_another_ponds_water_changes_nothing_we_know(log):
    log.kh(5.0, days_ago(2))
    log.write("water_change", days_ago(1), volume_l=2500, point="pond")
    pond, facts = parts(log)
    assert [event.kind for event in events_of(pond, 10_000, facts, "kh_dkh", NOW, [])] == ["reading"]


def test_with_food_known_and_no_readings_to_speak_of_the_use_is_what_food_takes(log):
    for day in range(1, 8):
        log.write("feed", days_ago(day), feed_g=100, protein_fraction=0.4)
    log.kh(5.0, NOW)
    pond, facts = parts(log)
    # Timmons & Ebeling: 0.092 of the protein; EPA: 7.14 g CaCO3 for each gram of nitrogen (both from memory).
    assert nitrogen_g_per_day(pond, facts, NOW) == pytest.approx(100 * 0.4 * 0.092)
    all_of_it = 100 * 0.4 * 0.092 * 7.14 / 17.848 / 10.0
    assert tuning_of(pond, facts, "kh_dkh", NOW).use == pytest.approx(0.7 * all_of_it, rel=0.01)
    estimate = estimate_of(pond, facts, "kh_dkh", NOW)
    assert estimate is not None
    assert estimate.change_at(5.0) == pytest.approx(0.7 * all_of_it + 0.05 * 4.0, rel=0.02)


def test_nitrate_is_supposed_to_rise_with_food(log):
    log.pond(feed_g_per_day=200)
    pond, facts = parts(log)
    assert tuning_of(pond, facts, "nitrate_n_mg_per_l", NOW).use < 0


def test_a_trickle_of_unknown_water_is_left_to_the_use():
    log = Log()
    log.pond(volume_l=10_000, inflow_l_per_day=500)
    pond, facts = parts(log)
    assert inflow_of(pond, facts, "kh_dkh", NOW).share_per_day == 0
    log.write("reading", days_ago(3), quantity="kh_dkh", value=2.0, point="mains")
    pond, facts = parts(log)
    inflow = inflow_of(pond, facts, "kh_dkh", NOW)
    assert (inflow.share_per_day, inflow.source) == (0.05, 2.0)


def warmth(log: Log, values: dict[int, float]) -> None:
    for day, value in values.items():
        log.write("reading", days_ago(day), quantity="temperature_c", value=value)


def test_warmth_quickens_the_pace_and_a_change_of_it_is_noticed(log):
    warmth(log, dict.fromkeys(range(20, 3, -1), 15.0) | dict.fromkeys(range(3, -1, -1), 21.0))
    _, facts = parts(log)
    paces = pace_events(facts)
    assert paces[-1].value / paces[0].value == pytest.approx(2**0.6, rel=0.03)
    assert changed_markedly(paces, NOW)
    assert not changed_markedly(paces, days_ago(5))


def test_a_day_without_food_written_down_counts_as_usual(log):
    for day in range(30, 10, -1):
        log.write("feed", days_ago(day), feed_g=100)
    _, facts = parts(log)
    assert {round(event.value, 6) for event in pace_events(facts)} == {1.0}
    for day in range(10, 3, -1):
        log.write("feed", days_ago(day), feed_g=0)
    _, facts = parts(log)
    assert pace_events(facts)[-1].value < 0.7


def test_food_a_tick_carries_is_food_given(log):
    for day in range(1, 6):
        log.tick("feed", days_ago(day).date(), "morning", days_ago(day), feed_g=60)
        log.write("feed", days_ago(day), feed_g=40)
    pond, facts = parts(log)
    assert food_g_per_day(pond, facts, NOW) == 100
    # 36.8 g of nitrogen as ammonia per kg of food of 40 % protein (Timmons & Ebeling, from memory).
    assert nitrogen_g_per_day(pond, facts, NOW) == pytest.approx(3.68)


def test_less_food_in_ticks_slows_the_pace_as_food_by_itself_does(log):
    for day in range(20, 0, -1):
        log.tick("feed", days_ago(day).date(), "morning", days_ago(day), feed_g=100 if day > 6 else 10)
    _, facts = parts(log)
    assert pace_events(facts)[-1].value < 0.9
