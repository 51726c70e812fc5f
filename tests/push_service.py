"""A browser's push service of our own on a real TLS socket, and the browser that can read what came."""

import asyncio
import ssl
from base64 import urlsafe_b64encode
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import http_ece
import msgspec
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from evenwater.web.access.authority import prepare_https

HOST = "push.example"


class Browser:
    """The keys of one browser, and its eyes."""

    def __init__(self) -> None:
        self.private = ec.generate_private_key(ec.SECP256R1())
        self.auth = bytes(range(16))

    @property
    def p256dh(self) -> bytes:
        return self.private.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)

    @property
    def keys(self) -> dict[str, str]:
        """As a page gets them from `subscription.toJSON()`."""
        return {
            name: urlsafe_b64encode(data).rstrip(b"=").decode()
            for name, data in (("p256dh", self.p256dh), ("auth", self.auth))
        }

    def read(self, body: bytes) -> dict[str, Any]:
        plain = http_ece.decrypt(body, private_key=self.private, auth_secret=self.auth, version="aes128gcm")
        return msgspec.json.decode(plain)


class PushService:
    """`answers`: status and headers of the next calls, the last one for ever; `calls`: (path, headers, body)."""

    def __init__(self, folder: Path) -> None:
        self.https = prepare_https(folder, {HOST}, datetime.now(UTC))
        self.answers: list[tuple[int, dict[str, str]]] = [(201, {})]
        self.calls: list[tuple[str, dict[str, str], bytes]] = []
        self.port, self.silent, self.looked_up = 0, False, []  # type: ignore[var-annotated]

    @property
    def trust(self) -> ssl.SSLContext:
        """What believes this service's authority and no other."""
        return ssl.create_default_context(cadata=self.https.authority_der)

    async def resolve(self, host: str, port: int) -> Sequence[tuple[str, int]]:
        """Leads every name here, as a public address would lead to a real service."""
        self.looked_up.append((host, port))
        return [("127.0.0.1", self.port)]

    @asynccontextmanager
    async def running(self) -> AsyncIterator["PushService"]:
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(self.https.certificate, self.https.key)
        server = await asyncio.start_server(self, "127.0.0.1", 0, ssl=context)
        self.port = server.sockets[0].getsockname()[1]
        yield self
        server.close()
        await server.wait_closed()

    async def __call__(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        try:
            head = (await reader.readuntil(b"\r\n\r\n")).decode().split("\r\n")
            headers = dict(line.split(": ", 1) for line in head[1:] if line)
            headers = {name.lower(): value for name, value in headers.items()}
            body = await reader.readexactly(int(headers["content-length"]))
            self.calls.append((head[0].split()[1], headers, body))
            if self.silent:
                await reader.read()  # until the other side has had enough
                return
            status, more = self.answers.pop(0) if len(self.answers) > 1 else self.answers[0]
            lines = "".join(f"{name}: {value}\r\n" for name, value in more.items())
            writer.write(f"HTTP/1.1 {status} Said\r\n{lines}Content-Length: 0\r\nConnection: close\r\n\r\n".encode())
            await writer.drain()
        except (asyncio.IncompleteReadError, ConnectionError, ssl.SSLError):
            pass
        finally:
            writer.close()
