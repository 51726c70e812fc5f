"""Reads away what an answer left unread of its request.

A refusal is made before the body is read. Closing the connection on a body still under way resets it, and the refusal
is lost: a proxy then answers 502, and a phone takes "sign in first" for no signal. So the rest is thrown away.
"""

from collections.abc import Iterable

from litestar.types import Message, Receive, Send

_AT_MOST = 8_000_000  # who sends more sees the connection end


class UnreadBody:
    """One request's body. Give `receive` and `sending(send)` to the application."""

    def __init__(self, headers: Iterable[tuple[bytes, bytes]], receive: Receive) -> None:
        self._receive = receive
        self._comes = any(
            name == b"transfer-encoding" or (name == b"content-length" and value != b"0") for name, value in headers
        )

    async def receive(self) -> Message:
        """As the server's `receive`."""
        message = await self._receive()
        self._comes = message["type"] == "http.request" and message.get("more_body", False)
        return message  # type: ignore[return-value]

    def sending(self, send: Send) -> Send:
        """`send`, which answers only when nothing more comes."""

        async def send_after_the_body(message: Message) -> None:
            if message["type"] == "http.response.start":
                await self._read_away()
            await send(message)

        return send_after_the_body

    async def _read_away(self) -> None:
        size = 0
        while self._comes and size < _AT_MOST:
            message = await self.receive()
            size += len(message.get("body", b""))
