"""Where somebody who is not of the household reaches this server, and whether it works there without signal.

A helper's phone trusts nothing but what every phone trusts, and is never asked to trust the household's own authority.
So with --https alone a helper comes in by the plain door on the next port (`plain_door.py`), while connected.
"""

from msgspec import Struct

from evenwater.settings import Settings, is_loopback
from evenwater.web.visit import Visit, host_name


class BaseAddress(Struct, frozen=True):
    """`url` without a slash at its end. `works_offline`: a browser keeps the app there for no signal, as it does on
    loopback without TLS too.
    """

    url: str
    works_offline: bool


def base_address(settings: Settings, visit: Visit) -> BaseAddress:
    """The address a helper's link begins with, as seen from a keeper's visit."""
    if settings.https and settings.public_url is None:
        name = host_name(settings.public_names[0]) if settings.public_names else visit.host
        return BaseAddress(f"http://{name}:{visit.port + 1}", False)
    url = settings.address(settings.port, visit.origin)
    return BaseAddress(url, is_loopback(url) or (settings.public_url is not None and url.startswith("https://")))
