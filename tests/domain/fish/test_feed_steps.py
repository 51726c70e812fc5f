"""Feeding again in spring: a step is only taken when ammonia and nitrite allow."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.fish.feed_steps import WaterTest, step_on
from evenwater.domain.kit import FeedSteps

START = date(2026, 4, 1)
STEPS = FeedSteps(starts_on=START, first_fraction=0.25, step_fraction=0.25, days_per_step=5)


def day(n: int) -> date:
    return START + timedelta(days=n)


def both(n: int, fine: bool | None = True) -> list[WaterTest]:
    return [WaterTest(day(n), "tan", fine), WaterTest(day(n), "nitrite", fine)]


def test_before_the_first_day_there_is_no_step():
    assert step_on(STEPS, [], day(-1)) is None


def test_the_first_step_needs_no_test():
    step = step_on(STEPS, [], START)
    assert step is not None
    assert (step.fraction, step.number, step.steps, step.next_on, step.waits_for) == (0.25, 1, 4, day(5), None)


def test_a_step_is_taken_on_its_day_when_both_were_in_range():
    step = step_on(STEPS, both(4), day(5))
    assert step is not None
    assert (step.fraction, step.number, step.next_on) == (0.5, 2, day(10))


def test_without_a_test_of_three_days_it_stays_and_says_so():
    step = step_on(STEPS, both(2), day(5))
    assert step is not None
    assert (step.number, step.waits_for) == (1, "TAN was not tested within three days")


def test_one_test_out_of_range_holds_it():
    step = step_on(STEPS, [*both(4), WaterTest(day(5), "nitrite", False)], day(5))
    assert step is not None
    assert step.waits_for == "nitrite was not in range within three days"


def test_a_late_step_moves_those_after_it():
    tests = [*both(8), *both(12)]
    step = step_on(STEPS, tests, day(8))
    assert step is not None
    assert (step.number, step.next_on) == (2, day(13))
    assert step_on(STEPS, tests, day(12)) == step


def test_ammonia_without_ph_and_temperature_cannot_be_judged():
    step = step_on(STEPS, both(5, None), day(5))
    assert step is not None
    assert step.waits_for == "TAN cannot be judged: pH and temperature belong beside it"


def test_the_last_step_is_all_of_it():
    step = step_on(STEPS, [one for n in range(30) for one in both(n)], day(29))
    assert step is not None
    assert (step.fraction, step.number, step.next_on) == (1.0, 4, None)


tests_drawn = st.lists(st.tuples(st.integers(-5, 40), st.sampled_from(["tan", "nitrite"]), st.booleans()), max_size=40)


@given(tests_drawn, st.integers(0, 40), st.integers(0, 10))
def test_no_step_is_ever_given_back_nor_two_taken_at_once(drawn, on, later):
    tests = [WaterTest(day(n), of, fine) for n, of, fine in drawn]
    first, then = step_on(STEPS, tests, day(on)), step_on(STEPS, tests, day(on + later))
    assert first is not None and then is not None
    assert first.number <= then.number <= first.number + 1 + later // STEPS.days_per_step
    assert first.fraction <= then.fraction <= 1


def test_a_step_of_next_to_nothing_is_one_of_thousands():
    step = step_on(FeedSteps(starts_on=START, first_fraction=1e-310, step_fraction=1e-310), both(4), day(5))
    assert step is not None
    assert (step.number, step.next_on) == (2, day(10))
    assert step.fraction < 0.001
