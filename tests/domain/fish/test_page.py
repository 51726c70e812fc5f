"""The Fish page of a pond, from a log written by hand."""

from datetime import timedelta

import msgspec
import pytest
from fish_log import FishLog
from hypothesis import given, settings
from hypothesis import strategies as st
from written_log import NOW

from evenwater.domain.fish.length_weight import standard_weight_g
from evenwater.domain.fish.outlook import FishState, PondFish
from evenwater.domain.fish.page import fish_of, register_of
from evenwater.domain.fold import fold
from evenwater.domain.rounds.warmth_now import warmth_now
from evenwater.domain.warmth.pond_air import Samples

TODAY = NOW.date()


def page_of(log: FishLog, pond: str = "main", water: dict | None = None) -> PondFish:
    known = fold(log.entries)
    register = register_of(known, water or {}, NOW)
    of = next(one for one in known.ponds(TODAY) if one.id == pond)
    return fish_of(known, of, register, warmth_now(known, of, Samples(), NOW).page, NOW)


def fish_in(page: PondFish) -> dict[str, FishState]:
    return {one.id: one for one in page.fish}


@pytest.fixture
def log() -> FishLog:
    log = FishLog()
    log.pond()
    log.pond(pond="hall")
    return log


def keep(log: FishLog, fish: str, *lengths: float, every_days: int = 180, **more: object) -> None:
    """A fish measured every half year, the last time a month ago."""
    log.fish(fish)
    for nth, cm in enumerate(lengths):
        log.measure(fish, 30 + every_days * (len(lengths) - 1 - nth), cm, **more)


def test_a_fish_never_measured_is_there_and_says_so(log):
    log.fish("asagi", variety="Asagi", born_year=2020)
    asagi = fish_in(page_of(log))["asagi"]
    assert (asagi.here, asagi.weight_g, asagi.says) == (1, None, "Not measured yet.")
    assert asagi.expect_length_cm == (4, 100)


def test_a_weight_is_told_with_its_band_and_workings(log):
    keep(log, "asagi", 50)
    asagi = fish_in(page_of(log))["asagi"]
    assert asagi.weight_g.low < standard_weight_g(50) < asagi.weight_g.high
    assert asagi.weight_g.low < asagi.weight_g.middle < asagi.weight_g.high
    assert "nine times in ten" in asagi.workings.result
    assert "4 sessions" in asagi.says


def test_growth_between_sessions_is_told_by_month_and_by_warmth(log):
    keep(log, "asagi", 40, 45)
    water = {"main": {TODAY - timedelta(days=days): 20.0 for days in range(300)}}
    line = fish_in(page_of(log, water=water))["asagi"].growth[0]
    assert line.grown_cm.middle == pytest.approx(5)
    assert line.grown_cm.low > 3
    assert line.per_month_cm.middle == pytest.approx(5 / 6, abs=0.001)
    assert line.degree_days == pytest.approx(1800)
    assert line.per_1000_degree_days_cm == pytest.approx(5 / 1.8, abs=0.01)
    assert line.gain_percent_per_day.middle == pytest.approx(100 * 2.92 * 0.1178 / 180, rel=0.01)
    assert fish_in(page_of(log))["asagi"].growth[0].degree_days is None


def test_a_curve_is_told_with_four_sessions_over_a_year_and_a_half_and_not_before(log):
    keep(log, "few", 40, 44, 47)
    keep(log, "many", 40, 44, 47, 49.5, 51.5)
    fish = fish_in(page_of(log))
    assert fish["few"].curve is None
    curve = fish["many"].curve
    assert 45 < curve.l_inf_cm.low < curve.l_inf_cm.middle < curve.l_inf_cm.high
    dates = [on for on, *_ in curve.points]
    assert dates == sorted(dates)
    assert dates[-1] == TODAY
    assert all(low < middle < high for _, low, middle, high in curve.points)


def test_a_fish_that_hardly_grew_stands_out_and_the_others_do_not(log):
    for nth in range(8):
        keep(log, f"fish-{nth}", 40 + nth, 45 + nth, 49 + nth, 52.5 + nth)
    keep(log, "stuck", 40, 45, 49, 47.5)
    told = {name: one.stands_out for name, one in fish_in(page_of(log)).items() if one.stands_out}
    assert list(told) == ["stuck"]
    assert told["stuck"].startswith("Grew -1.5 cm since")


def test_a_fish_that_lost_weight_for_its_length_stands_out(log):
    log.fish("asagi")
    log.measure("asagi", 300, 50, weight_g=2400)
    log.measure("asagi", 30, 51, weight_g=1950)
    asagi = fish_in(page_of(log))["asagi"]
    assert "lighter for its length" in asagi.stands_out
    assert "less than the time before" in asagi.condition_says


def test_fish_that_moved_are_on_the_page_of_their_pond_and_the_dead_where_they_were_last(log):
    keep(log, "asagi", 50)
    keep(log, "old", 70)
    log.move(20, ["asagi"], from_pond="main", to_pond="hall")
    log.move(10, ["old"], from_pond="main", how="died")
    assert list(fish_in(page_of(log, "hall"))) == ["asagi"]
    old = fish_in(page_of(log))["old"]
    assert (old.here, old.gone) == (0, "died")
    assert page_of(log).stock.count is None


def test_all_fish_together_weigh_what_each_weighs_and_the_shared_doubt_adds_up(log):
    for nth in range(10):
        keep(log, f"fish-{nth}", 50)
    page = page_of(log)
    one, all_of_them = page.fish[0].weight_g, page.stock.mass_g
    assert page.stock.count == 10
    assert all_of_them.middle == pytest.approx(10 * one.middle, rel=1e-3)  # shown in four figures
    relative = (all_of_them.high - all_of_them.low) / all_of_them.middle
    assert 0.7 * (one.high - one.low) / one.middle < relative < (one.high - one.low) / one.middle


def test_where_the_register_is_not_complete_the_mass_is_as_set_or_not_known(log):
    keep(log, "asagi", 50)
    log.fish("new")
    assert page_of(log).stock.mass_g is None
    assert "1 has not been measured" in page_of(log).stock.says
    log.pond(fish_count=12, fish_mass_g=30_000)
    stock = page_of(log).stock
    assert (stock.count, stock.mass_g.middle) == (12, 30_000)
    assert "2 of 12 are in the register" in stock.says


def test_weighings_of_other_fish_bear_on_those_that_were_only_measured(log):
    keep(log, "asagi", 50)
    before = fish_in(page_of(log))["asagi"].weight_g
    for nth in range(6):
        keep(log, f"weighed-{nth}", 55, weight_g=1.4 * standard_weight_g(55))
    after = fish_in(page_of(log))["asagi"].weight_g
    assert after.middle > before.middle
    assert after.high / after.low < before.high / before.low


def test_a_group_has_one_mean_length_and_no_curve(log):
    log.fish("small", count=12)
    for days_ago, lengths in ((400, (12, 14, 13)), (200, (18, 20, 21)), (30, (25, 22, 27))):
        for cm in lengths:
            log.measure("small", days_ago, cm)
    small = fish_in(page_of(log))["small"]
    assert (small.here, small.curve, small.stands_out) == (12, None, None)
    assert 22 < small.length_total_cm < 30
    assert len(small.measures) == 9


def test_a_standard_length_is_expected_as_standard_next_time(log):
    log.fish("asagi")
    log.measure("asagi", 100, 50, length_is="standard")
    asagi = fish_in(page_of(log))["asagi"]
    assert asagi.expect_length_is == "standard"
    assert 47 < asagi.expect_length_cm[0] < 50 < asagi.expect_length_cm[1] < 65


def test_what_was_seen_stands_with_the_fish_and_with_the_pond(log):
    log.fish("asagi")
    log.write("fish_seen", NOW - timedelta(days=3), fish=["asagi"], signs=["flashing"])
    log.write("fish_seen", NOW - timedelta(days=2), signs=["jumping"])
    page = page_of(log)
    assert [one.signs for one in page.seen] == [("jumping",), ("flashing",)]
    assert [one.signs for one in fish_in(page)["asagi"].seen] == [("flashing",)]


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.integers(0, 2500),
            st.none() | st.floats(1, 130),
            st.sampled_from(["standard", "total"]),
            st.none() | st.floats(0.1, 60_000),
        ),
        max_size=8,
    ),
    st.sampled_from([1, 5]),
)
def test_whatever_was_typed_the_page_comes_and_can_be_written_down(told, count):
    log = FishLog()
    log.pond()
    log.fish("asagi", count=count)
    for days_ago, cm, length_is, weight_g in told:
        if cm is not None or weight_g is not None:
            log.measure("asagi", days_ago, cm, length_is=length_is, weight_g=weight_g)
    page = page_of(log)
    assert msgspec.json.decode(msgspec.json.encode(page), type=PondFish) == page
    assert len(page.fish[0].measures) == sum(cm is not None or grams is not None for _, cm, _, grams in told)
    weight = page.fish[0].weight_g
    assert weight is None or 0 < weight.low <= weight.middle <= weight.high < 1e6


def test_one_set_up_by_mistake_is_off_the_list_and_keeps_its_name_and_its_past(log):
    keep(log, "asagi", 50)
    log.write("set", NOW, target="fish/asagi", field="closed", value=True)
    page = page_of(log)
    assert page.fish == ()
    assert [(one.id, one.name) for one in page.closed] == [("asagi", "Asagi")]
    assert page_of(log, "hall").closed == ()
    log.write("set", NOW, target="fish/asagi", field="closed", value=False)
    (asagi,) = page_of(log).fish
    assert asagi.measures[0].length_cm == 50
    assert page_of(log).closed == ()
