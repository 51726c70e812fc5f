"""Runs the application: the socket, the open household, the web server around it."""

import contextlib
import errno
import logging
import socket
from collections.abc import Callable
from datetime import datetime

import uvicorn

from evenwater.settings import Settings
from evenwater.storage.database import Database
from evenwater.storage.entry_log import replay_deferred
from evenwater.storage.errors import StorageError
from evenwater.storage.people import has_people
from evenwater.web.app import create_app


class Stop(Exception):
    """Something the person who runs the server must see to; the text is one line that says what to do."""


def bind(host: str, port: int) -> socket.socket:
    """The listening socket; taken before anything else, so that a second server touches no data.

    Raises:
        Stop: the port is taken, or the address is not this machine's.
    """
    if not 0 <= port <= 65_535:
        raise Stop(f"{port} is no port: choose one from 1024 to 65535 with --port.")
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    listener = socket.socket(family, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((host, port))
    except OSError as error:
        listener.close()
        if error.errno == errno.EADDRINUSE:
            raise Stop(f"port {port} is taken: stop what uses it, or choose another with --port.") from error
        if error.errno == errno.EACCES:
            raise Stop(f"port {port} is not for everybody: choose one above 1023 with --port.") from error
        raise Stop(f"cannot listen on {host}: {error.strerror or error}. Choose an address with --host.") from error
    return listener


async def open_database(settings: Settings) -> Database:
    """The household's database, entries from a newer app read where this version now can.

    Raises:
        Stop: it cannot be opened.
    """
    try:
        settings.data.mkdir(parents=True, exist_ok=True, mode=0o700)
        database = await Database.open(settings.database)
        await replay_deferred(database)
    except (StorageError, OSError) as error:
        raise Stop(f"cannot use the data folder {settings.data} ({error}): choose another with --data.") from error
    return database


async def serve(
    settings: Settings, listener: socket.socket, clock: Callable[[], datetime], one_time_code: str | None
) -> None:
    """Serve until told to stop."""
    logging.basicConfig(level=logging.INFO, format="%(asctime)s %(name)s: %(message)s")
    logging.getLogger("httpx").setLevel(logging.WARNING)
    database = await open_database(settings)
    try:
        _greet(settings, listener, one_time_code if not await has_people(database) else None)
        app = create_app(database, settings, clock, one_time_code)
        config = uvicorn.Config(
            app,
            log_config=None,
            access_log=False,
            server_header=False,
            proxy_headers=False,
            lifespan="off",
            timeout_graceful_shutdown=3,
        )
        with contextlib.suppress(KeyboardInterrupt):
            await uvicorn.Server(config).serve(sockets=[listener])
    finally:
        await database.close()


def _greet(settings: Settings, listener: socket.socket, one_time_code: str | None) -> None:
    port = listener.getsockname()[1]
    host = f"[{settings.host}]" if ":" in settings.host else settings.host
    scheme = "https" if settings.https else "http"
    print(f"evenwater: open {scheme}://{host}:{port} (data in {settings.data}); Ctrl-C ends it.", flush=True)
    if one_time_code:
        print(f"evenwater: to begin, type this code on the first page: {one_time_code}", flush=True)
