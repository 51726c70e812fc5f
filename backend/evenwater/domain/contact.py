"""Whom to ring."""

from typing import Annotated

from msgspec import Meta, Struct

from evenwater.domain.entries import Line

Tel = Annotated[str, Meta(pattern=r"^[+0-9][0-9 ()/-]{2,30}$")]


class Contact(Struct, frozen=True, forbid_unknown_fields=True):
    """Somebody to ring."""

    name: Line
    tel: Tel
