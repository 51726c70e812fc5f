"""A helper who asks to be forgotten: gone from every table and from the file's bytes; what was done stays."""

import hashlib
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from uuid import UUID

import msgspec
import pytest
from kept_log import write_entry
from msgspec.structs import replace
from pictures import jpeg, picture

from evenwater.domain.away.links import HelperDevice, HelperLink
from evenwater.domain.people import Person
from evenwater.domain.rounds.jobs import Day, Job
from evenwater.storage import people
from evenwater.storage.check import check
from evenwater.storage.database import Database
from evenwater.storage.erase import KnownHelper, erase, helpers
from evenwater.storage.helper_links import add_link, bind_device, device_by_token
from evenwater.storage.helper_log import add_helper_photo
from evenwater.storage.imports import KeptImport, begin_import
from evenwater.storage.photos import PhotoStore
from evenwater.storage.shown import days_shown, keep_shown

NOW = datetime(2026, 11, 26, 13, 32, tzinfo=UTC)
NORA, BO = str(UUID(int=701)), str(UUID(int=702))
NAME, TEL = "Nora Quist", "0123 4567"
MARIT = Person(str(UUID(int=2)), "Marit", NOW)
SENT = jpeg(picture())
SUM = hashlib.sha256(SENT).hexdigest()

ROUND = Day(
    date(2026, 11, 20),
    "tag",
    None,
    None,
    (
        Job(
            id="main/key/2026-11-20/day",
            standing_job="key",
            due_on=date(2026, 11, 20),
            slot="day",
            pond="main",
            place="At the gate",
            part="morning",
            name=f"Bring {NAME} the key",
            text=f"{NAME} has the gate",
            cautions=(f"Ring {NAME}: {TEL}",),
            opens_at=NOW,
            closes_at=NOW,
        ),
    ),
)


@pytest.fixture
async def household(database: Database) -> Database:
    """Nora and Bo helped; Nora has a link, a phone and a photo; the keeper wrote of her, and an alarm named her."""
    await people.add_first_person(database, MARIT, "no hash")
    both = [{"id": NORA, "name": NAME, "tel": TEL}, {"id": BO, "name": "Bo"}]
    await write_entry(database, 1, target="hand-over/autumn", field="helpers", value=both[:1])
    await write_entry(database, 2, target="hand-over/winter", field="helpers", value=both)
    await write_entry(database, 3, "note", text=f"{NAME.upper()} was very good with them")
    await write_entry(database, 4, "reading", quantity="kh_dkh", value=5.0)
    link = HelperLink(id="l", hand_over="winter", helper=NORA, made_at=NOW, made_by=MARIT.id)
    await add_link(database, link, "the link's secret")
    device = HelperDevice(id="d", link="l", device="b", label="Nora's phone", bound_at=NOW, last_seen_at=NOW)
    await bind_device(database, device, "her token")
    await PhotoStore(database, 10_000_000).keep(SUM, SENT, None, NOW)
    await add_helper_photo(database, SUM, "winter", NORA, NOW)
    async with database.transaction() as connection:
        await connection.execute(
            "INSERT INTO alarm (id, about, content, raised_at) VALUES ('a', 'silence', ?, '2026-11-26')",
            (f'{{"says":"{NAME} had jobs today","first":["Ring {NAME}: {TEL}","Look yourself"]}}',),
        )
        await connection.execute(
            "INSERT INTO message VALUES ('m', 'alarm/a', 'p', 'email', 'a@b', 'Silence', ?, NULL, '', '{}',"
            " '2026-11-26', '2026-11-26', 0, 'waiting', NULL, NULL)",
            (f"{NAME} had jobs today",),
        )
        await connection.execute(
            "INSERT INTO refused_entry VALUES ('e', 'winter', ?, 'main', '2026-11-26', ?, '2026-11-26')",
            (NORA, f"the note “{NAME} was here”"),
        )
    return database


async def nora(database: Database) -> KnownHelper:
    return next(one for one in await helpers(database) if one.id == NORA)


def bytes_of(database: Database) -> bytes:
    """Whatever stands in the file and in the log beside it."""
    return b"".join(one.read_bytes() for one in sorted(database.path.parent.glob("evenwater.sqlite*")))


async def test_everybody_who_helped_is_listed_with_how_much_there_is_of_them(household: Database) -> None:
    known = await helpers(household)
    assert [(one.names, one.hand_overs, one.photos) for one in known] == [
        ((NAME,), ("autumn", "winter"), 1),
        (("Bo",), ("winter",), 0),
    ]


async def test_the_name_is_gone_from_hand_overs_alarms_and_mail_and_the_other_helper_stays(household: Database) -> None:
    done = await erase(household, await nora(household), NOW)
    assert (done.entries, done.alarms, done.messages, done.photos, done.still_mentioned) == (2, 1, 1, 0, 1)
    assert [one.names for one in await helpers(household)] == [("Bo",)]
    assert TEL.encode() not in bytes_of(household)
    [(told,)] = await household.reader.execute_fetchall("SELECT content FROM alarm")
    assert told == '{"says":"A helper had jobs today","first":["Look yourself"]}'


async def test_everywhere_leaves_no_trace_of_it_in_the_file(household: Database) -> None:
    assert NAME.encode() in bytes_of(household)
    done = await erase(household, await nora(household), NOW, everywhere=True)
    assert (done.entries, done.still_mentioned) == (3, 0)
    left = bytes_of(household).lower()
    assert [one for one in (NAME, "Nora's phone", TEL) if one.lower().encode() in left] == []


async def test_the_log_is_whole_afterwards_with_a_new_epoch_and_the_facts_in_it(household: Database) -> None:
    epoch = await household.epoch()
    done = await erase(household, await nora(household), NOW, everywhere=True)
    assert await household.epoch() == done.epoch != epoch
    findings = {one.about: one for one in check(household.path.parent)}
    assert all(one.right for one in findings.values()), findings
    assert "4 entries" in findings["log"].says


async def test_her_link_and_her_phone_open_nothing_any_more(household: Database) -> None:
    await erase(household, await nora(household), NOW)
    found = await device_by_token(household, "her token")
    assert found is not None
    link, device = found
    assert (link.revoked_at, device.ended_at, device.label) == (NOW, NOW, "")


@pytest.mark.parametrize("photos", [False, True])
async def test_photos_stay_unless_they_are_asked_for(household: Database, photos: bool) -> None:
    folder = household.path.parent / "photos" / SUM[:2]
    done = await erase(household, await nora(household), NOW, photos=photos)
    assert done.photos == int(photos)
    assert len(list(folder.glob("*.jpg"))) == (0 if photos else 2)
    assert (await PhotoStore(household, 10_000_000).find(SUM) is None) is photos


async def test_erased_twice_is_erased_once(household: Database) -> None:
    helper = await nora(household)
    await erase(household, helper, NOW, everywhere=True)
    again = await erase(household, helper, NOW + timedelta(days=1), everywhere=True)
    assert (again.entries, again.alarms, again.messages, again.still_mentioned) == (0, 0, 0, 0)


async def test_who_was_there_before_hand_overs_named_anybody_is_nobody(database: Database, tmp_path: Path) -> None:
    assert await helpers(database) == []


async def test_a_number_goes_with_the_name_wherever_somebody_is_rung(household: Database) -> None:
    ring = [{"name": "Next door", "tel": TEL}, {"name": "Vet", "tel": "0999 888"}]
    await write_entry(household, 5, target="hand-over/winter", field="ring", value=ring)
    await write_entry(household, 6, target="pond", field="ring", value=ring)
    await write_entry(household, 7, "note", text=f"her number is {TEL}")
    await household.writer.execute(
        "UPDATE message SET text = ?, html = ?", (f"Ring {NAME}: {TEL}", f"<p>Ring {NAME}: {TEL}</p>")
    )
    done = await erase(household, await nora(household), NOW, everywhere=True)
    assert (done.entries, done.still_mentioned) == (6, 0)
    assert TEL.encode() not in bytes_of(household) and b"0999 888" in bytes_of(household)
    assert all(one.right for one in check(household.path.parent))


async def test_without_being_asked_for_everywhere_what_people_wrote_is_counted_alone(household: Database) -> None:
    await write_entry(household, 5, "note", text=f"her number is {TEL}")
    done = await erase(household, await nora(household), NOW)
    assert (done.entries, done.still_mentioned) == (2, 2)


@pytest.fixture
async def shown(household: Database) -> Database:
    """A round that named her was shown, and a table of hers brought in."""
    await keep_shown(household, NOW, "day/2026-11-20", "1", 4, ROUND)
    record = KeptImport(str(UUID(int=7)), "main", MARIT.id, f"{NAME}, winter.csv", NOW, 0, 0, None, None, None)
    await begin_import(household, record, NOW)
    return household


async def test_everywhere_it_is_gone_from_rounds_as_they_were_shown_and_from_files_names(shown: Database) -> None:
    done = await erase(shown, await nora(shown), NOW, everywhere=True)
    assert (done.elsewhere, done.still_mentioned) == (2, 0)
    assert NAME.lower().encode() not in bytes_of(shown).lower()
    (day,) = await days_shown(shown, ROUND.date, ROUND.date)
    (job,) = day.jobs
    assert (job.name, job.text, job.cautions) == (
        "Bring A helper the key",
        "A helper has the gate",
        ("Ring A helper: …",),
    )
    assert job == replace(ROUND.jobs[0], name=job.name, text=job.text, cautions=job.cautions)
    [(file_name,)] = await shown.reader.execute_fetchall("SELECT file_name FROM import")
    assert file_name == "A helper, winter.csv"


async def test_rounds_shown_and_files_names_are_counted_where_they_stay(shown: Database) -> None:
    done = await erase(shown, await nora(shown), NOW)
    assert (done.elsewhere, done.still_mentioned) == (0, 3)


async def test_of_a_round_only_words_of_the_keepers_are_blanked(database: Database) -> None:
    hers = [{"id": NORA, "name": "Main"}]
    await write_entry(database, 1, target="hand-over/autumn", field="helpers", value=hers)
    await keep_shown(database, NOW, "day/2026-11-20", "1", 4, ROUND)
    await erase(database, await nora(database), NOW, everywhere=True)
    assert await days_shown(database, ROUND.date, ROUND.date) == [ROUND]


async def test_of_two_names_the_longer_goes_whole_and_in_a_page_as_it_is_escaped(database: Database) -> None:
    for number, name in enumerate(("Nora", "Nora O'Quist"), 1):
        await write_entry(
            database, number, target="hand-over/autumn", field="helpers", value=[{"id": NORA, "name": name}]
        )
    await write_entry(database, 3, "note", text="Nora O'Quist, or Nora")
    async with database.transaction() as connection:
        await connection.execute(
            "INSERT INTO message VALUES ('m', 'alarm/a', 'p', 'email', 'a@b', 'Silence', '', ?, '', '{}',"
            " '2026-11-26', '2026-11-26', 0, 'waiting', NULL, NULL)",
            ("<p>Nora O&#x27;Quist</p>",),
        )
    await erase(database, await nora(database), NOW, everywhere=True)
    assert b"Quist" not in bytes_of(database)


@pytest.mark.parametrize("name", ["Dawn", "Main", "Bo"])
async def test_a_name_that_is_a_word_of_ours_leaves_a_household_that_can_be_read(name: str, database: Database) -> None:
    await write_entry(database, 1, target="hand-over/autumn", field="helpers", value=[{"id": NORA, "name": name}])
    await write_entry(database, 2, target="hand-over/autumn", field="jobs", value=["main/covers-off"])
    windows = {"day": {"part": "morning", "opens": "dawn+00:00", "closes": "dawn+02:00"}}
    await write_entry(database, 3, target="job/covers-off", field="windows", value=windows)
    await write_entry(database, 4, "note", text=f"{name} " + "x" * (1999 - len(name)))
    await erase(database, await nora(database), NOW, everywhere=True)
    rows = await database.reader.execute_fetchall("SELECT content FROM entry WHERE id LIKE '%2' OR id LIKE '%3'")
    assert [msgspec.json.decode(row[0])["value"] for row in rows] == [["main/covers-off"], windows]
    assert all(one.right for one in check(database.path.parent))
    assert f'"{name} '.encode() not in bytes_of(database)


async def test_what_waits_for_a_newer_version_is_blanked_as_well(household: Database) -> None:
    waiting = {"id": str(UUID(int=50)), "v": 2, "kind": "note", "text": f"{NAME} rang"}
    await household.writer.execute(
        "INSERT INTO deferred_entry VALUES (?, 'note', 2, 'a', 'd', '2026-11-26', 0.0, ?)",
        (waiting["id"], msgspec.json.encode(waiting).decode()),
    )
    await erase(household, await nora(household), NOW, everywhere=True)
    assert NAME.encode() not in bytes_of(household)
