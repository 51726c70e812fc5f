"""A mail server of our own on a real socket, which takes, refuses, dawdles, or is not there; and keeps what it took."""

import asyncio
import socket
import threading
import time
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from email import message_from_bytes
from email.message import EmailMessage
from email.policy import default
from typing import Any

from aiosmtpd.smtp import SMTP, AuthResult, Envelope, LoginPassword, Session


class PostOffice:
    """`refuse_to`, `refuse_data`: what is answered instead of 250; `pause_s`: how long it thinks before it answers to a
    message it has taken. `user` and `password`: asked for when set."""

    def __init__(self, **options: Any) -> None:
        self.refuse_to, self.refuse_data, self.refuse_from = "", "", ""
        self.pause_s = 0.0
        self.user, self.password = "", ""
        self.taken: list[EmailMessage] = []
        self.ids: list[str] = []
        self.to: list[str] = []
        self.signed_in: list[str] = []
        self.came = threading.Condition()
        self.port = free_port()
        self._options = options
        self._thread: threading.Thread | None = None

    def start(self) -> None:
        """Listen, on the same port each time."""
        listening = threading.Event()
        self._thread = threading.Thread(target=lambda: asyncio.run(self._serve(listening)))
        self._thread.start()
        assert listening.wait(20), "the mail server does not start"

    def stop(self) -> None:
        """Hang up on everybody."""
        if self._thread is not None:
            self._loop.call_soon_threadsafe(self._ending.set)
            self._thread.join(timeout=20)
            self._thread = None

    async def _serve(self, listening: threading.Event) -> None:
        self._loop, self._ending = asyncio.get_running_loop(), asyncio.Event()
        self._lines: list[SMTP] = []
        listener = socket.create_server(("127.0.0.1", self.port))
        options = dict(self._options)
        server = await self._loop.create_server(self._line, sock=listener, ssl=options.pop("ssl_context", None))
        listening.set()
        await self._ending.wait()
        server.close()
        for line in self._lines:
            if line.transport is not None:
                line.transport.abort()
        ending = [line._handler_coroutine for line in self._lines if line._handler_coroutine is not None]
        await asyncio.gather(*ending, return_exceptions=True)
        await server.wait_closed()

    def _line(self) -> SMTP:
        more = {name: value for name, value in self._options.items() if name != "ssl_context"}
        if self.user:
            more |= {"authenticator": self._authenticate, "auth_required": True, "auth_require_tls": False}
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # it warns of passwords without encryption, which here are nobody's
            line = SMTP(self, hostname="post.example", loop=self._loop, **more)
        self._lines.append(line)
        return line

    @contextmanager
    def open(self) -> Iterator["PostOffice"]:
        self.start()
        try:
            yield self
        finally:
            self.stop()

    def wait_for(self, count: int, within_s: float = 20.0) -> list[EmailMessage]:
        """What it took, once that is so many."""
        with self.came:
            assert self.came.wait_for(lambda: len(self.taken) >= count, within_s), f"{len(self.taken)} of {count} came"
        return list(self.taken)

    def wait_for_nobody_on_the_line(self) -> None:
        """Until every caller has hung up, or died."""
        self.wait_until(lambda: all(line.transport is None for line in self._lines))

    def wait_until(self, so: Callable[[], bool], within_s: float = 20.0) -> None:
        """Until something is so that comes of letters."""
        until = time.monotonic() + within_s
        while not so():
            assert time.monotonic() < until, f"it is not so after {len(self.taken)} letters"
            time.sleep(0.005)  # it may depend on another process, which tells nobody

    def _authenticate(self, _: SMTP, __: Session, ___: Envelope, ____: str, data: Any) -> AuthResult:
        assert isinstance(data, LoginPassword)
        self.signed_in.append(data.login.decode())
        good = (data.login.decode(), data.password.decode()) == (self.user, self.password)
        return AuthResult(success=good, handled=False)

    async def handle_MAIL(self, _: SMTP, __: Session, envelope: Envelope, address: str, options: list[str]) -> str:
        if self.refuse_from:
            return self.refuse_from
        envelope.mail_from = address
        envelope.mail_options.extend(options)
        return "250 OK"

    async def handle_RCPT(self, _: SMTP, __: Session, envelope: Envelope, address: str, options: list[str]) -> str:
        if self.refuse_to:
            return self.refuse_to
        envelope.rcpt_tos.append(address)
        envelope.rcpt_options.extend(options)
        return "250 OK"

    async def handle_DATA(self, _: SMTP, __: Session, envelope: Envelope) -> str:
        if self.refuse_data:
            return self.refuse_data
        content = bytes(envelope.content or b"")
        with self.came:
            letter: EmailMessage = message_from_bytes(content, policy=default)  # type: ignore[arg-type]
            self.to += envelope.rcpt_tos
            self.ids.append(str(letter["Message-ID"]).strip("<>").partition("@")[0])
            self.taken.append(letter)
            self.came.notify_all()
        if self.pause_s:
            await asyncio.sleep(self.pause_s)
        return "250 OK"


def text_of(letter: EmailMessage) -> str:
    """Its plain text, with plain line ends."""
    body = letter.get_body(("plain",))
    assert body is not None
    return str(body.get_content()).replace("\r\n", "\n")


def html_of(letter: EmailMessage) -> str:
    body = letter.get_body(("html",))
    assert body is not None
    return str(body.get_content())


def link_of(letter: EmailMessage, path: str) -> str:
    """The path of the first link to such a page of the app, in its text."""
    text = text_of(letter)
    start = text.index(path)
    return text[start:].split()[0]


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as found:
        port: int = found.getsockname()[1]
        return port
