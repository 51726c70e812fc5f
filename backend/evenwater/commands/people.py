"""`evenwater people …`: who may sign in, asked by whoever can read the server's own disk.

A running server needs no restart: it reads people and sessions from the file at each call.
"""

import argparse
import asyncio
import sys
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime
from getpass import getpass
from pathlib import Path
from uuid import uuid4

from evenwater.domain.errors import DomainError
from evenwater.domain.people import Person, passphrase_text, person_name
from evenwater.serving import Stop
from evenwater.settings import DATABASE_NAME
from evenwater.storage import people
from evenwater.storage.database import Database
from evenwater.storage.errors import StorageError
from evenwater.web.passphrases import hash_passphrase, readable_secret

Command = Callable[[Database, argparse.Namespace], Awaitable[None]]
DataFolder = Callable[[argparse.Namespace], Path]


def add_commands(parser: argparse.ArgumentParser, data_folder: DataFolder) -> None:
    """Give the parser of `evenwater people` its commands; each sets `act`, to be called with what was asked."""
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    listing = commands.add_parser("list", help="everybody, and on how many devices")
    listing.set_defaults(act=_act(_list, data_folder))
    adding = commands.add_parser("add", help="let one more person sign in")
    adding.set_defaults(act=_act(_add, data_folder))
    resetting = commands.add_parser("reset", help="a new passphrase for somebody; ends all their sessions")
    resetting.set_defaults(act=_act(_reset, data_folder))
    for command in (listing, adding, resetting):
        command.add_argument("--data", type=Path, help="data folder (default: the platform's user-data folder)")
    for command in (adding, resetting):
        command.add_argument("name", metavar="NAME")
        command.add_argument("--print-new", action="store_true", help="make a passphrase and print it; do not ask")


def _act(command: Command, data_folder: DataFolder) -> Callable[[argparse.Namespace], None]:
    def act(asked: argparse.Namespace) -> None:
        file = data_folder(asked) / DATABASE_NAME
        if not file.exists():
            raise Stop(f"there is no household in {file.parent}: start the server first, or name its --data folder.")
        try:
            asyncio.run(_with_database(command, file, asked))
        except DomainError as error:
            raise Stop(f"{error.what}; right would be {error.right}.") from error
        except StorageError as error:
            raise Stop(f"nothing was changed ({error}): see to that, then try again.") from error

    return act


async def _with_database(command: Command, file: Path, asked: argparse.Namespace) -> None:
    database = await Database.open(file)
    try:
        await command(database, asked)
    finally:
        await database.close()


async def _list(database: Database, _: argparse.Namespace) -> None:
    sessions = await people.open_sessions(database, datetime.now(UTC))
    for person in await people.people(database):
        count = sum(session.person_id == person.id for session in sessions)
        devices = "1 device" if count == 1 else f"{count} devices"
        print(f"{person.name} · since {person.created_at.date()} · signed in on {devices}")


async def _add(database: Database, asked: argparse.Namespace) -> None:
    person = Person(str(uuid4()), person_name(asked.name), datetime.now(UTC))
    if await people.credential(database, person.name) is not None:
        raise Stop(f"there is a {person.name} already: choose a name that tells them apart.")
    passphrase = _new_passphrase(asked)
    if not await people.add_person(database, person, hash_passphrase(passphrase)):
        raise Stop(f"there is a {person.name} already: choose a name that tells them apart.")
    print(f"{person.name} can sign in now.")


async def _reset(database: Database, asked: argparse.Namespace) -> None:
    found = await people.credential(database, asked.name)
    if found is None:
        raise Stop(f"there is no {asked.name!r}: `evenwater people list` shows everybody.")
    passphrase = _new_passphrase(asked)
    ended = await people.set_passphrase(database, found.person.id, hash_passphrase(passphrase), datetime.now(UTC))
    print(f"{found.person.name} has a new passphrase; sessions ended: {ended}.")


def _new_passphrase(asked: argparse.Namespace) -> str:
    if asked.print_new:
        passphrase = readable_secret(4)
        print(f"new passphrase: {passphrase}")
        return passphrase_text(passphrase)
    if not sys.stdin.isatty():
        raise Stop("a passphrase is asked for on a terminal, and this is none: use one, or --print-new.")
    passphrase = passphrase_text(getpass("New passphrase (8 to 200 characters): "))
    if passphrase_text(getpass("Once more: ")) != passphrase:
        raise Stop("the two differ: nothing was changed.")
    return passphrase
