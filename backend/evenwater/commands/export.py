"""`evenwater export` and `evenwater import`: everything out in a form that lasts, and back in."""

import argparse
import asyncio
import os
import secrets
import shutil
import sys
from collections.abc import AsyncIterator, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import IO, Any

from evenwater.commands.check import require_whole
from evenwater.commands.household import add_data_options, data_folder, database_file, with_database
from evenwater.commands.speaking import Parser, Progress, Stop, counted, say, size_text
from evenwater.domain.past.export import csv_lines
from evenwater.settings import DATABASE_NAME
from evenwater.storage.database import Database
from evenwater.storage.errors import BadBackup, StorageError
from evenwater.storage.log_import import LONGEST_LINE, NotReadBack, ReadBack, read_back
from evenwater.storage.log_lines import lines_of
from evenwater.storage.people import person_names
from evenwater.storage.plan_log import last_seq
from evenwater.storage.progress import Tell
from evenwater.storage.restore import require_no_half
from evenwater.storage.whole_log import exported

_EXPORT_EXAMPLES = """examples:
  evenwater export --out pond.jsonl               everything, to be read back
  evenwater export --csv --out pond.csv           the log as a table for a spreadsheet
  evenwater export | gzip > pond.jsonl.gz

JSON lines hold the log, what probes and the weather service sent, and what was shown; no passphrases, sessions, links,
keys, addresses, and no pictures (a backup has those). In the table no text can become a formula.
"""
_IMPORT_EXAMPLES = """examples:
  evenwater import pond.jsonl --data /srv/pond

Reads an export's JSON lines into a household whose log is empty, all or nothing. Everybody then needs a passphrase:
`evenwater people reset NAME`. Years of your own in a spreadsheet are brought in with the app, from its Pond book.
"""


def add_commands(commands: Any) -> None:
    """Add `export` and `import`."""
    giving: Parser = commands.add_parser(
        "export",
        help="everything out: JSON lines, or the log as CSV",
        description="Everything out, as JSON lines or, of the log, as a table.",
        epilog=_EXPORT_EXAMPLES,
    )
    giving.add_argument("--csv", action="store_true", help="the log as a table")
    giving.add_argument("--out", type=Path, metavar="FILE", help="where to (default: standard output)")
    add_data_options(giving)
    giving.set_defaults(act=_export, usage=giving.error)
    taking: Parser = commands.add_parser(
        "import",
        help="an export's JSON lines into an empty household",
        description="Read an export's JSON lines into a household whose log is empty.",
        epilog=_IMPORT_EXAMPLES,
    )
    taking.add_argument("file", type=Path, metavar="FILE", help="the JSON lines")
    add_data_options(taking)
    taking.set_defaults(act=_import)


def _export(asked: argparse.Namespace) -> None:
    database_file(asked)
    if asked.out is None:
        if asked.json:
            asked.usage("--json goes with --out: on standard output stands the export itself")
        with_database(_to_output)(asked)
        return
    if asked.out.exists():
        right = "name another with --out"
        raise Stop(f"{asked.out} is there already: {right}.", code="exists", where=str(asked.out), right=right)
    part = asked.out.with_name(f"{asked.out.name}.{secrets.token_hex(4)}.part")
    try:
        asked.part = part
        with_database(_to_file)(asked)
        os.replace(part, asked.out)
    except OSError as error:
        raise Stop(f"cannot write {asked.out} ({error.strerror or error}): choose another with --out.") from error
    finally:
        part.unlink(missing_ok=True)
    size = asked.out.stat().st_size
    record = {"file": str(asked.out), "bytes": size, "form": "csv" if asked.csv else "jsonl"}
    holds = "the log as a table" if asked.csv else "everything but pictures and what lets people in"
    say(asked, f"{asked.out} ({size_text(size)}) holds {holds}.", record)


async def _to_output(database: Database, asked: argparse.Namespace) -> None:
    try:
        await _write(sys.stdout.buffer, _pieces(database, asked))
    except BrokenPipeError:  # whoever read it has had enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


async def _to_file(database: Database, asked: argparse.Namespace) -> None:
    with os.fdopen(os.open(asked.part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as out:
        await _write(out, _pieces(database, asked))
        out.flush()
        os.fsync(out.fileno())


async def _write(out: IO[bytes], pieces: AsyncIterator[bytes]) -> None:
    async for piece in pieces:
        out.write(piece)
    out.flush()


async def _pieces(database: Database, asked: argparse.Namespace) -> AsyncIterator[bytes]:
    if not asked.csv:
        with Progress() as tell:
            async for piece in lines_of(database, datetime.now(UTC), tell):
                yield piece
        return
    names = await person_names(database)
    yield "\ufeff".encode() + "".join(csv_lines([], names, header=True)).encode()
    async for page in exported(database):
        yield "".join(csv_lines(page, names, header=False)).encode()


def _import(asked: argparse.Namespace) -> None:
    os.umask(0o077)
    try:
        with asked.file.open("rb") as lines, Progress() as tell:
            of_bytes = asked.file.stat().st_size
            done = _read_in(data_folder(asked) / DATABASE_NAME, lines, of_bytes, tell)
    except NotReadBack as error:
        more = f" (and {error.count - 1:,} more)" if error.count > 1 else ""
        text = f"nothing was read in: {error.problems[0]}{more}."
        raise Stop(text, code="not_read_back", problems=error.problems, count=error.count) from error
    except StorageError as error:
        raise Stop(f"nothing was read in ({error}).", code="storage") from error
    except OSError as error:
        raise Stop(
            f"cannot read {asked.file} ({error.strerror or error}): name the export's file.", code="not_found"
        ) from error
    say(asked, _read_text(done), done)


def _read_in(file: Path, lines: IO[bytes], of_bytes: int, tell: Tell) -> ReadBack:
    """Read lines into a household, once they have made one that is well: a new one, or one aside."""
    require_no_half(file.parent)
    if not file.exists():
        return _read_into_new(file, lines, of_bytes, tell)
    if not asyncio.run(_has_entries(file)):  # to one that has the reading says what is in the way
        aside = file.parent / f"evenwater-trying.{secrets.token_hex(4)}.part"
        try:
            _read_into_new(aside / file.name, lines, of_bytes, tell)
        finally:
            shutil.rmtree(aside, ignore_errors=True)
        lines.seek(0)
    return asyncio.run(_read_into(file, _in_pieces(lines), of_bytes, tell))


def _read_into_new(file: Path, lines: IO[bytes], of_bytes: int, tell: Tell) -> ReadBack:
    """Read lines into a household made for them and check it; it goes again when it cannot be used."""
    try:
        done = asyncio.run(_read_into(file, _in_pieces(lines), of_bytes, tell))
        require_whole(file.parent, tell)
    except BaseException as error:
        for left in file.parent.glob(f"{file.name}*"):
            left.unlink(missing_ok=True)
        if isinstance(error, BadBackup):
            raise NotReadBack([f"what is in it makes no household that is well ({error})"], 1) from error
        raise
    return done


async def _has_entries(file: Path) -> bool:
    database = await Database.open(file)
    try:
        return await last_seq(database) > 0
    finally:
        await database.close()


def _in_pieces(lines: IO[bytes]) -> Iterator[bytes]:
    """The lines; of one that is longer than any of ours no more than is needed to know."""
    while line := lines.readline(LONGEST_LINE + 1):
        yield line


async def _read_into(file: Path, lines: Iterator[bytes], of_bytes: int, tell: Tell) -> ReadBack:
    database = await Database.open(file)
    try:
        return await read_back(database, lines, of_bytes, tell)
    finally:
        await database.close()


def _read_text(done: ReadBack) -> str:
    entries, samples = counted(done.entries, "entry", "entries"), counted(done.samples, "sample")
    lines = [f"Read in: {entries} and {samples}, as of {done.made_at:%Y-%m-%d %H:%M} UTC."]
    if done.photos:
        lines.append(f"{counted(done.photos, 'photo')} not with it: copy the folder `photos` from a backup beside it.")
    if done.people:
        names = ", ".join(done.people)
        lines.append(f"Nobody can sign in yet: `evenwater people reset NAME` gives a passphrase to {names}.")
    return "\n".join(lines)
