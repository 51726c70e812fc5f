"""A household that is well, and each way in which one can be ill: a check finds it and says where."""

import hashlib
import sqlite3
from collections.abc import AsyncIterator, Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from kept_log import write_entry
from pictures import jpeg, picture

from evenwater.storage.check import Finding, check
from evenwater.storage.database import Database
from evenwater.storage.errors import NotOurs
from evenwater.storage.photos import PhotoStore

NOW = datetime(2026, 11, 26, 13, 32, tzinfo=UTC)
SENT = jpeg(picture())
SUM = hashlib.sha256(SENT).hexdigest()


@pytest.fixture
async def household(database: Database) -> AsyncIterator[Path]:
    """The data folder of a household with readings, a take back and a photo; a server has it open."""
    for n in range(1, 6):
        await write_entry(database, n, "reading", quantity="kh_dkh", value=4.0 + n / 10)
    last = await write_entry(database, 6, "reading", quantity="kh_dkh", value=9.0)
    await write_entry(database, 7, "take_back", entry=last)
    await PhotoStore(database, 10_000_000).keep(SUM, SENT, None, NOW)
    yield database.path.parent


def change(data: Path, statement: str, *values: object) -> None:
    with closing(sqlite3.connect(data / "evenwater.sqlite")) as database:
        database.execute(statement, values)
        database.commit()


def wrong(data: Path) -> dict[str, Finding]:
    return {one.about: one for one in check(data) if not one.right}


def test_a_household_that_is_well_is_said_to_be_in_every_part(household: Path) -> None:
    found = check(household)
    assert [one.about for one in found] == ["tables", "file", "log", "places", "standing", "photos", "shown"]
    assert all(one.right for one in found) and not any(one.examples for one in found)
    assert "7 entries" in next(one.says for one in found if one.about == "log")


def test_it_changes_nothing_and_tells_how_far_it_has_come(household: Path) -> None:
    before = (household / "evenwater.sqlite").read_bytes()
    told: list[tuple[str, int, int]] = []
    check(household, lambda *one: told.append(one))
    assert (household / "evenwater.sqlite").read_bytes() == before
    assert ("reading the log", 7, 7) in told and ("looking at photos", 1, 1) in told


@pytest.mark.parametrize(
    ("statement", "about", "says"),
    [
        (
            "UPDATE entry SET content = replace(content, '4.3', '4.4') WHERE seq = 3",
            "log",
            "entry 3 is not what was sent",
        ),
        ("DELETE FROM entry WHERE seq = 2", "log", "entry 3 follows entry 1"),
        ("UPDATE entry SET author = 'somebody else' WHERE seq = 4", "log", "entry 4 is filed under another"),
        ("UPDATE entry SET placed_on = '2026-11-05' WHERE seq = 5", "places", "entry 5 stands at"),
        ("INSERT INTO shown VALUES (1, '2026', 'day/1', '1', 1, '{cut of')", "shown", "1 of them"),
        ("CREATE VIEW window AS SELECT * FROM person", "tables", "window"),
        (
            "INSERT INTO import VALUES ('i', 'main', 'p', 'old.csv', '2026', '2026', 1, 12, 0, NULL, NULL, NULL)",
            "imports",
            "'old.csv' brought 12 entries, and 0 are here",
        ),
    ],
)
def test_what_is_ill_is_found_and_named(household: Path, statement: str, about: str, says: str) -> None:
    change(household, statement)
    found = wrong(household)[about]
    assert says in " ".join((found.says, *found.examples))


def test_a_date_that_other_rules_for_the_zone_put_a_day_beside_is_told_and_is_nothing_wrong(household: Path) -> None:
    change(household, "UPDATE entry SET placed_on = '2026-11-04' WHERE seq = 5")
    (found,) = [one for one in check(household) if one.about == "places"]
    assert found.right and "1 of them a day beside" in found.says


def test_an_import_that_is_not_finished_is_told_and_is_nothing_wrong(household: Path) -> None:
    change(
        household,
        "INSERT INTO import VALUES ('i', 'main', 'p', 'old.csv', '2026', '2026', 1, 0, 0, NULL, NULL, NULL)",
    )
    (found,) = [one for one in check(household) if one.about == "imports"]
    assert found.right and "not finished: 'old.csv'" in found.says


def test_a_trigger_hidden_under_a_name_of_sqlites_own_is_found(household: Path) -> None:
    trigger = "CREATE TRIGGER sqlite_hidden AFTER UPDATE ON meta BEGIN DELETE FROM person; END"
    with closing(sqlite3.connect(household / "evenwater.sqlite", isolation_level=None)) as database:
        database.execute("PRAGMA writable_schema=ON")
        database.execute("INSERT INTO sqlite_master VALUES ('trigger', 'sqlite_hidden', 'meta', 0, ?)", (trigger,))
    assert "sqlite_hidden" in wrong(household)["tables"].says


def test_what_sqlite_measures_by_itself_is_nothing_strange(household: Path) -> None:
    change(household, "ANALYZE")
    assert wrong(household) == {}


def test_an_entry_whose_sum_fits_and_that_nobody_can_read_is_found(household: Path) -> None:
    for seq, content in ((3, '{"kind":"reading"}'), (4, '{"kind":"of tomorrow","id":"x"}')):
        change(
            household,
            "UPDATE entry SET content = ?, content_sha256 = ? WHERE seq = ?",
            *(content, hashlib.sha256(content.encode()).digest(), seq),
        )
    found = wrong(household)["log"]
    assert [one[:7] for one in found.examples] == ["entry 3", "entry 4"]


def test_of_many_alike_some_are_named_and_the_rest_counted(household: Path) -> None:
    change(household, "UPDATE entry SET content_sha256 = x'00'")
    assert wrong(household)["log"].examples[-1] == "and 2 more"


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (lambda folder: (folder / f"{SUM}.jpg").unlink(), "is missing"),
        (lambda folder: (folder / f"{SUM}.small.jpg").unlink(), "small.jpg is missing"),
        (lambda folder: (folder / f"{SUM}.jpg").write_bytes(b"<html>"), "another size"),
        (lambda folder: _blank(folder / f"{SUM}.jpg"), "no picture"),
    ],
)
def test_a_photo_that_is_not_as_it_was_kept_is_found(
    household: Path, spoil: Callable[[Path], object], says: str
) -> None:
    spoil(household / "photos" / SUM[:2])
    assert says in wrong(household)["photos"].examples[0]


def _blank(file: Path) -> None:
    file.write_bytes(b" " * file.stat().st_size)


def test_a_damaged_file_is_found_or_said_to_be_unreadable(household: Path, tmp_path: Path) -> None:
    change(household, "PRAGMA wal_checkpoint(TRUNCATE)")
    copy = tmp_path / "copy" / "evenwater.sqlite"
    copy.parent.mkdir()
    content = bytearray((household / "evenwater.sqlite").read_bytes())
    content[8192:20000] = b"\xff" * (20000 - 8192)
    copy.write_bytes(content)
    try:
        assert "file" in wrong(copy.parent)
    except NotOurs as error:
        assert "cannot be read" in str(error)


def test_what_is_no_database_is_told_so(tmp_path: Path) -> None:
    (tmp_path / "evenwater.sqlite").write_text("nothing of the kind" * 100)
    with pytest.raises(NotOurs, match="cannot be read"):
        check(tmp_path)
