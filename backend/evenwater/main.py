"""Reads the command line and hands on to what does it: serving.py, or a module of commands/."""

import argparse
import asyncio
import os
import secrets
import socket
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from evenwater import __version__
from evenwater.commands import backup, check, erase, export, mail, people, reckon
from evenwater.commands.household import add_data_options, data_folder
from evenwater.commands.speaking import INTERRUPTED, PROBLEM, Parser, Stop, say_stop, speak_plainly
from evenwater.serving import bind, serve
from evenwater.settings import BACKUP_KEEP, PHOTO_ROOM_MB, WEATHER_URL, Settings

_EPILOG = """examples:
  evenwater serve --example        an invented pond, at http://127.0.0.1:8420
  evenwater COMMAND --help         what a command takes, with examples

Every command answers in JSON with --json. It ends with 0 when all is well, with 1 when there is a problem (told in one
line that says what to do), with 2 when it did not understand what was asked.
"""
_SERVE_EXAMPLES = """examples:
  evenwater serve --example
  evenwater serve --host 0.0.0.0 --https --public-name 192.168.1.20
  evenwater serve --public-url https://pond.example.org --trusted-proxy 127.0.0.1
  evenwater serve --backup-to /mnt/stick --backup-keep 14
"""

_REPOSITORY = Path(__file__).resolve().parents[2]


def folder_of(name: str, packaged: str) -> Path:
    """A folder of the project: beside the backend in a checkout, inside the package after an install."""
    beside = _REPOSITORY / name
    return beside if beside.is_dir() else Path(__file__).parent / packaged


FRONTEND = folder_of("frontend", "_frontend")
SEED_SCENARIO = folder_of("seed_scenario", "_seed_scenario")


def run(arguments: list[str] | None = None) -> None:
    """The `evenwater` command."""
    speak_plainly()
    asked = _parser().parse_args(arguments)
    try:
        asked.act(asked)
    except Stop as stop:
        say_stop(stop, as_json=asked.json)
        raise SystemExit(PROBLEM) from None
    except KeyboardInterrupt:
        raise SystemExit(INTERRUPTED) from None


def _parser() -> Parser:
    parser = Parser(prog="evenwater", description="Upkeep of a heated, insulated koi pond.", epilog=_EPILOG)
    parser.add_argument("--version", action="version", version=f"evenwater {__version__}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    _add_serve(commands)
    backup.add_commands(commands)
    export.add_commands(commands)
    for one in (check, reckon, people, mail, erase):
        one.add_command(commands)
    return parser


def _add_serve(commands: Any) -> None:
    serving: Parser = commands.add_parser(
        "serve", help="run the server", description="Run the server.", epilog=_SERVE_EXAMPLES
    )
    add_data_options(serving)
    serving.add_argument("--fresh", action="store_true", help="with --example: load it anew")
    serving.add_argument("--host", default="127.0.0.1", help="address to listen on (default %(default)s)")
    serving.add_argument("--port", type=int, default=8420, help="port to listen on (default %(default)s)")
    serving.add_argument("--https", action="store_true", help="TLS with an authority made for this household")
    serving.add_argument(
        "--public-name", action="append", default=[], metavar="NAME", help="a host name it answers to; repeatable"
    )
    serving.add_argument(
        "--trusted-proxy", action="append", default=[], metavar="ADDRESS", help="a reverse proxy; repeatable"
    )
    serving.add_argument(
        "--weather-url",
        default=WEATHER_URL,
        metavar="URL",
        help="weather service in Open-Meteo's format, for ponds that switch it on (default %(default)s)",
    )
    serving.add_argument(
        "--photo-room",
        type=int,
        default=PHOTO_ROOM_MB,
        metavar="MB",
        help="how much of the disk the household's photos may take (default %(default)s)",
    )
    serving.add_argument(
        "--backup-to", type=Path, metavar="FOLDER", help="make a backup there once a day, and try it: another disk"
    )
    serving.add_argument(
        "--backup-keep",
        type=backup.at_least_one,
        default=BACKUP_KEEP,
        metavar="N",
        help="how many backups stay there (default %(default)s)",
    )
    mail.add_options(serving)
    serving.set_defaults(act=_serve)


def _serve(asked: argparse.Namespace) -> None:
    if asked.fresh and not asked.example:
        raise Stop("--fresh goes with --example: it would throw away a real pond's log.")
    public_url = mail.public_url_asked(asked)
    settings = Settings(
        data=data_folder(asked),
        frontend=FRONTEND,
        host=asked.host,
        port=asked.port,
        public_names=_names(asked.public_name, public_url),
        trusted_proxies=tuple(asked.trusted_proxy),
        https=asked.https,
        example=asked.example,
        weather_url=asked.weather_url,
        photo_room_mb=asked.photo_room,
        public_url=public_url,
        smtp=mail.smtp_asked(asked),
        backup_to=asked.backup_to,
        backup_keep=asked.backup_keep,
        json_lines=asked.json,
    )
    os.umask(0o077)  # the log, the hashes and the keys are for this account's eyes alone
    with bind(settings.host, settings.port) as listener, asyncio.Runner(loop_factory=_loop_factory()) as runner:
        runner.run(_prepare_and_serve(settings, listener, asked.fresh))


def _names(given: list[str], public_url: str | None) -> tuple[str, ...]:
    """The names it answers to: those given, and the one of its public address, unless that is this machine's own."""
    own = urlsplit(public_url).hostname if public_url else None
    return tuple(dict.fromkeys([*given, *([own] if own and own not in ("localhost", "127.0.0.1", "::1") else [])]))


async def _prepare_and_serve(settings: Settings, listener: socket.socket, fresh: bool) -> None:
    if settings.example:
        from evenwater.example import load_example

        await load_example(settings, SEED_SCENARIO, _now, fresh=fresh)
    code = None if settings.on_loopback else "-".join(f"{secrets.randbelow(10_000):04}" for _ in range(3))
    await serve(settings, listener, _now, code)


def _now() -> datetime:
    now = datetime.now(UTC)
    return now.replace(microsecond=now.microsecond // 1000 * 1000)  # a browser knows milliseconds, no finer


def _loop_factory():  # type: ignore[no-untyped-def]
    try:
        import uvloop
    except ImportError:  # not made for Windows
        return None
    return uvloop.new_event_loop


if __name__ == "__main__":
    run()
