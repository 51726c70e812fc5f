"""From a date to a date, and the same a year before."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.errors import Contradiction, OutOfRange
from evenwater.domain.report.span import MOST_DAYS, Span, a_year_before, span_asked

TODAY = date(2026, 11, 3)


def test_a_year_before_a_leap_day_is_the_28th():
    assert a_year_before(date(2024, 2, 29)) == date(2023, 2, 28)
    assert Span(date(2024, 2, 29), date(2024, 3, 1)).before == Span(date(2023, 2, 28), date(2023, 3, 1))


def test_what_lies_ahead_is_cut_off():
    assert span_asked(date(2026, 1, 1), date(2026, 12, 31), TODAY) == Span(date(2026, 1, 1), TODAY)


@pytest.mark.parametrize(
    ("first", "last", "where"),
    [
        (date(2026, 5, 2), date(2026, 5, 1), "last"),
        (date(2026, 11, 4), date(2026, 12, 1), "first"),
        (date(2025, 1, 1), date(2026, 1, 2), "last"),
        (date(1969, 12, 31), date(1970, 1, 1), "first"),
    ],
)
def test_a_span_that_cannot_be_says_what_would_be_right(first, last, where):
    with pytest.raises((Contradiction, OutOfRange)) as refused:
        span_asked(first, last, TODAY)
    assert refused.value.where == where
    assert refused.value.right


def test_a_leap_year_is_not_too_long():
    assert span_asked(date(2024, 1, 1), date(2024, 12, 31), TODAY).days == MOST_DAYS


@given(st.dates(date(1971, 1, 1), date(2200, 1, 1)), st.integers(0, MOST_DAYS - 1))
def test_the_year_before_ends_before_it_begins(first, more):
    span = Span(first, date.fromordinal(first.toordinal() + more))
    assert span.before.first < span.before.last or span.before.days == 1
    assert span.before.last < span.first
    assert abs(span.before.days - span.days) <= 1


@given(st.dates(date(1971, 1, 1), date(2200, 1, 1)), st.integers(0, MOST_DAYS - 1))
def test_its_months_hold_each_of_its_dates_once(first, more):
    span = Span(first, date.fromordinal(first.toordinal() + more))
    months = span.months()
    assert sum(month.days for month in months) == span.days
    assert (months[0].first, months[-1].last) == (span.first, span.last)
    assert all(month.first.replace(day=1) == month.last.replace(day=1) for month in months)


def test_its_words_name_a_year_once_where_there_is_one():
    assert Span(date(2026, 4, 1), date(2026, 9, 30)).words() == "1 April to 30 September 2026"
    assert Span(date(2025, 12, 1), date(2026, 2, 28)).words() == "1 December 2025 to 28 February 2026"
    assert Span(TODAY, TODAY).words() == "3 November 2026"
