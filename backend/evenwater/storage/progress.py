"""How far long work has come, told to whoever wants to show it."""

from collections.abc import Callable

Tell = Callable[[str, int, int], None]
"""Told what is being done, how much of it is done, and how much there is."""


def unseen(what: str, done: int, of: int) -> None:
    """For work that nobody watches."""
