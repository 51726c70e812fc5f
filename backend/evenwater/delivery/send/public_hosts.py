"""Looks a host name up, once, and gives only addresses that are out on the internet.

A name somebody else chose could lead to this machine or to the household's own network. So each address is looked at,
and whoever calls connects to just that address: looked up a second time, the name could lead elsewhere.
"""

import asyncio
import socket
from collections.abc import Awaitable, Callable, Sequence
from ipaddress import IPv4Address, IPv6Address, IPv6Network, ip_address

Place = tuple[str, int]
"""(IP address, port) to connect to."""
LookUp = Callable[[str, int], Awaitable[Sequence[str]]]
Resolve = Callable[[str, int], Awaitable[Sequence[Place]]]

# Addresses that stand for an IPv4 address, which may be anybody's: RFC 6052, RFC 8215.
_TRANSLATED = (IPv6Network("64:ff9b::/96"), IPv6Network("64:ff9b:1::/48"))


class NotPublic(Exception):
    """The name leads to no machine out on the internet."""


def is_public(address: str) -> bool:
    """Whether an address is out on the internet, whatever it is wrapped in.

    >>> is_public("1.1.1.1"), is_public("192.168.1.1"), is_public("::ffff:127.0.0.1")
    (True, False, False)
    """
    try:
        found = ip_address(address)
    except ValueError:
        return False
    if isinstance(found, IPv6Address):
        inner = _inside(found)
        if inner is not None:
            return is_public(str(inner))
    return found.is_global and not found.is_multicast and not found.is_reserved


def _inside(address: IPv6Address) -> IPv4Address | None:
    """The IPv4 address an IPv6 one stands for."""
    if address.ipv4_mapped is not None:
        return address.ipv4_mapped
    if address.sixtofour is not None:
        return address.sixtofour
    if address.teredo is not None:
        return address.teredo[1]
    if any(address in network for network in _TRANSLATED):
        return IPv4Address(int(address) & 0xFFFFFFFF)
    return None


async def look_up(host: str, port: int) -> Sequence[str]:
    """Every address the system knows for a name.

    Raises:
        OSError: it knows none, or cannot ask.
    """
    found = await asyncio.get_running_loop().getaddrinfo(host, port, type=socket.SOCK_STREAM)
    return list(dict.fromkeys(str(one[4][0]) for one in found))


async def public_places(host: str, port: int, look_up: LookUp = look_up) -> Sequence[Place]:
    """Where to connect for a host name: its addresses, all of them public.

    Raises:
        NotPublic: one of them is not; a name that mixes both is nobody's push service.
        OSError: the name is not known, or nobody can be asked.
    """
    found = await look_up(host, port)
    if not found:
        raise OSError(f"no address of {host} is known")
    if not all(is_public(one) for one in found):
        raise NotPublic(host)
    return [(one, port) for one in found]
