"""Where somebody who is not of the household reaches this server, and whether it works there without signal.

A helper's phone trusts nothing but what every phone trusts, and is never asked to trust the household's own authority.
So with --https alone a helper comes in by the plain door on the next port (`plain_door.py`), while connected.
"""

from msgspec import Struct

from evenwater.settings import Settings
from evenwater.web.visit import Visit, host_name

_LOOPBACK = frozenset({"localhost", "127.0.0.1", "[::1]"})  # browsers keep an app there without TLS, too


class BaseAddress(Struct, frozen=True):
    """`url` without a slash at its end. `works_offline`: a browser keeps the app there for no signal."""

    url: str
    works_offline: bool


def base_address(settings: Settings, visit: Visit) -> BaseAddress:
    """The address a helper's link begins with, as seen from a keeper's visit."""
    if settings.public_url is not None:
        url = settings.public_url.rstrip("/")
        return BaseAddress(url, url.startswith("https://"))
    if settings.https:
        return BaseAddress(f"http://{_name(settings, visit)}:{visit.port + 1}", False)
    if visit.host in _LOOPBACK and settings.public_names:
        return BaseAddress(f"http://{_name(settings, visit)}:{settings.port}", False)
    return BaseAddress(visit.origin, visit.host in _LOOPBACK)


def _name(settings: Settings, visit: Visit) -> str:
    """The name others know it by: the one it was given, else the one the keeper came by."""
    return host_name(settings.public_names[0]) if settings.public_names else visit.host
