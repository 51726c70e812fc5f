"""Where a helper's link leads, and whether it works there without signal."""

from pathlib import Path

import pytest

from evenwater.settings import Settings
from evenwater.web.base_address import base_address
from evenwater.web.visit import Visit

HOME = Visit("http", "192.168.1.5", 8420, "192.168.1.9", False)
LOCAL = Visit("http", "localhost", 8420, "127.0.0.1", True)
TLS = Visit("https", "teich.example", 8420, "192.168.1.9", False)


def settings(**more: object) -> Settings:
    return Settings(data=Path("data"), frontend=Path("frontend"), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("set_so", "visit", "url", "works_offline"),
    [
        ({"public_url": "https://pond.example/"}, HOME, "https://pond.example", True),
        ({"public_url": "https://pond.example", "https": True}, TLS, "https://pond.example", True),
        ({"public_url": "http://pond.example:8420"}, HOME, "http://pond.example:8420", False),
        ({"https": True}, TLS, "http://teich.example:8421", False),
        ({"https": True, "public_names": ("koi.example",)}, TLS, "http://koi.example:8421", False),
        ({}, HOME, "http://192.168.1.5:8420", False),
        ({}, LOCAL, "http://localhost:8420", True),
        ({"public_names": ("koi.example",)}, LOCAL, "http://koi.example:8420", False),
        ({"trusted_proxies": ("10.0.0.1",)}, TLS, "https://teich.example:8420", False),
    ],
)
def test_a_link_begins_where_anybody_gets_in(set_so, visit, url, works_offline):
    found = base_address(settings(**set_so), visit)
    assert (found.url, found.works_offline) == (url, works_offline)
