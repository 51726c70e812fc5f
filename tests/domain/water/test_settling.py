"""Answers that do not flicker."""

from datetime import timedelta
from functools import partial

from hypothesis import given
from hypothesis import strategies as st
from written_log import NOW

from evenwater.domain.water.outlook import Cuts
from evenwater.domain.water.ranges import WORSE, answer_of
from evenwater.domain.water.recent import Read
from evenwater.domain.water.settling import settled

KH = Cuts(quantity="kh_dkh", point="pond", act_below=2.5, drift_below=4.0, drift_above=10.0)
WEEK = timedelta(days=7)
DAY = timedelta(days=1)


def answer_at(cuts, one, step):
    return answer_of(cuts, one.value, step)


def series(*values, every=DAY, step=0.5):
    return [Read(str(i), "kh_dkh", "pond", NOW + i * every, NOW.date(), value, step) for i, value in enumerate(values)]


def said(*values, every=DAY, step=0.5, hold="both"):
    return settled(series(*values, every=every, step=step), partial(answer_at, KH), WEEK, hold)


def test_the_first_reading_answers_for_itself():
    assert said(5.0) == "in_range"
    assert said(4.2) == "drifting"


def test_a_worse_answer_counts_at_once():
    assert said(5.0, 4.2) == "drifting"
    assert said(5.0, 2.0) == "act_now"


def test_a_better_answer_needs_half_a_kit_step_more():
    assert said(4.0, 4.5) == "drifting"
    assert said(4.0, 4.6) == "in_range"


def test_an_answer_goes_back_one_at_a_time_where_it_is_not_far_enough():
    assert said(2.0, 4.4) == "drifting"
    assert said(2.0, 2.9) == "act_now"


def test_readings_that_hover_about_a_cut_do_not_flicker():
    hovering = [4.2, 4.3, 4.2, 4.4, 4.3, 4.2, 4.4]
    assert {said(*hovering[: i + 1]) for i in range(len(hovering))} == {"drifting"}


def test_after_a_gap_nothing_is_remembered():
    assert said(4.0, 4.5, every=WEEK) == "in_range"
    assert said(4.0, 4.5, every=WEEK - timedelta(minutes=1)) == "drifting"


QUARTER = timedelta(minutes=15)


def test_a_probes_answer_must_stand_for_two_hours():
    steady = [5.0] * 12
    assert said(*steady, 3.0, every=QUARTER, step=0.01) == "in_range"
    assert said(*steady, *[3.0] * 8, every=QUARTER, step=0.01) == "in_range"
    assert said(*steady, *[3.0] * 9, every=QUARTER, step=0.01) == "drifting"


def test_a_probe_that_comes_back_starts_the_two_hours_anew():
    assert said(*[5.0] * 12, *[3.0] * 8, 5.0, *[3.0] * 8, every=QUARTER, step=0.01) == "in_range"


def test_a_hand_that_tests_twice_is_believed_at_once():
    assert said(5.0, 5.0, 3.0, every=QUARTER, step=0.01) == "drifting"


def test_what_must_not_wait_does_not():
    assert said(*[5.0] * 12, 2.0, every=QUARTER, step=0.01, hold="never") == "act_now"
    assert said(*[5.0] * 12, 2.0, every=QUARTER, step=0.01, hold="not_falling") == "act_now"
    assert said(*[5.0] * 12, 11.0, every=QUARTER, step=0.01, hold="not_falling") == "in_range"


def test_for_differences_the_step_counts_only_on_the_way_back():
    swing = Cuts(quantity="ph_swing", point="pond", drift_above=0.3, act_above=0.5)
    at = partial(answer_at, swing)
    assert settled(series(0.27, step=0.1), at, WEEK, whole_step=False) == "in_range"
    assert settled(series(0.3, 0.27, step=0.1), at, WEEK, whole_step=False) == "drifting"
    assert settled(series(0.3, 0.24, step=0.1), at, WEEK, whole_step=False) == "in_range"


@given(st.lists(st.floats(0, 25), min_size=1, max_size=12), st.floats(0.01, 2))
def test_the_answer_is_never_better_than_the_reading_itself(values, step):
    assert WORSE[said(*values, step=step)] >= WORSE[answer_of(KH, values[-1], step)]


@given(st.lists(st.floats(0, 25), min_size=1, max_size=12), st.floats(0.01, 2))
def test_a_reading_a_whole_step_clear_of_every_cut_answers_for_itself(values, step):
    last = values[-1]
    if answer_of(KH, last, 2 * step) == answer_of(KH, last):
        assert said(*values, step=step) == answer_of(KH, last)


@given(st.floats(0, 25), st.floats(0.01, 2))
def test_the_same_reading_again_changes_nothing(value, step):
    assert said(value, step=step) == said(value, value, value, step=step)
