"""Where a request comes from: scheme, host and address as the person's browser sees them.

- X-Forwarded-* count only when the peer itself is a trusted proxy, and then only the entry that proxy added: the last.
- A host name is compared in lower case and without its port; IPv6 stands in brackets, other alphabets as xn--.
- `on_this_machine` is never believed of a request that may have come through a proxy.
"""

import re
from collections.abc import Iterable, Sequence
from ipaddress import IPv4Address, IPv4Network, IPv6Address, IPv6Network, ip_address, ip_network

from litestar.types import HTTPScope
from msgspec import Struct

from evenwater.settings import Settings

Network = IPv4Network | IPv6Network

_AUTHORITY = re.compile(r"(\[[0-9a-f:.]+\]|[a-z0-9._-]+)(?::([0-9]{1,5}))?", re.ASCII)
_DEFAULT_PORTS = {"http": 80, "https": 443}
_LOOPBACK_NAMES = frozenset({"localhost", "127.0.0.1", "[::1]"})
_EVERY_ADDRESS = frozenset({"0.0.0.0", "[::]", ""})
_ADDED_BY_PROXIES = frozenset(
    {b"forwarded", b"via", b"x-real-ip", b"x-client-ip", b"true-client-ip", b"cf-connecting-ip"}
)


class Visit(Struct, frozen=True):
    """One request's origin. `host` is "" when the request names none that can be read."""

    scheme: str
    host: str
    port: int
    address: str
    on_this_machine: bool

    @property
    def origin(self) -> str:
        """Scheme, host and port, as browsers write it in `Origin`."""
        port = "" if self.port == _DEFAULT_PORTS.get(self.scheme) else f":{self.port}"
        return f"{self.scheme}://{self.host}{port}"

    @property
    def source(self) -> str:
        """What attempts are counted by: the address, of IPv6 the /64 that one subscriber gets."""
        address = _address(self.address)
        if isinstance(address, IPv6Address):
            return str(IPv6Network((address, 64), strict=False))
        return self.address


def host_name(name: str) -> str:
    """A host name as it is compared.

    >>> host_name("Teich.Example."), host_name("::1"), host_name("koi-teich-ä.example")
    ('teich.example', '[::1]', 'xn--koi-teich--z5a.example')
    """
    plain = name.strip().lower().rstrip(".")
    if ":" in plain and not plain.startswith("["):
        return f"[{plain}]"
    return plain if plain.isascii() else plain.encode("idna").decode()


def own_hosts(settings: Settings) -> frozenset[str]:
    """The names this server goes by, as they are compared. "Every address" is no name."""
    return frozenset(host_name(name) for name in settings.host_names) - _EVERY_ADDRESS


def networks(proxies: Iterable[str]) -> tuple[Network, ...]:
    """Addresses and networks ("10.0.0.0/8") as given in the settings.

    Raises:
        ValueError: one of them is neither.
    """
    return tuple(ip_network(one, strict=False) for one in proxies)


def read_visit(scope: HTTPScope, trusted: Sequence[Network]) -> Visit:
    """The visit a request is, by its connection and headers."""
    headers = scope["headers"]
    client = scope["client"]
    peer = client[0] if client else ""
    scheme, authorities, address = scope["scheme"], _values(headers, b"host"), peer
    if _is_among(peer, trusted):
        scheme = _last(headers, b"x-forwarded-proto", ("http", "https")) or scheme
        forwarded_host = _last(headers, b"x-forwarded-host")
        authorities = [forwarded_host] if forwarded_host else authorities
        address = _first_untrusted(headers, trusted) or peer
    host, port = _read_authority(authorities)
    return Visit(
        scheme=scheme,
        host=host,
        port=port or _DEFAULT_PORTS.get(scheme, 0),
        address=address,
        on_this_machine=(
            not trusted and host in _LOOPBACK_NAMES and _is_loopback(peer) and not _was_forwarded(headers)
        ),
    )


def _values(headers: Iterable[tuple[bytes, bytes]], name: bytes) -> list[str]:
    return [value.decode("latin-1") for key, value in headers if key == name]


def _items(headers: Iterable[tuple[bytes, bytes]], name: bytes) -> list[str]:
    return [item.strip() for value in _values(headers, name) for item in value.split(",")]


def _last(headers: Iterable[tuple[bytes, bytes]], name: bytes, allowed: tuple[str, ...] = ()) -> str:
    item = next(iter(reversed(_items(headers, name))), "")
    return item if not allowed or item in allowed else ""


def _first_untrusted(headers: Iterable[tuple[bytes, bytes]], trusted: Sequence[Network]) -> str:
    """The address nearest to us that no trusted proxy has; what stands further left is hearsay."""
    for item in reversed(_items(headers, b"x-forwarded-for")):
        if not _is_among(item, trusted):
            return item if _address(item) else ""
    return ""


def _read_authority(authorities: list[str]) -> tuple[str, int | None]:
    found = _AUTHORITY.fullmatch(authorities[0].lower()) if len(authorities) == 1 else None
    if found is None:
        return "", None
    return host_name(found[1]), int(found[2]) if found[2] else None


def _was_forwarded(headers: Iterable[tuple[bytes, bytes]]) -> bool:
    return any(key in _ADDED_BY_PROXIES or key.startswith(b"x-forwarded") for key, _ in headers)


def _address(text: str) -> IPv4Address | IPv6Address | None:
    try:
        address = ip_address(text)
    except ValueError:
        return None
    return getattr(address, "ipv4_mapped", None) or address


def _is_loopback(text: str) -> bool:
    address = _address(text)
    return address is not None and address.is_loopback


def _is_among(text: str, among: Sequence[Network]) -> bool:
    address = _address(text)
    return address is not None and any(address in network for network in among)
