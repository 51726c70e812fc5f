"""Runs the application: the socket, the open household, the web server around it."""

import asyncio
import contextlib
import errno
import logging
import signal
import socket
import sqlite3
import threading
from collections.abc import Callable
from datetime import datetime
from types import FrameType
from typing import Any, cast

import uvicorn
from litestar import Litestar

from evenwater import __version__
from evenwater.backup_clock import BackupClock
from evenwater.carrying import carriers
from evenwater.commands.speaking import Stop, counted, say_json
from evenwater.delivery.clock import DeliveryClock
from evenwater.delivery.weather_clock import WeatherClock
from evenwater.domain.units import SECONDS_PER_DAY
from evenwater.server_log import set_up_log
from evenwater.settings import Settings, is_loopback
from evenwater.storage.database import Database
from evenwater.storage.entry_log import replay_deferred
from evenwater.storage.errors import StorageError
from evenwater.storage.people import has_people, person_names
from evenwater.storage.photos import PhotoStore
from evenwater.storage.plan_log import last_seq
from evenwater.storage.restore import require_no_half
from evenwater.storage.samples import RAW_FOR, thin
from evenwater.web.access.authority import Https, prepare_https
from evenwater.web.access.plain_door import PlainDoor
from evenwater.web.access.trust import trust_app
from evenwater.web.app import create_app

log = logging.getLogger("evenwater")

EVERY_ADDRESS = frozenset({"0.0.0.0", "::"})


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
        require_no_half(settings.data)
        database = await Database.open(settings.database)
        await replay_deferred(database)
        await PhotoStore(database, settings.photo_room_mb * 1_000_000).match_folder()
    except (StorageError, OSError) as error:
        raise Stop(f"cannot use the data folder {settings.data} ({error}): choose another with --data.") from error
    return database


async def serve(
    settings: Settings, listener: socket.socket, clock: Callable[[], datetime], one_time_code: str | None
) -> None:
    """Serve until told to stop; with https, the plain door stands on the next port: trust, and the helpers' way in."""
    set_up_log(json_lines=settings.json_lines)
    https = _https(settings, clock) if settings.https else None
    beside = bind(settings.host, listener.getsockname()[1] + 1) if https else None
    database = await open_database(settings)
    try:
        begun = await has_people(database)
        _greet(settings, listener, https, None if begun else one_time_code)
        await _log_start(database)
        app = create_app(database, settings, clock, one_time_code, https)
        main = _server(app, https)
        ways = carriers(settings, database, clock, listener.getsockname()[1])
        delivery = DeliveryClock(database, app.state.planner.plan_and_facts, ways, clock)
        app.state.wake_delivery = delivery.wake
        async with asyncio.TaskGroup() as tasks:
            tasks.create_task(_until_stopped(main, listener))
            tasks.create_task(WeatherClock(database, settings.weather_url, clock).run())
            tasks.create_task(delivery.run())
            tasks.create_task(_thin_daily(database, clock))
            tasks.create_task(BackupClock(settings, database, clock).run())
            if https and beside:
                tasks.create_task(_server(PlainDoor(app, trust_app(settings, https))).serve(sockets=[beside]))
                tasks.create_task(_renew_daily(main, settings, clock))
    except* _Stopped:
        pass
    finally:
        await database.close()
        log.info("stopped; everything that was confirmed is on the disk")


async def _log_start(database: Database) -> None:
    entries = counted(await last_seq(database), "entry", "entries")
    people = counted(len(await person_names(database)), "person", "people")
    number = await database.schema_number()
    log.info("version %s serves %s of %s; its tables are number %d", __version__, entries, people, number)


class _Stopped(Exception):
    """The main server has ended; whatever stands beside it ends too."""


async def _until_stopped(server: uvicorn.Server, listener: socket.socket) -> None:
    # The web server raises the signal that stopped it once more when it is done; what stands beside it is to end in
    # order all the same.
    if threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGTERM, _ends_already)
    with contextlib.suppress(KeyboardInterrupt):
        await server.serve(sockets=[listener])
    raise _Stopped


def _ends_already(_: int, __: FrameType | None) -> None:
    """For a signal that was acted upon."""


def _server(app: Litestar | PlainDoor, https: Https | None = None) -> uvicorn.Server:
    config = uvicorn.Config(
        cast(Any, app),
        log_config=None,
        access_log=False,
        server_header=False,
        proxy_headers=False,
        lifespan="off",
        timeout_graceful_shutdown=3,
        ssl_certfile=https.certificate if https else None,
        ssl_keyfile=https.key if https else None,
    )
    return uvicorn.Server(config)


def _https(settings: Settings, clock: Callable[[], datetime]) -> Https:
    try:
        return prepare_https(settings.data / "https", settings.host_names - EVERY_ADDRESS, clock())
    except OSError as error:
        raise Stop(f"cannot write the certificate in {settings.data} ({error}): choose another --data.") from error


async def _renew_daily(server: uvicorn.Server, settings: Settings, clock: Callable[[], datetime]) -> None:
    """A server that runs for years shows a certificate that is never out of date."""
    while True:
        await asyncio.sleep(SECONDS_PER_DAY)
        try:
            https = _https(settings, clock)
        except Stop as stop:  # a full disk must not end a server that runs; there are weeks to see to it
            log.error("%s", stop)
            continue
        if https.is_new and server.config.ssl is not None:
            server.config.ssl.load_cert_chain(https.certificate, https.key)
            log.info("the certificate was renewed; good until %s", https.good_until.date())


async def _thin_daily(database: Database, clock: Callable[[], datetime]) -> None:
    """What probes sent long ago is kept by the hour."""
    while True:
        try:
            await thin(database, clock() - RAW_FOR)
        except (StorageError, sqlite3.Error) as error:  # tomorrow is soon enough
            log.error("old samples were not thinned: %s", error)
        await asyncio.sleep(SECONDS_PER_DAY)


def _greet(settings: Settings, listener: socket.socket, https: Https | None, one_time_code: str | None) -> None:
    port = listener.getsockname()[1]
    name = settings.public_names[0] if settings.public_names else settings.host
    host = f"[{name}]" if ":" in name else name
    scheme = "https" if https else "http"
    if settings.smtp is not None and is_loopback(settings.address(port)):
        text = "links in its mail open on this machine alone: name the address phones reach it by with --public-url."
        _say(settings, text, warns="public_url")
    address = f"{scheme}://{host}:{port}"
    _say(settings, f"open {address} (data in {settings.data}); Ctrl-C ends it.", open=address, data=str(settings.data))
    if https:
        trust = f"http://{host}:{port + 1}/trust"
        _say(settings, f"phones: first open {trust}, which walks through trusting this server.", trust=trust)
        text = f"the fingerprint to compare there: {https.fingerprint}"
        _say(settings, text, fingerprint=https.fingerprint)
    if one_time_code:
        _say(settings, f"to begin, type this code on the first page: {one_time_code}", code=one_time_code)


def _say(settings: Settings, text: str, **facts: str) -> None:
    if settings.json_lines:
        say_json(facts)
    else:
        print(f"evenwater: {text}", flush=True)
