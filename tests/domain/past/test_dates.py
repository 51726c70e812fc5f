"""Dates and times in the forms people use; their order is a whole column's to show."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.past.dates import Civil, NoDate, order_of, read_date, read_time

THE_DAY = date(2026, 3, 31)


@pytest.mark.parametrize(
    "text",
    [
        *("2026-03-31", "2026/3/31", "20260331", "31.3.26", "31.03.2026", "31/3/2026", "31-3-26", "31. März 2026"),
        *("Di, 31.03.2026", "31 Mar 2026", "31-Mar-26", "March 31, 2026", "Tuesday 31 March 2026", "46112"),
    ],
)
def test_a_date_is_read(text: str) -> None:
    assert read_date(text, "dmy") == Civil(THE_DAY)


@pytest.mark.parametrize(
    ("text", "time_s"),
    [
        ("31.3.26 18:05", 65_100),
        ("31.3.26, 18.05 Uhr", 65_100),
        ("2026-03-31T18:05:30", 65_130),
        ("31/3/2026 6:05 pm", 65_100),
        ("31/3/2026 12:05 am", 300),
        ("46112.75", 64_800),
        ("46112,75", 64_800),
    ],
)
def test_a_date_may_bring_its_time(text: str, time_s: int) -> None:
    assert read_date(text, "dmy") == Civil(THE_DAY, time_s)


def test_an_offset_is_kept() -> None:
    assert read_date("2026-03-31T18:05:00+02:00", "dmy") == Civil(THE_DAY, 65_100, 7200)
    assert read_date("2026-03-31T18:05Z", "dmy") == Civil(THE_DAY, 65_100, 0)


def test_month_first_is_another_day() -> None:
    assert read_date("3/4/2026", "mdy") == Civil(date(2026, 3, 4))
    assert read_date("3/4/2026", "dmy") == Civil(date(2026, 4, 3))


def test_a_date_without_its_year_takes_the_chosen_one() -> None:
    assert isinstance(read_date("31.3.", "dmy"), NoDate)
    assert read_date("31.3.", "dmy", 2026) == Civil(THE_DAY)


@pytest.mark.parametrize(
    "text", ["", "yesterday", "31.2.2026", "2026-13-01", "31.3.2026 25:00", "5.5", "12:30", "1234"]
)
def test_what_is_no_date_is_named(text: str) -> None:
    assert isinstance(read_date(text, "dmy"), NoDate)


@pytest.mark.parametrize("text", ["", "25:00", "18:60", "13:00 pm", "noon", "18"])
def test_what_is_no_time_is_none(text: str) -> None:
    assert read_time(text) is None


@pytest.mark.parametrize(
    ("cells", "order", "sure"),
    [
        (["3/4/2026", "25/4/2026"], "dmy", True),
        (["3/4/2026", "4/25/2026"], "mdy", True),
        (["3/4/2026", "5/6/2026"], "dmy", False),
        (["25/4/2026", "4/25/2026", "26/4/2026"], "dmy", False),
        (["2026-03-04"], "ymd", True),
        (["3-4-2026"], "dmy", False),
        ([], "ymd", True),
    ],
)
def test_the_order_is_decided_over_the_whole_column(cells: list[str], order: str, sure: bool) -> None:
    found = order_of(cells)
    assert (found.order, found.sure) == (order, sure)


@given(st.text(max_size=40), st.sampled_from(["ymd", "dmy", "mdy"]), st.none() | st.integers(1990, 2100))
def test_any_text_is_a_date_or_none(text: str, order: str, year: int | None) -> None:
    assert isinstance(read_date(text, order, year), Civil | NoDate)  # type: ignore[arg-type]
    read_time(text)
    order_of([text])


FORMS = {"ymd": "%Y-%m-%d", "dmy": "%d.%m.%Y", "mdy": "%m/%d/%Y"}


@given(st.dates(date(1990, 1, 1), date(2068, 12, 31)), st.sampled_from(list(FORMS)), st.booleans())
def test_a_date_written_in_any_order_is_read_back(on: date, order: str, short: bool) -> None:
    form = FORMS[order].replace("%Y", "%y") if short and order != "ymd" and on.year >= 2000 else FORMS[order]
    assert read_date(on.strftime(form), order) == Civil(on)  # type: ignore[arg-type]
