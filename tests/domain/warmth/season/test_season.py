"""Each day's setting within a step-down or step-up: never two steps at once, never against what nature does."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.kit import SeasonSteps
from evenwater.domain.pond import Pond
from evenwater.domain.warmth.season.season import setting_today, settings_ahead

POND = Pond(id="main")
STARTS = date(2026, 10, 10)
DOWN = SeasonSteps(from_c=18, to_c=12, starts_on=STARTS)
UP = SeasonSteps(from_c=12, to_c=18, starts_on=STARTS)


def on(day: int) -> date:
    return STARTS + timedelta(days=day)


def today(season, made, day, water_c=None, cold_snap=False):
    found = setting_today(POND, season, [(on(at), c) for at, c in made], water_c, cold_snap, on(day))
    return None if found is None else (found.setting_c, found.reason)


def test_nothing_is_set_before_the_first_day():
    assert today(DOWN, [], -1) is None


def test_the_first_day_keeps_what_was_and_the_first_step_comes_after_its_days():
    assert today(DOWN, [], 0) == (18, "18 °C until Tue 13 Oct, then the next step.")
    assert today(DOWN, [(0, 18)], 3) == (17, "Step 1 of the step-down, from 18 °C.")


def test_a_step_that_was_forgotten_is_not_followed_by_two_at_once():
    assert today(DOWN, [(0, 18)], 9)[0] == 17
    # Made three days late: the next one waits its three days from then.
    assert today(DOWN, [(0, 18), (6, 17)], 8) == (17, "17 °C until Mon 19 Oct, then the next step.")


def test_a_setting_made_again_does_not_put_the_next_step_off():
    assert today(DOWN, [(0, 18), (3, 17), (5, 17)], 6)[0] == 16


def test_a_warm_spell_is_used_and_never_fought():
    kept = today(DOWN, [(3, 17)], 6, water_c=18.4)
    assert kept == (17, "The water keeps 18.4 °C by itself: the setting waits at 17 °C.")
    assert today(DOWN, [(3, 17)], 6, water_c=17.3)[0] == 16


def test_a_cold_snap_holds_the_step_and_it_goes_on_after():
    assert today(DOWN, [(3, 17)], 6, water_c=17, cold_snap=True)[1].startswith("Held at 17 °C: a cold snap.")
    assert today(DOWN, [(3, 17)], 8, water_c=17)[0] == 16


def test_it_ends_where_it_was_to_end():
    assert today(DOWN, [(18, 12)], 40) == (12, "12 °C is where the step-down ends.")
    assert today(SeasonSteps(from_c=18, to_c=12.5, starts_on=STARTS), [(15, 13)], 18)[0] == 12.5


def test_in_spring_a_warm_spell_is_kept_and_water_that_lags_is_waited_for():
    assert today(UP, [(0, 12)], 3, water_c=12.2)[0] == 13
    assert today(UP, [(0, 12)], 3, water_c=14.6) == (14, "A warm spell brought 14.6 °C: that is kept.")
    assert today(UP, [(3, 14)], 6, water_c=12.5)[1] == "The water has not come up to 14 °C yet, it is 12.5 °C."


def test_settings_ahead_go_step_by_step_to_the_end():
    ahead = settings_ahead(DOWN, 13.0, STARTS, 8)
    assert [setting_c for _, setting_c in ahead] == [13, 13, 12, 12, 12, 12, 12]


@given(
    st.lists(st.tuples(st.integers(0, 40), st.floats(12, 18)), max_size=8).map(sorted),
    st.integers(0, 60),
    st.none() | st.floats(2, 25),
    st.booleans(),
    st.booleans(),
)
def test_no_day_asks_for_more_than_a_step_against_nature(made, day, water_c, cold_snap, down):
    season = DOWN if down else UP
    found = today(season, made, day, water_c, cold_snap)
    assert found is not None
    before = [setting_c for at, setting_c in made if at < day]
    last_c = before[-1] if before else season.from_c
    if down:
        assert last_c - 1 - 1e-6 <= found[0] <= last_c or found[0] == season.to_c
    else:
        assert found[0] <= max(last_c + 1, water_c or 0) + 1e-6
        assert found[0] >= min(last_c, season.to_c) - 1e-6
    assert 12 - 1e-6 <= found[0] <= 18 + 1e-6
