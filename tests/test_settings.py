"""Who can reach the server, by its settings."""

from pathlib import Path
from typing import Any

import pytest

from evenwater.settings import Settings


@pytest.mark.parametrize(
    ("given", "alone"),
    [
        ({}, True),
        ({"host": "localhost"}, True),
        ({"host": "::1"}, True),
        ({"host": "127.9.9.9"}, True),
        ({"host": "0.0.0.0"}, False),
        ({"host": "::"}, False),
        ({"host": "192.168.1.20"}, False),
        ({"host": "teich.example"}, False),
        ({"public_names": ("teich.example",)}, False),
        ({"trusted_proxies": ("127.0.0.1",)}, False),
    ],
)
def test_a_server_others_may_reach_is_not_taken_for_one_alone(given: dict[str, Any], alone: bool) -> None:
    assert Settings(data=Path("d"), frontend=Path("f"), **given).on_loopback is alone


@pytest.mark.parametrize(
    ("given", "came_by", "address"),
    [
        ({}, None, "http://localhost:9000"),
        ({}, "http://192.168.1.5:8420", "http://192.168.1.5:8420"),
        ({"public_url": "https://koi.example/"}, "http://192.168.1.5:8420", "https://koi.example"),
        ({"public_names": ("koi.example",)}, "http://localhost:8420", "http://koi.example:9000"),
        ({"public_names": ("koi.example",)}, "http://[::1]:8420", "http://koi.example:9000"),
        ({"public_names": ("koi.example",)}, "http://pond.lan:8420", "http://pond.lan:8420"),
        ({"public_names": ("fd00::1",), "https": True}, None, "https://[fd00::1]:9000"),
    ],
)
def test_links_begin_with_what_was_set_else_with_what_others_can_reach(given: Any, came_by: str | None, address: str):
    settings = Settings(data=Path("data"), frontend=Path("frontend"), **given)
    assert settings.address(9000, came_by) == address
