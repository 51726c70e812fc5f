"""Has whoever carries messages look at once, where there is somebody: a web application in a test has nobody."""

from collections.abc import Callable
from typing import Any

from litestar import Request
from litestar.datastructures import State


def wake(request: Request[Any, Any, State]) -> None:
    """Make and carry what is due now, not within the next seconds."""
    call: Callable[[], None] | None = request.app.state.get("wake_delivery")
    if call is not None:
        call()
