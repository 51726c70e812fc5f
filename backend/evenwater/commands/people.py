"""`evenwater people …`: who may sign in, asked by whoever can read the server's own disk.

A running server needs no restart: it reads people and sessions from the file at each call.
"""

import argparse
import sys
from datetime import UTC, datetime
from getpass import getpass
from typing import Any
from uuid import uuid4

from evenwater.commands.household import add_data_options, with_database
from evenwater.commands.speaking import Parser, Stop, asked_for, counted, say
from evenwater.domain.people import Person, passphrase_text, person_name
from evenwater.storage import people
from evenwater.storage.database import Database
from evenwater.web.access.passphrases import hash_passphrase, readable_secret

_EXAMPLES = """examples:
  evenwater people list
  evenwater people add Marit
  evenwater people reset Marit --print-new    # makes a passphrase and shows it, once
"""


def add_command(commands: Any) -> None:
    """Add `people`; each of its own commands sets `act`, to be called with what was asked."""
    parser: Parser = commands.add_parser(
        "people", help="who may sign in", description="Who may sign in to this server.", epilog=_EXAMPLES
    )
    within = parser.add_subparsers(required=True, metavar="COMMAND")
    listing = within.add_parser("list", help="everybody, and on how many devices")
    listing.set_defaults(act=with_database(_list))
    adding = within.add_parser("add", help="let one more person sign in")
    adding.set_defaults(act=with_database(_add))
    resetting = within.add_parser("reset", help="a new passphrase for somebody; ends all their sessions")
    resetting.set_defaults(act=with_database(_reset))
    for command in (listing, adding, resetting):
        add_data_options(command)
    for command in (adding, resetting):
        command.add_argument("name", metavar="NAME")
        command.add_argument("--print-new", action="store_true", help="make a passphrase and print it; do not ask")


async def _list(database: Database, asked: argparse.Namespace) -> None:
    sessions = await people.open_sessions(database, datetime.now(UTC))
    everybody = await people.people(database)
    counts = [sum(session.person_id == person.id for session in sessions) for person in everybody]
    lines = [
        f"{person.name} · since {person.created_at.date()} · signed in on {counted(count, 'device')}"
        for person, count in zip(everybody, counts, strict=True)
    ]
    told = [
        {"id": person.id, "name": person.name, "since": person.created_at, "devices": count}
        for person, count in zip(everybody, counts, strict=True)
    ]
    say(asked, "\n".join(lines) or "nobody yet: the first page of the app asks for a name.", {"people": told})


async def _add(database: Database, asked: argparse.Namespace) -> None:
    person = Person(str(uuid4()), person_name(asked.name), datetime.now(UTC))
    if await people.credential(database, person.name) is not None:
        raise Stop(f"there is a {person.name} already: choose a name that tells them apart.")
    passphrase, made = _new_passphrase(asked)
    if not await people.add_person(database, person, hash_passphrase(passphrase)):
        raise Stop(f"there is a {person.name} already: choose a name that tells them apart.")
    say(asked, f"{person.name} can sign in now.", {"id": person.id, "name": person.name, **made})


async def _reset(database: Database, asked: argparse.Namespace) -> None:
    found = await people.credential(database, asked.name)
    if found is None:
        raise Stop(f"there is no {asked.name!r}: `evenwater people list` shows everybody.")
    passphrase, made = _new_passphrase(asked)
    ended = await people.set_passphrase(database, found.person.id, hash_passphrase(passphrase), datetime.now(UTC))
    told = {"id": found.person.id, "name": found.person.name, "sessions_ended": ended, **made}
    say(asked, f"{found.person.name} has a new passphrase; sessions ended: {ended}.", told)


def _new_passphrase(asked: argparse.Namespace) -> tuple[str, dict[str, str]]:
    """(the passphrase, what to tell of it): one that was made here is shown, one that was typed is not."""
    if asked.print_new:
        passphrase = readable_secret(4)
        if not asked.json:
            print(f"new passphrase: {passphrase}")
        return passphrase_text(passphrase), {"passphrase": passphrase}
    if not sys.stdin.isatty():
        raise Stop("a passphrase is asked for on a terminal, and this is none: use one, or --print-new.")
    passphrase = passphrase_text(asked_for("New passphrase (8 to 200 characters): ", getpass))
    if passphrase_text(asked_for("Once more: ", getpass)) != passphrase:
        raise Stop("the two differ: nothing was changed.")
    return passphrase, {}
