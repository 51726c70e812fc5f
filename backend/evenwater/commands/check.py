"""`evenwater check`: whether a household is as it was written, and whether a plan can be made of it."""

import argparse
import asyncio
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from evenwater.commands.household import add_data_options, database_file
from evenwater.commands.speaking import PROBLEM, Parser, Progress, Stop, say
from evenwater.settings import DATABASE_NAME
from evenwater.storage.check import Finding, check
from evenwater.storage.database import Database, migrations
from evenwater.storage.errors import BadBackup, StorageError
from evenwater.storage.progress import Tell
from evenwater.web.plans.planning import Planner

_EXAMPLES = """examples:
  evenwater check
  evenwater check --data /srv/pond --json

It looks at the file, at each entry's bytes and place in time, at what stands now (worked out anew and compared), at
every photo, and at whether today's plan can be made. It changes nothing and may run beside the server. It ends with 0
when all is well and with 1 when something is wrong.
"""


def add_command(commands: Any) -> None:
    """Add `check`."""
    parser: Parser = commands.add_parser(
        "check",
        help="whether the log and all that rests on it are whole",
        description="Whether the log and all that rests on it are whole.",
        epilog=_EXAMPLES,
    )
    add_data_options(parser)
    parser.set_defaults(act=_check)


def _check(asked: argparse.Namespace) -> None:
    file = database_file(asked)
    try:
        with Progress() as tell:
            findings = look_through(file.parent, tell)
    except StorageError as error:
        right = "restore a backup into an empty folder, as `evenwater restore --help` says"
        raise Stop(f"{error}: {right}.", code="damaged", right=right) from error
    right = all(one.right for one in findings)
    say(asked, in_words(findings), {"right": right, "findings": findings})
    if not right:
        raise SystemExit(PROBLEM)


def look_through(data: Path, tell: Tell) -> list[Finding]:
    """Every finding about the household in a folder.

    Raises:
        NotOurs: it cannot be read at all.
    """
    findings = check(data, tell)
    if _stopping(findings) is None:
        tell("making a plan", 0, 1)
        findings.append(asyncio.run(_plan_finding(data / DATABASE_NAME)))
    return findings


def require_whole(data: Path, tell: Tell) -> None:
    """
    Raises:
        BadBackup: something in that household is wrong, other than photos: they are told, and stop nothing.
    """
    wrong = _stopping(look_through(data, tell))
    if wrong is not None:
        raise BadBackup("; ".join((wrong.says, *wrong.examples[:1])))


def _stopping(findings: list[Finding]) -> Finding | None:
    """The first that is wrong with the log or what rests on it; it is whole without its photos."""
    return next((one for one in findings if not one.right and one.about != "photos"), None)


def in_words(findings: list[Finding]) -> str:
    """The findings as lines, what is wrong with its examples."""
    lines: list[str] = []
    for one in findings:
        lines.append(f"{'well ' if one.right else 'WRONG'}  {one.about}: {one.says}")
        lines += [f"         {example}" for example in one.examples]
    return "\n".join(lines)


async def _plan_finding(file: Path) -> Finding:
    database = await Database.open_as_is(file)
    if database is None:
        return Finding("plan", True, f"no plan was tried: the next start brings the tables to {migrations()[-1][0]}")
    try:
        plan = await Planner(database).plan(datetime.now(UTC))
    except Exception as error:  # whatever it is, it is what would keep a household from its round
        return Finding("plan", False, f"today's plan cannot be made: {type(error).__name__}: {error}")
    finally:
        await database.close()
    jobs = sum(len(day.jobs) for day in plan.days)
    return Finding("plan", True, f"today's plan can be made: {jobs:,} jobs in {len(plan.days)} days")
