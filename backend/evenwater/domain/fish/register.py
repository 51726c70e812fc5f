"""The register: a record for each fish its keeper knows by name, and for each group of those not told apart.

Settings with target `fish/ID`, so that two phones may add to it without signal. Where a fish is now, and whether it is
still here, is no setting: it follows from its moves (`whereabouts.py`).
"""

from datetime import date
from typing import Annotated, Literal

from msgspec import Meta, Struct

from evenwater.domain.entries import Line, Sha256, Slug, Words


class Fish(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A fish, or `count` of them not told apart.

    `pond`: where it was first set up. `variety` in the keeper's words; `marks`: what it is known by. `came_on`: when it
    came to its keeper. `closed`: set up by mistake; one that left or died is not closed, its moves say so.
    """

    id: Slug
    pond: Slug
    name: Line = "A fish"
    variety: Line | None = None
    born_year: Annotated[int, Meta(ge=1900, le=2200)] | None = None
    sex: Literal["female", "male"] | None = None
    origin: Line | None = None
    marks: Words | None = None
    picture: Sha256 | None = None
    count: Annotated[int, Meta(ge=1, le=10_000)] = 1
    came_on: date | None = None
    closed: bool = False
