"""How much an item has run: counters, counters that began anew, and what is usual between."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.book.kit_use import by_day, counted, use_between

MARCH = date(2026, 3, 1)


def day(number: int) -> date:
    return MARCH + timedelta(days=number)


def usual(per_day: float | None):
    return by_day(lambda _: per_day, ())


def test_a_counter_counts_from_one_reading_to_the_other():
    totals = counted([(day(0), 1000.0), (day(10), 1240.0), (day(20), 1440.0)], None, 24)
    use = use_between(totals, usual(24), day(0), day(20))
    assert (use.amount, use.told) == (440.0, True)


def test_between_two_readings_it_ran_evenly():
    totals = counted([(day(0), 1000.0), (day(10), 1100.0)], None, 24)
    assert use_between(totals, usual(24), day(4), day(10)).amount == 60.0


def test_before_the_first_reading_and_after_the_last_the_usual_day_stands_in():
    totals = counted([(day(10), 1000.0), (day(20), 1100.0)], None, 24)
    use = use_between(totals, usual(24), day(5), day(22))
    assert use.amount == 5 * 24 + 100 + 2 * 24


def test_a_counter_that_shows_less_began_anew_at_nought():
    totals = counted([(day(0), 9000.0), (day(10), 9200.0), (day(20), 150.0), (day(30), 390.0)], None, 24)
    assert use_between(totals, usual(24), day(0), day(30)).amount == 200 + 150 + 240


def test_no_step_counts_for_more_than_the_days_allow():
    totals = counted([(day(0), 10.0), (day(9), 99_999.0)], None, 24)
    assert use_between(totals, usual(24), day(0), day(9)).amount == 240.0


def test_a_new_item_s_counter_began_at_nought_when_it_can_have_come_so_far():
    since_fitted = counted([(day(10), 230.0), (day(20), 470.0)], day(0), 24)
    assert use_between(since_fitted, usual(1), day(0), day(20)).amount == 470.0
    second_hand = counted([(day(10), 5000.0), (day(20), 5240.0)], day(0), 24)
    assert use_between(second_hand, usual(1), day(0), day(20)).amount == 10 + 240


def test_readings_of_the_item_before_it_do_not_count():
    totals = counted([(day(-30), 9000.0), (day(-1), 9600.0), (day(10), 240.0)], day(0), 24)
    assert use_between(totals, usual(24), day(0), day(10)).amount == 240.0


def test_without_a_counter_the_usual_day_tells_and_without_either_nothing_does():
    use = use_between([], usual(12), day(0), day(10))
    assert (use.amount, use.told) == (120.0, False)
    assert use_between([], usual(None), day(0), day(10)) is None
    assert use_between([(day(0), 0.0)], usual(None), day(5), day(10)) is None


def test_a_rate_that_changed_counts_from_its_day():
    rate = by_day(lambda on: 400.0 if on < day(4) else 420.0, [day(4), day(40)])
    assert rate(day(0), day(10)) == 4 * 400 + 6 * 420


@given(
    st.lists(st.tuples(st.integers(0, 400), st.floats(0, 100_000)), max_size=12),
    st.integers(0, 400),
    st.integers(0, 100),
    st.integers(0, 100),
)
def test_use_is_never_negative_never_over_a_day_and_adds_up(points, begins, first, second):
    totals = counted(sorted((day(number), value) for number, value in points), None, 24)
    middle, ends = begins + first, begins + first + second
    whole, early, late = (
        use_between(totals, usual(24), day(a), day(b)) for a, b in ((begins, ends), (begins, middle), (middle, ends))
    )
    assert 0 <= whole.amount <= 24 * (ends - begins) * 2 + 1e-6
    assert abs(early.amount + late.amount - whole.amount) < 1e-6
