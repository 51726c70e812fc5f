"""What is said about photos over the wire."""

from typing import Annotated, Literal

from msgspec import Meta, Struct

from evenwater.domain.entries import Sha256


class PhotoKept(Struct, frozen=True):
    """A photo is here, in this size [px]."""

    sum: str
    verdict: Literal["accepted", "already_here"]
    width_px: int
    height_px: int


class LackingAsked(Struct, frozen=True, forbid_unknown_fields=True):
    """The photos a device could send again."""

    sums: Annotated[list[Sha256], Meta(max_length=500)]


class Lacking(Struct, frozen=True):
    """Those of them that are not here."""

    lacking: list[str]
