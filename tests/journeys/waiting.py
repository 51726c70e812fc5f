"""Waiting for what no screen shows."""

import time
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page


def until(holds: Callable[[], Any], what: str, page: Page | None = None, patience_s: float = 20) -> None:
    """Wait for something no screen shows. With `page`, the browser's events are heard meanwhile."""
    end = time.monotonic() + patience_s
    while not holds():
        assert time.monotonic() < end, f"never came true: {what}"
        if page is None:
            time.sleep(0.01)
        else:
            page.wait_for_timeout(20)
