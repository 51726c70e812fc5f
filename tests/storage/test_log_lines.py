"""Everything out as lines and back in: the same log, all of it or none, and nothing that opens a door."""

import json
import sqlite3
from collections.abc import Iterable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID

import pytest
from kept_log import write_entry

from evenwater.domain.people import Person
from evenwater.domain.read_entries import read_entry
from evenwater.storage import people
from evenwater.storage.check import check
from evenwater.storage.database import Database
from evenwater.storage.entry_log import Arrival, append, place
from evenwater.storage.log_import import NotReadBack, ReadBack, read_back
from evenwater.storage.log_lines import lines_of

NOW = datetime(2026, 11, 26, 13, 32, tzinfo=UTC)
MARIT = Person("019a4a3e-7c00-7000-8000-000000000003", "Marit", NOW)
SECRETS = ("no hash to see", "her token", "me@example.org")


async def on_two_lines(database: Database) -> None:
    """An entry whose device put spaces and a line's end between its fields."""
    entry = {
        "id": str(UUID(int=77)),
        "v": 1,
        "pond": "main",
        "kind": "note",
        "text": "two\nlines",
        "zone": "UTC",
        "happened_at": NOW.isoformat(),
        "recorded_at": NOW.isoformat(),
        "local_date": "2026-11-26",
        "device": str(UUID(int=1)),
        "author": MARIT.id,
    }
    content = json.dumps(entry, indent=2).encode()
    read = read_entry(content)
    await append(database, [Arrival(read, place(read, NOW, 0.0), content)], [], NOW, 12.5)  # type: ignore[arg-type]


@pytest.fixture
async def household(database: Database) -> Database:
    await people.add_first_person(database, MARIT, SECRETS[0])
    await people.begin_session(database, MARIT.id, str(UUID(int=1)), "phone", SECRETS[1], NOW, str(UUID(int=9)))
    await write_entry(database, 1, target="pond", field="name", value="Home")
    last = await write_entry(database, 2, "reading", quantity="kh_dkh", value=4.5)
    await write_entry(database, 3, "take_back", entry=last)
    await on_two_lines(database)
    async with database.transaction() as connection:
        await connection.executescript(
            "INSERT INTO sample (series, at, value) VALUES ('main/water_c', '2026-11-26T10:00:00.000Z', 14.25);"
            "INSERT INTO sample (series, at, issued_at, value) VALUES ('main/air_c', '2026-11-26T10:00:00.000Z',"
            " '2026-11-26T09:00:00.000Z', 4.5);"
            "INSERT INTO shown VALUES (1, '2026-11-26T10:00:00.000Z', 'day/2026-11-26', '3', 2, '{\"date\":\"x\"}');"
            "INSERT INTO import VALUES ('00000000-0000-0000-0000-000000000005', 'main', 'p', 'old.csv',"
            " '2026-11-26T10:00:00.000Z', '2026-11-26T10:00:00.000Z', 1, 0, 2, '2020-01-01', NULL, NULL);"
            f"INSERT INTO reach VALUES ('{MARIT.id}', '{{\"email\":\"{SECRETS[2]}\"}}', '2026-11-26');"
            "BEGIN;"
        )
    return database


async def lines(database: Database) -> list[bytes]:
    return b"".join([piece async for piece in lines_of(database, NOW)]).splitlines(keepends=True)


async def taken_in(folder: Path, written: Iterable[bytes]) -> tuple[Database, ReadBack]:
    database = await Database.open(folder / "evenwater.sqlite")
    try:
        return database, await read_back(database, written, 1000)
    except BaseException:
        await database.close()
        raise


async def test_what_goes_out_comes_back_as_it_was(household: Database, tmp_path: Path) -> None:
    written = await lines(household)
    other, done = await taken_in(tmp_path / "other", written)
    again = await lines(other)
    await other.close()
    assert again[1:] == written[1:]
    assert (done.entries, done.samples, done.people, done.made_at) == (4, 2, ("Marit",), NOW)
    assert all(one.right for one in check(tmp_path / "other") if one.about != "imports")


async def test_nothing_that_lets_somebody_in_goes_out(household: Database, tmp_path: Path) -> None:
    written = b"".join(await lines(household)).decode()
    assert "Marit" in written and [one for one in SECRETS if one in written] == []
    other, _ = await taken_in(tmp_path / "other", await lines(household))
    found = await people.credential(other, "Marit")
    await other.close()
    assert found is not None and found.passphrase_hash == ""


def spoilt(written: list[bytes], number: int, old: bytes, new: bytes) -> list[bytes]:
    assert old in written[number]
    return [*written[:number], written[number].replace(old, new), *written[number + 1 :]]


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (b'"value":4.5', b'"value":99999', "right would be"),
        (b'"kind":"reading"', b'"kind":"of tomorrow"', "a newer app"),
        (b'"is":"entry"', b'"is":"passphrase"', "line 5:"),
        (b'"seq":2', b'"seq":-2', "line 5:"),
        (b'"skew_s"', b'"also":1,"skew_s"', "line 5:"),
        (b'{"is"', b"[", "line 5:"),
    ],
)
async def test_a_line_that_cannot_be_read_is_named_and_nothing_is_kept(
    household: Database, tmp_path: Path, old: bytes, new: bytes, says: str
) -> None:
    written = await lines(household)
    number = next(n for n, line in enumerate(written) if b'"kind":"reading"' in line)
    assert number == 4
    with pytest.raises(NotReadBack) as refused:
        await taken_in(tmp_path / "other", spoilt(written, number, old, new))
    assert says in refused.value.problems[0]
    other = await Database.open(tmp_path / "other" / "evenwater.sqlite")
    assert [await people.has_people(other), len(await lines(other))] == [False, 1]
    await other.close()


async def test_what_was_cut_off_is_not_read_in(household: Database, tmp_path: Path) -> None:
    written = await lines(household)
    for n, cut in enumerate((written[:5], [*written[:3], written[3][:40]], written[1:], [], [b"{}"])):
        with pytest.raises(NotReadBack):
            await taken_in(tmp_path / f"other-{n}", cut)


async def test_a_line_that_stands_there_twice_is_refused(household: Database, tmp_path: Path) -> None:
    written = await lines(household)
    for n, twice in enumerate((4, len(written) - 2)):
        with pytest.raises(NotReadBack, match="twice"):
            await taken_in(tmp_path / f"other-{n}", [*written, written[twice]])


async def test_a_log_that_has_entries_takes_none_in(household: Database, tmp_path: Path) -> None:
    with pytest.raises(NotReadBack, match="4 entries here already"):
        await read_back(household, await lines(household), 1000)


async def test_many_bad_lines_are_counted_and_some_are_named(household: Database, tmp_path: Path) -> None:
    with pytest.raises(NotReadBack) as refused:
        await taken_in(tmp_path / "other", [*await lines(household), *[b"{\n"] * 500])
    assert (len(refused.value.problems), refused.value.count) == (20, 500)


async def test_places_in_time_are_worked_out_anew(household: Database, tmp_path: Path) -> None:
    """Whoever writes the file cannot put an entry where its own moment does not."""
    written = await lines(household)
    moved = spoilt(written, 4, b'"placed_on":"2026-11-03"', b'"placed_on":"2001-01-01"')
    other, _ = await taken_in(tmp_path / "other", moved)
    await other.close()
    with closing(sqlite3.connect(tmp_path / "other" / "evenwater.sqlite")) as there:
        assert there.execute("SELECT count(*) FROM entry WHERE placed_on = '2001-01-01'").fetchone() == (0,)
