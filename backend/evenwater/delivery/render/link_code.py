"""A link as a code that cameras read, drawn as one path so that any page can show it and paper can hold it."""

from typing import Final

import segno
from msgspec import Struct

QUIET: Final = 4
"""Blank modules around it, which readers need (ISO/IEC 18004, 6.3.8)."""


class LinkCode(Struct, frozen=True):
    """`path`: the dark modules as the "d" of an SVG path, on a square of `size` units, the quiet zone in it."""

    size: int
    path: str


def link_code(address: str) -> LinkCode:
    """The code of an address; a seventh of it may be smudged (level M)."""
    rows = [bytes(row) for row in segno.make(address, error="m", micro=False, boost_error=False).matrix]
    path = "".join(
        f"M{start + QUIET} {y + QUIET}h{length}v1h-{length}z"
        for y, row in enumerate(rows)
        for start, length in _dark_runs(row)
    )
    return LinkCode(len(rows) + 2 * QUIET, path)


def _dark_runs(row: bytes) -> list[tuple[int, int]]:
    """(first, how many) of each run of dark modules."""
    runs: list[tuple[int, int]] = []
    for x, dark in enumerate(row):
        if not dark:
            continue
        if runs and sum(runs[-1]) == x:
            runs[-1] = runs[-1][0], runs[-1][1] + 1
        else:
            runs.append((x, 1))
    return runs
