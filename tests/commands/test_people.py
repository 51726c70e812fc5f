"""`evenwater people …` as it is typed: another process, a real terminal, beside a server that runs."""

import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path
from uuid import uuid4

import pytest

from evenwater.domain.people import Person
from evenwater.settings import DATABASE_NAME
from evenwater.storage import people
from evenwater.storage.database import Database
from evenwater.web.access.passphrases import hash_passphrase, is_passphrase

# Runs the command with a terminal of its own, as getpass wants one; what it says comes out here.
ON_A_TERMINAL = "import os, pty, sys; sys.exit(os.waitstatus_to_exitcode(pty.spawn(sys.argv[1:])))"
COMMAND = [sys.executable, "-m", "evenwater.main", "people"]
NOW = datetime.now(UTC)


@pytest.fixture
async def household(database: Database) -> Database:
    """A household with somebody in it who is signed in on two devices, open as the running server has it."""
    person = Person(str(uuid4()), "Aki", datetime(2026, 11, 25, 12, tzinfo=UTC))
    await people.add_person(database, person, hash_passphrase("eight koi in the dusk"))
    for device in ("one", "two"):
        await people.begin_session(database, person.id, device, device, f"token {device}", NOW, str(uuid4()))
    return database


def run(folder: Path, *words: str) -> tuple[int, str, str]:
    done = subprocess.run(
        [*COMMAND, *words, "--data", str(folder)], capture_output=True, text=True, stdin=subprocess.DEVNULL, timeout=60
    )
    return done.returncode, done.stdout, done.stderr


def run_on_a_terminal(folder: Path, *words: str, typed: list[str]) -> tuple[int, str]:
    command = [sys.executable, "-c", ON_A_TERMINAL, *COMMAND, *words, "--data", str(folder)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        assert process.stdin and process.stdout
        said = b""
        for text in typed:
            prompt = b""
            while not prompt.endswith(b": "):  # typing before the prompt is thrown away
                prompt += process.stdout.read(1)
            said += prompt
            process.stdin.write(text.encode() + b"\n")
            process.stdin.flush()
        said += process.stdout.read()
        return process.wait(60), said.decode()


async def opens(household: Database, passphrase: str, name: str = "Aki") -> bool:
    found = await people.credential(household, name)
    return found is not None and is_passphrase(found.passphrase_hash, passphrase)


async def test_list_says_who_and_on_how_many_devices(household: Database) -> None:
    code, said, _ = run(household.path.parent, "list")
    assert (code, said) == (0, "Aki · since 2026-11-25 · signed in on 2 devices\n")


async def test_reset_asks_twice_and_signs_all_devices_out(household: Database) -> None:
    code, said = run_on_a_terminal(
        household.path.parent, "reset", "aki", typed=["nine koi at dawn", "nine koi at dawn"]
    )
    assert code == 0 and "Aki has a new passphrase; sessions ended: 2." in said
    assert "nine koi" not in said
    assert await opens(household, "nine koi at dawn") and not await opens(household, "eight koi in the dusk")
    assert await people.open_sessions(household, NOW) == []


@pytest.mark.parametrize(
    ("typed", "says"),
    [(["nine koi at dawn", "nine koi at down"], "the two differ"), (["short"], "8 to 200 characters")],
)
async def test_reset_changes_nothing_when_what_is_typed_is_not_right(
    household: Database, typed: list[str], says: str
) -> None:
    code, said = run_on_a_terminal(household.path.parent, "reset", "Aki", typed=typed)
    assert code == 1 and says in said
    assert await opens(household, "eight koi in the dusk")
    assert len(await people.open_sessions(household, NOW)) == 2


async def test_reset_can_make_the_passphrase_itself(household: Database) -> None:
    code, said, _ = run(household.path.parent, "reset", "Aki", "--print-new")
    made = said.splitlines()[0].removeprefix("new passphrase: ")
    assert code == 0 and len(made) == 19
    assert await opens(household, made)


async def test_without_a_terminal_reset_says_what_to_do(household: Database) -> None:
    code, _, error = run(household.path.parent, "reset", "Aki")
    assert code == 1 and "--print-new" in error and "Traceback" not in error


async def test_add_lets_one_more_person_in_but_not_a_second_of_that_name(household: Database) -> None:
    code, said, _ = run(household.path.parent, "add", "Bo", "--print-new")
    made = said.splitlines()[0].removeprefix("new passphrase: ")
    assert code == 0 and await opens(household, made, "bo")
    code, _, error = run(household.path.parent, "add", " bO", "--print-new")
    assert code == 1 and "there is a bO already" in error


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("reset", "Bo", "--print-new"), "there is no 'Bo'"),
        (("reset", "A\x1b[2Jki", "--print-new"), "there is no 'A\\x1b[2Jki'"),
        (("add", "A\x1b[2Jki", "--print-new"), "characters nobody sees"),
    ],
)
async def test_a_name_that_is_none_is_one_line(household: Database, words: tuple[str, ...], says: str) -> None:
    code, _, error = run(household.path.parent, *words)
    assert code == 1 and says in error and error.count("\n") == 1


def test_where_there_is_no_household_none_is_made(tmp_path: Path) -> None:
    code, _, error = run(tmp_path, "list")
    assert code == 1 and "there is no household in" in error
    assert not (tmp_path / DATABASE_NAME).exists()


@pytest.mark.parametrize("key", ["\x03", "\x04"])
async def test_whoever_will_not_say_is_let_go_at_once_and_nothing_is_changed(household: Database, key: str) -> None:
    code, said = run_on_a_terminal(household.path.parent, "reset", "aki", typed=[key])
    assert code == 130 and "Traceback" not in said and "right would be" not in said
    assert await opens(household, "eight koi in the dusk")
