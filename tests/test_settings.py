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
