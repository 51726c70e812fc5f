"""What lies between a phone and home: a line that can fail in each way a network does.

It stands in front of the whole application, as a network does, so no part of the app knows of it. A failure is laid on
with `Line.fail`; only calls under /api/ meet it, so that pages and files still load.
"""

import asyncio
import gzip
import threading
from collections.abc import Awaitable, Callable
from typing import Any

from msgspec import Struct

Scope, Message = dict[str, Any], dict[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]
Failure = Callable[[App, Scope, Receive, Send], Awaitable[None]]


class Call(Struct, frozen=True):
    """A call that reached the line, with its body as it was before it was packed for the way."""

    method: str
    path: str
    body: bytes
    packed: bool


class Line:
    """Passes calls on, and keeps them; or fails as it was told to."""

    def __init__(self) -> None:
        self.calls: list[Call] = []
        self._failure: Failure | None = None
        self._path = ""
        self._times: int | None = None
        self._held = threading.Event()

    def before(self, app: App) -> App:
        """`app`, behind this line."""

        async def application(scope: Scope, receive: Receive, send: Send) -> None:
            if not scope["path"].startswith("/api/"):
                return await app(scope, receive, send)
            body, receive = await _whole(receive)
            packed = (b"content-encoding", b"gzip") in scope["headers"]
            unpacked = gzip.decompress(body) if packed else body
            self.calls.append(Call(scope["method"], scope["path"], unpacked, packed))
            return await (self._next_failure(scope["path"]) or _pass)(app, scope, receive, send)

        return application

    def fail(self, failure: Failure, times: int | None = None, path: str = "/api/sync") -> None:
        """From now on `failure` answers calls of `path` and below: so many times, or until `clear`."""
        self._failure, self._times, self._path = failure, times, path

    def clear(self) -> None:
        """The line is whole again, and what `holds_its_answer` held goes out."""
        self._failure = None
        self._held.set()

    def to(self, path: str) -> list[Call]:
        """The calls of that path so far."""
        return [call for call in self.calls if call.path == path]

    def holds_its_answer(self) -> Failure:
        """Home keeps what was sent, and answers only after `clear`: by then nobody may be listening."""
        self._held = threading.Event()
        held = self._held

        async def failure(app: App, scope: Scope, receive: Receive, send: Send) -> None:
            answer = await _answer_of(app, scope, receive)
            await asyncio.to_thread(held.wait, 60)
            for message in answer:
                await send(message)

        return failure

    def _next_failure(self, path: str) -> Failure | None:
        if self._failure is None or self._times == 0 or not f"{path}/".startswith(f"{self._path}/"):
            return None
        if self._times is not None:
            self._times -= 1
        return self._failure


async def _pass(app: App, scope: Scope, receive: Receive, send: Send) -> None:
    await app(scope, receive, send)


async def drops_the_call(app: App, scope: Scope, receive: Receive, send: Send) -> None:
    """The call never reaches home; the connection breaks."""
    await _cut(receive, send)


async def drops_the_answer(app: App, scope: Scope, receive: Receive, send: Send) -> None:
    """Home keeps what was sent, then the connection breaks before a word of the answer."""
    await _answer_of(app, scope, receive)
    await _cut(receive, send)


async def takes_no_packed_calls(app: App, scope: Scope, receive: Receive, send: Send) -> None:
    """A home too old to unpack what it is sent."""
    packed = any(name == b"content-encoding" for name, _ in scope["headers"])
    await (_unreadable if packed else _pass)(app, scope, receive, send)


def answers(status: int, content_type: str, body: str, **headers: str) -> Failure:
    """Somebody else answers in home's place: a hotel's sign-in page, a proxy, a server in trouble."""
    named = {"content-type": content_type, **{name.replace("_", "-"): value for name, value in headers.items()}}

    async def failure(app: App, scope: Scope, receive: Receive, send: Send) -> None:
        head = [(name.encode(), value.encode()) for name, value in named.items()]
        await send({"type": "http.response.start", "status": status, "headers": head})
        await send({"type": "http.response.body", "body": body.encode()})

    return failure


_PAGE = "<!doctype html><title>Welcome</title><p>Accept our terms to go online.</p>"
portal_page = answers(200, "text/html", _PAGE)
portal_redirect = answers(302, "text/html", "", location="/anywhere")
portal_status = answers(511, "text/html", _PAGE)
server_error = answers(500, "text/plain", "Internal Server Error")
signed_out = answers(401, "application/json", '{"code":"sign_in","what":"nobody is signed in","where":"","right":""}')
_unreadable = answers(400, "application/json", '{"code":"malformed","what":"no JSON","where":"$","right":"JSON"}')
disk_full = answers(503, "application/json", '{"code":"storage","what":"the disk is full","where":"","right":""}')


async def _whole(receive: Receive) -> tuple[bytes, Receive]:
    """The whole body, and a way to receive it once more."""
    body, more = b"", True
    while more:
        message = await receive()
        body += message.get("body", b"")
        more = message.get("more_body", False)
    told = False

    async def again() -> Message:
        nonlocal told
        if told:
            return await receive()
        told = True
        return {"type": "http.request", "body": body, "more_body": False}

    return body, again


async def _answer_of(app: App, scope: Scope, receive: Receive) -> list[Message]:
    answer: list[Message] = []

    async def keep(message: Message) -> None:
        answer.append(message)

    await app(scope, receive, keep)
    return answer


async def _cut(receive: Receive, send: Send) -> None:
    # ASGI knows no broken connection; `send` is a method of uvicorn's cycle, which holds the socket's transport.
    send.__self__.transport.abort()  # type: ignore[attr-defined]
    while (await receive())["type"] != "http.disconnect":
        pass
