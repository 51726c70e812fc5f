"""The photos of each fish, newest first: those taken when it was lifted, and of what was seen on it alone."""

from collections.abc import Sequence
from typing import Final

from evenwater.domain.entries import FishMeasure, FishSeen
from evenwater.domain.fish.outlook import PhotoLine
from evenwater.domain.fold import Seen, of_kinds

SHOWN_PHOTOS: Final = 16
"""As many as a device is told of each fish: all are in the log, and each sum is as many bytes as a sentence."""


def photo_lines(facts: Sequence[Seen]) -> dict[str, tuple[PhotoLine, ...]]:
    """By the fish's id, newest first; of more than are told the oldest and newest stay, and those between are thinned.

    Args:
        facts: Standing facts of every pond, oldest first.
    """
    found: dict[str, list[PhotoLine]] = {}
    for one in of_kinds(facts, FishMeasure, FishSeen):
        fish = _whose(one)
        if fish is not None:
            told = found.setdefault(fish, [])
            told.extend(PhotoLine(photo, one.on) for photo in one.entry.photos)
    return {fish: _thinned(told[::-1]) for fish, told in found.items()}


def _whose(one: Seen) -> str | None:
    """Of a group of fish nobody can tell which of them is on the photo."""
    match one.entry:
        case FishMeasure(fish=fish):
            return fish
        case FishSeen(fish=(fish,)):
            return fish
        case _:
            return None


def _thinned(told: Sequence[PhotoLine]) -> tuple[PhotoLine, ...]:
    once = list({one.sum: one for one in told}.values())
    if len(once) <= SHOWN_PHOTOS:
        return tuple(once)
    days = list({one.on: one for one in once}.values())
    if len(days) <= SHOWN_PHOTOS:
        return tuple(days)
    step = (len(days) - 1) / (SHOWN_PHOTOS - 1)
    return tuple(days[round(nth * step)] for nth in range(SHOWN_PHOTOS))
