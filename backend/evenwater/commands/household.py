"""Which household a command is about: its data folder, and its database opened beside a server that may be running."""

import argparse
import asyncio
import os
from collections.abc import Awaitable, Callable
from pathlib import Path

import platformdirs

from evenwater.commands.speaking import Stop
from evenwater.domain.errors import DomainError
from evenwater.settings import DATABASE_NAME
from evenwater.storage.database import Database
from evenwater.storage.errors import StorageError

Command = Callable[[Database, argparse.Namespace], Awaitable[None]]


def add_options(parser: argparse.ArgumentParser) -> None:
    """Give a command the options that every command has."""
    parser.add_argument("--json", action="store_true", help="answer in JSON, for programs")


def add_data_options(parser: argparse.ArgumentParser) -> None:
    """Give a command the options that say which household it is about."""
    parser.add_argument("--data", type=Path, help="data folder (default: the platform's user-data folder)")
    parser.add_argument("--example", action="store_true", help="the invented pond's data folder, inside that one")
    add_options(parser)


def data_folder(asked: argparse.Namespace) -> Path:
    """The folder a command is about; the example has one of its own inside."""
    data: Path = asked.data or Path(platformdirs.user_data_dir("evenwater", appauthor=False))
    return data / "example" if asked.example else data


def database_file(asked: argparse.Namespace) -> Path:
    """The household's database.

    Raises:
        Stop: there is none.
    """
    file = data_folder(asked) / DATABASE_NAME
    if not file.exists():
        where = f"there is no household in {file.parent}"
        right = "start the server first, or name its --data folder"
        raise Stop(f"{where}: {right}.", code="not_found", where=str(file.parent), right=right)
    return file


def with_database(command: Command) -> Callable[[argparse.Namespace], None]:
    """What does a command with the household's database open."""

    def act(asked: argparse.Namespace) -> None:
        os.umask(0o077)  # what it writes is for this account's eyes alone, as all that the server writes
        file = database_file(asked)
        try:
            asyncio.run(_opened(command, file, asked))
        except DomainError as error:
            facts = {"code": error.code, "where": error.where, "right": error.right}
            raise Stop(f"{error.what}; right would be {error.right}.", **facts) from error
        except StorageError as error:
            right = "see to that, then try again"
            raise Stop(f"nothing was changed ({error}): {right}.", code="storage", right=right) from error

    return act


async def _opened(command: Command, file: Path, asked: argparse.Namespace) -> None:
    database = await Database.open(file)
    try:
        await command(database, asked)
    finally:
        await database.close()
