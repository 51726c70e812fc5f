"""A logger's table read as samples: two kinds of table, times with and without a zone, what is no number."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.errors import DomainError
from evenwater.domain.warmth.sample_table import SentSample, read_table

BERLIN = ZoneInfo("Europe/Berlin")
AT = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)


def good(text: str, zone: ZoneInfo | None = None) -> list[tuple[str, datetime, float]]:
    read = [one for _, one in read_table(text.encode(), zone)]
    assert all(isinstance(one, SentSample) for one in read), read
    return [(one.series, one.at.astimezone(UTC), one.value) for one in read]  # type: ignore[union-attr]


def bad(text: str, zone: ZoneInfo | None = None) -> list[tuple[int, str, str]]:
    return [
        (line, one.where, str(one)) for line, one in read_table(text.encode(), zone) if isinstance(one, DomainError)
    ]


@pytest.mark.parametrize(
    "text",
    [
        "at,series,value\n2026-11-03T16:30:00Z,water_c,14.2\n2026-11-03T16:30:00Z,air_c,-6.1\n",
        "at,water_c,air_c\n2026-11-03T16:30:00Z,14.2,-6.1\n",
        "\ufeffAT; water_c; air_c\r\n2026-11-03T17:30:00+01:00; 14,2; -6,1\r\n",
        "at;air_c;water_c;\n2026-11-03 16:30Z;-6.1;14.2;\n",
        'value\tseries\tat\n14.2\twater_c\t"2026-11-03T16:30:00.000Z"\n-6.1\tair_c\t2026-11-03T16:30Z',
    ],
)
def test_the_kinds_of_table_say_the_same(text):
    assert sorted(good(text)) == [("air_c", AT, -6.1), ("water_c", AT, 14.2)]


def test_what_was_not_measured_is_left_out():
    assert good("at,water_c,air_c\n2026-11-03T16:30:00Z,,6.1\n2026-11-03T16:40:00Z,nan,-\n,,\n") == [("air_c", AT, 6.1)]


def test_a_point_is_never_a_sign_between_thousands():
    assert good("at;heater_kwh\n2026-11-03T16:30:00Z;1.234\n") == [("heater_kwh", AT, 1.234)]


def test_a_time_without_a_zone_is_refused_unless_the_pond_lends_its_own():
    text = "at,air_c\n2026-11-03 17:30,6.1\n"
    assert good(text, BERLIN) == [("air_c", AT, 6.1)]
    assert bad(text) == [(2, "at", "the time names no zone")]


def test_half_hours_go_on_through_the_hour_that_comes_twice_in_autumn():
    times = ("01:30", "02:00", "02:30", "02:00", "02:30", "03:00")
    text = "at,price_per_kwh\n" + "".join(f"2026-10-25 {time},0.3\n" for time in times)
    start = datetime(2026, 10, 24, 23, 30, tzinfo=UTC)
    assert [at for _, at, _ in good(text, BERLIN)] == [start + n * timedelta(minutes=30) for n in range(6)]


@pytest.mark.parametrize(
    ("row", "where", "said"),
    [
        ("yesterday,14.2,6.1", "at", "'yesterday' is no time"),
        ("2026-13-03T16:30:00Z,14.2,6.1", "at", "is no time"),
        (",14.2,6.1", "at", "'' is no time"),
        ("2026-11-03T16:30:00Z,14.2 C,6.1", "value", "'14.2 C' is no number"),
        ("2026-11-03T16:30:00Z,=B2,6.1", "value", "'=B2' is no number"),
        ("2026-11-03T16:30:00Z,1_0,6.1", "value", "is no number"),
        ("2026-11-03T16:30:00Z,inf,6.1", "value", "is no number"),
        ("2026-11-03T16:30:00Z,14,2,6,1", "line 3", "5 cells for 3 columns"),
        ('2026-11-03T16:30:00Z,"14.2,6.1', "line 3", "never closed"),
    ],
)
def test_a_row_that_cannot_be_read_is_named_and_the_others_are_read(row, where, said):
    text = f"at,water_c,air_c\n2026-11-03T16:00:00Z,14.0,6.0\n{row}\n2026-11-03T17:00:00Z,14.1,5.9\n"
    (found,) = bad(text)
    assert found[:2] == (3, where) and said in found[2]
    assert sum(isinstance(one, SentSample) for _, one in read_table(text.encode())) >= 4


def test_a_line_in_another_separator_is_named_and_not_dropped():
    text = "at,water_c\n2026-11-03T16:30:00Z,14.2\n2026-11-03T17:00:00Z;14.3\n"
    assert [(line, where) for line, where, _ in bad(text)] == [(3, "at")]


def test_what_a_series_may_be_is_for_others_to_say():
    assert good("at,series,value\n2026-11-03T16:30:00Z,anything,1\n") == [("anything", AT, 1.0)]


@pytest.mark.parametrize(
    "text",
    ["", "\n\n", "14.2,6.1\n", "at\n2026-11-03T16:30:00Z\n", "at,pond_temp\n", "at,air_c,air_c\n", "PK\x03\x04"],
)
def test_a_file_whose_columns_are_not_named_is_refused_whole(text):
    with pytest.raises(DomainError) as caught:
        list(read_table(text.encode()))
    assert caught.value.right


@given(st.binary(max_size=300))
def test_no_bytes_whatever_break_the_reader(junk):
    try:
        read = list(read_table(b"at,water_c,air_c\n" + junk, BERLIN))
    except DomainError:
        return
    assert all(isinstance(one, SentSample | DomainError) for _, one in read)
