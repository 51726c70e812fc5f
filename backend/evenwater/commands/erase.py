"""`evenwater erase`: a helper who asks to be forgotten."""

import argparse
import sys
from datetime import UTC, datetime
from typing import Any

from msgspec.structs import replace

from evenwater.commands.household import add_data_options, with_database
from evenwater.commands.speaking import Parser, Stop, asked_for, counted, say
from evenwater.domain.people import name_key
from evenwater.storage.database import Database
from evenwater.storage.erase import Erased, KnownHelper, erase, helpers

_EXAMPLES = """examples:
  evenwater erase                        who could be erased
  evenwater erase Nora                   name and number out of every hand-over; links end
  evenwater erase Nora --everywhere      and out of what people wrote in words of their own
  evenwater erase Nora --photos          and the photos Nora sent

What was done stays, by "A helper". It cannot reach backups, exports, copies made before an upgrade, mail that has gone
out, and Nora's own phone; it says which copies lie in the data folder. A running server needs no restart.
"""


def add_command(commands: Any) -> None:
    """Add `erase`."""
    parser: Parser = commands.add_parser(
        "erase",
        help="take a helper's name and number out of everything",
        description="Take a helper's name and number out of everything that is kept.",
        epilog=_EXAMPLES,
    )
    parser.add_argument("who", nargs="?", metavar="NAME", help="the helper's name or id; without one, all are listed")
    parser.add_argument("--everywhere", action="store_true", help="also where people wrote the name in their own words")
    parser.add_argument("--photos", action="store_true", help="also take away the photos they sent")
    parser.add_argument("--yes", action="store_true", help="do not ask")
    add_data_options(parser)
    parser.set_defaults(act=with_database(_erase))


async def _erase(database: Database, asked: argparse.Namespace) -> None:
    known = await helpers(database, unnamed_too=True)
    if asked.who is None:
        known = [one for one in known if one.names]
        lines = [_line(one) for one in known]
        say(asked, "\n".join(lines) or "nobody: no hand-over names a helper.", {"helpers": known})
        return
    helper = _the_one(known, asked)
    if not asked.yes:
        _make_sure(helper, asked)
    done = await erase(database, helper, datetime.now(UTC), everywhere=asked.everywhere, photos=asked.photos)
    copies = sorted(one.name for one in database.path.parent.glob(f"{database.path.stem}.before-*"))
    say(asked, _text(helper, done, copies, database), {"erased": done, "copies": copies})


def _line(one: KnownHelper) -> str:
    recorded = f"{counted(one.entries, 'entry', 'entries')}, {counted(one.photos, 'photo')}"
    return f"{', '.join(one.names)} · {one.id} · {', '.join(one.hand_overs)} · {recorded}"


def _the_one(known: list[KnownHelper], asked: argparse.Namespace) -> KnownHelper:
    who: str = asked.who
    found = [one for one in known if one.id == who or name_key(who) in map(name_key, one.names)]
    if not found and asked.everywhere and any(not one.names for one in known):
        # Erased before; the name may still stand in what people wrote, and whose it was is forgotten.
        return KnownHelper(id="", names=(who,), hand_overs=(), entries=0, photos=0)
    if not found:
        right = "`evenwater erase` lists everybody"
        raise Stop(f"no helper is called {who!r}: {right}.", code="not_found", where="NAME", right=right)
    if len(found) > 1:
        ids = ", ".join(f"{one.id} ({', '.join(one.hand_overs)})" for one in found)
        raise Stop(f"{len(found)} helpers are called {who!r}: name one by id: {ids}.", code="not_one", right=ids)
    return found[0] if found[0].names else replace(found[0], names=(who,))


def _make_sure(helper: KnownHelper, asked: argparse.Namespace) -> None:
    if not sys.stdin.isatty():
        raise Stop(
            "this cannot be taken back, and there is no terminal to ask on: add --yes.", code="ask", right="--yes"
        )
    print(f"{_line(helper)}\nThis cannot be taken back.", file=sys.stderr)
    if name_key(asked_for(f"Type {helper.names[0]} to erase them: ")) not in map(name_key, helper.names):
        raise Stop("that is another name: nothing was changed.", code="ask")


def _text(helper: KnownHelper, done: Erased, copies: list[str], database: Database) -> str:
    told = f"{counted(done.entries, 'entry', 'entries')}, {counted(done.alarms, 'alarm')}"
    lines = [f"{helper.names[0]} is erased from {told}, {counted(done.messages, 'message')}; their links are ended."]
    if done.elsewhere:
        where = counted(done.elsewhere, "round or file name", "rounds and file names")
        lines.append(f"Also from {where}: rounds as they were shown, tables that were brought in.")
    if done.photos:
        lines.append(f"{counted(done.photos, 'photo')} taken away.")
    elif helper.photos:
        lines.append(f"{counted(helper.photos, 'photo')} of theirs stay: `evenwater erase {helper.id} --photos`.")
    if done.still_mentioned:
        found = counted(done.still_mentioned, "place")
        lines.append(f"The name stands in {found} where people wrote it: --everywhere takes it out of those as well.")
    lines.append("Each phone of yours fetches the log anew when it next has signal, without the name.")
    lines.append("Not reached: backups, exports, mail that has gone out, and the helper's own phone.")
    if copies:
        lines.append(
            f"Copies in {database.path.parent} that still name them: {', '.join(copies)}. Remove them by hand."
        )
    return "\n".join(lines)
