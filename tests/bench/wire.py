"""A small HTTP client on a bare socket: the same for every server measured, and cheap enough not to be measured itself.

A request is bytes made beforehand; an answer is read to its end and handed back unread. One connection, kept open.
"""

import socket
import time


class Wire:
    """One connection to a server on this machine."""

    def __init__(self, port: int) -> None:
        self._host = f"127.0.0.1:{port}"
        self._socket = socket.create_connection(("127.0.0.1", port), timeout=60)
        self._socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)

    def close(self) -> None:
        self._socket.close()

    def request(self, method: str, path: str, body: bytes = b"", headers: dict[str, str] | None = None) -> bytes:
        """The bytes of a request, with the headers a browser's page of that server would send."""
        lines = [f"{method} {path} HTTP/1.1", f"Host: {self._host}", f"Origin: http://{self._host}"]
        lines += ["Sec-Fetch-Site: same-origin", "Content-Type: application/json", "Accept: */*"]
        lines += [f"{name}: {value}" for name, value in (headers or {}).items()]
        lines.append(f"Content-Length: {len(body)}")
        return "\r\n".join(lines).encode() + b"\r\n\r\n" + body

    def send(self, request: bytes) -> tuple[int, dict[str, str], bytes]:
        """(status, headers in lower case, body)."""
        self._socket.sendall(request)
        data = b""
        while b"\r\n\r\n" not in data:
            data += self._more()
        head, _, body = data.partition(b"\r\n\r\n")
        status, *lines = head.decode("latin-1").split("\r\n")
        headers = {name.lower(): value.strip() for name, _, value in (line.partition(":") for line in lines)}
        if "content-length" in headers:
            body = self._exactly(body, int(headers["content-length"]))
        elif headers.get("transfer-encoding") == "chunked":
            while not body.endswith(b"0\r\n\r\n"):
                body += self._more()
        return int(status.split()[1]), headers, body

    def timed(self, request: bytes) -> tuple[float, int, bytes]:
        """(seconds from the first byte sent to the last received, status, body)."""
        start = time.perf_counter()
        status, _, body = self.send(request)
        return time.perf_counter() - start, status, body

    def _exactly(self, body: bytes, length: int) -> bytes:
        parts, have = [body], len(body)
        while have < length:
            parts.append(self._more())
            have += len(parts[-1])
        return b"".join(parts)

    def _more(self) -> bytes:
        some = self._socket.recv(262_144)
        if not some:
            raise ConnectionError("the server closed the connection in the middle of an answer")
        return some
