"""From the bytes of a file to what would be kept of it."""

import csv
import io
from datetime import UTC, date, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.past.as_entries import Import, content_of, entry_id, entry_of
from evenwater.domain.past.decoding import NotReadable
from evenwater.domain.past.file import PastFile
from evenwater.domain.past.meanings import meanings
from evenwater.domain.past.tally import MOST_VALUES, Tally, TooMuch
from evenwater.domain.past.understanding import Choices, ColumnChoice
from evenwater.domain.read_entries import check_entry, read_entry

NOW = datetime(2026, 11, 24, 15, 45, tzinfo=UTC)
BERLIN = ZoneInfo("Europe/Berlin")
HEAD = ["Date", "KH (°dKH)", "pH", "NO3-N"]
PERSON, IMPORT = str(UUID(int=2)), str(UUID(int=3))
OF = Import(IMPORT, "main", "Europe/Berlin", PERSON, "sodium_bicarbonate", NOW)
FORMS = {"ymd": "%Y-%m-%d", "dmy": "%d.%m.%Y", "mdy": "%m/%d/%Y"}


def opened(data: bytes, choices: Choices | None = None) -> PastFile:
    return PastFile(data, choices or Choices(), meanings(40, 16_000), BERLIN, NOW)


def read(data: bytes, choices: Choices | None = None) -> tuple[list[tuple[int, str, float | str]], Tally]:
    """(moment, meaning, value) of what would be kept, and what was counted."""
    tally = Tally()
    drawn = [one for chunk in opened(data, choices).chunks(tally) for one in chunk]
    return [(one.at_s, one.found.column.meaning, one.found.value) for one in drawn], tally


@given(st.binary(max_size=600))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    try:
        read(data)
    except NotReadable as refused:
        assert refused.what and refused.right


@given(st.lists(st.lists(st.text(max_size=12), max_size=6), max_size=8), st.sampled_from(";,\t|"))
def test_any_table_under_a_known_header_is_read(rows: list[list[str]], delimiter: str) -> None:
    written = io.StringIO()
    csv.writer(written, delimiter=delimiter, lineterminator="\n").writerows([HEAD, *rows])
    data = written.getvalue().encode("utf-8", "replace").replace(b"\0", b"")
    kept, tally = read(data)
    assert len(kept) == tally.values


READINGS = st.dictionaries(
    st.dates(date(2001, 1, 1), date(2026, 11, 23)),
    st.tuples(st.integers(0, 250), st.integers(300, 1100), st.integers(0, 3000)),
    min_size=1,
    max_size=20,
)


@given(
    READINGS,
    st.sampled_from(";\t|,"),
    st.sampled_from([",", "."]),
    st.sampled_from(list(FORMS)),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"]),
    st.integers(0, 3),
)
def test_a_table_in_any_dialect_is_read_back(
    readings: dict[date, tuple[int, int, int]], delimiter: str, decimal: str, order: str, encoding: str, titles: int
) -> None:
    written = io.StringIO()
    writer = csv.writer(written, delimiter=delimiter, lineterminator="\r\n")
    writer.writerows([["My pond"]] * titles + [HEAD])
    for on, (kh, ph, nitrate) in readings.items():
        numbers = (f"{kh / 10:.1f}", f"{ph / 100:.2f}", f"{nitrate / 10:.1f}")
        writer.writerow([on.strftime(FORMS[order]), *(number.replace(".", decimal) for number in numbers)])
    kept, tally = read(written.getvalue().encode(encoding), Choices(date_order=order))  # type: ignore[arg-type]
    assert (tally.bad, tally.repeated) == ([], 0)
    evening = {on: int(datetime(on.year, on.month, on.day, 18, tzinfo=BERLIN).timestamp()) for on in readings}
    assert {(at, meaning): value for at, meaning, value in kept} == {
        (evening[on], meaning): value
        for on, numbers in readings.items()
        for meaning, value in (
            ("kh_dkh", numbers[0] / 10),
            ("ph", numbers[1] / 100),
            ("nitrate_n_mg_per_l", numbers[2] / 10),
        )
    }


def test_a_cell_may_name_another_unit_than_its_column() -> None:
    kept, tally = read("Date;KH °dKH\n1.10.2026;5 dKH\n2.10.2026;89.24 mg/l CaCO3\n3.10.2026;5 feet\n".encode())
    assert [round(value, 3) for _, _, value in kept if isinstance(value, float)] == [5, 5]
    assert (tally.bad[0].line, tally.bad[0].right) == (4, "°dKH, mg/L as CaCO₃, meq/L")


def test_what_would_be_right_is_said_in_the_columns_own_unit() -> None:
    _, tally = read(b"Date;KH mg/L CaCO3\n1.10.2026;89\n2.10.2026;890\n")
    assert tally.bad[0].what == "no KH can be 890 mg/L as CaCO₃"
    assert tally.bad[0].right == "0 to 446.199 mg/L as CaCO₃"


@pytest.mark.parametrize(
    ("day", "right"),
    [("25.11.2026", "2026-11-24 or before"), ("3.11.2031", "a year from 1990 to 2026"), ("3.11.1989", "a year from")],
)
def test_a_day_that_cannot_be_is_a_bad_line(day: str, right: str) -> None:
    kept, tally = read(f"Date;KH\n{day};5\n1.11.2026;5\n".encode())
    assert len(kept) == 1
    assert right in tally.bad[0].right


def test_today_without_a_time_is_today_though_six_is_still_to_come() -> None:
    ((at_s, _, _),), _ = read(b"Date;KH\n24.11.2026;5\n")
    assert datetime.fromtimestamp(at_s, BERLIN).hour == 18
    assert at_s > NOW.timestamp()
    _, tally = read(b"Date;Time;KH\n24.11.2026;18:00;5\n")
    assert tally.bad_count == 1


def test_nothing_given_is_nothing_kept() -> None:
    kept, _ = read(b"Date;Buffer g;KH\n1.11.2026;0;0\n")
    assert [meaning for _, meaning, _ in kept] == ["kh_dkh"]


def test_what_stands_twice_counts_once_and_what_differs_is_named() -> None:
    kept, tally = read(b"Date;KH\n1.11.2026;5\n1.11.2026;5\n1.11.2026;6\n1.11.2026;6\n")
    assert [value for _, _, value in kept] == [5, 6]
    assert (tally.repeated, tally.clash_count) == (2, 1)
    assert (tally.clashes[0].line, tally.clashes[0].one, tally.clashes[0].other) == (4, 5, 6)


def test_two_columns_chosen_alike_count_the_same_value_once() -> None:
    choices = Choices(columns={2: ColumnChoice("kh_dkh", "°dKH")})
    kept, tally = read(b"Date;KH;Again\n1.11.2026;5;5\n2.11.2026;5;6\n", choices)
    assert [value for _, _, value in kept] == [5, 5, 6]
    assert (tally.repeated, tally.clash_count) == (1, 1)


def test_the_first_hundred_bad_cells_are_named_and_all_are_counted() -> None:
    _, tally = read(b"Date;KH\n" + b"1.11.2026;5\n" * 200 + b"1.11.2026;x1\n" * 150)
    assert (len(tally.bad), tally.bad_count) == (100, 150)


def test_a_file_of_more_than_a_million_values_is_refused() -> None:
    tally = Tally()
    tally.values = MOST_VALUES
    with pytest.raises(TooMuch, match="line 2"):
        list(opened(b"Date;KH\n1.11.2026;5\n").chunks(tally))


def test_every_kind_becomes_an_entry_as_the_log_wants_it() -> None:
    head = "Date;Time;KH;Buffer (capfuls);Water change %;Food g;Salt added kg;Note;EC permeate"
    tally = Tally()
    file = opened(f"{head}\n1.11.2026;12:00;5;2;10;100;3;clear;9\n".encode())
    entries = [entry_of(one, entry_id("main", one, 0), OF, BERLIN) for chunk in file.chunks(tally) for one in chunk]
    for entry, placed in entries:
        check_entry(entry)
        assert read_entry(content_of(entry)) == entry
        assert (placed.at, placed.on) == (datetime(2026, 11, 1, 11, tzinfo=UTC), date(2026, 11, 1))
    said = {type(entry).__name__: entry for entry, _ in entries}
    assert set(said) == {"Reading", "Dose", "WaterChange", "Feed", "Salt", "Note"}
    assert said["Dose"].amount_g == 80
    assert said["WaterChange"].volume_l == 1600
    assert said["Salt"].salt_g == 3000
    assert len({entry.id for entry, _ in entries}) == len(entries) == 7


def test_an_id_follows_from_what_is_said_and_from_nothing_else() -> None:
    def ids(data: bytes) -> list[str]:
        return [entry_id("main", one, 0) for chunk in opened(data).chunks(Tally()) for one in chunk]

    alone = ids(b"Date;KH\n1.11.2026;5\n")
    assert alone == ids(b"KH,Date\n5.0,2026-11-01\n")
    longer = ids(b"Date;KH\n1.11.2026;5\n2.11.2026;5\n")
    assert longer[0] == alone[0] and longer[1] != alone[0]


def test_what_has_no_time_is_placed_no_later_than_it_was_told() -> None:
    (chunk,) = opened(b"Date;KH\n24.11.2026;5\n").chunks(Tally())
    entry, placed = entry_of(chunk[0], entry_id("main", chunk[0], 0), OF, BERLIN)
    assert entry.happened_at == NOW + timedelta(hours=1, minutes=15)
    assert placed.at == NOW
