"""The part of the OpenAPI schema about photos: what goes in and out of these routes is no JSON."""

from dataclasses import dataclass

from litestar.openapi.spec import OpenAPIMediaType, OpenAPIResponse, Operation, RequestBody

from evenwater.web.exchange.photo_records import Lacking, LackingAsked, PhotoKept
from evenwater.web.openapi import JSON, Inline, media, schema_of

SUM = "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"
KEPT = PhotoKept(SUM, "accepted", 1600, 1200)
ASKED = LackingAsked([SUM])
LACKING = Lacking([SUM])


def _picture() -> OpenAPIMediaType:
    shown = OpenAPIMediaType(schema=Inline(made={"type": "string", "format": "binary"}))
    shown.examples = media({}, {"its first bytes": "\\xff\\xd8\\xff\\xe0\\x00\\x10JFIF"}).examples
    return shown


@dataclass
class KeepOperation(Operation):
    """Takes a picture."""

    def __post_init__(self) -> None:
        self.request_body = RequestBody(
            required=True,
            content={kind: _picture() for kind in ("image/jpeg", "image/png")},
            description="The file as it is, up to 5 MB and 12.5 million pixels",
        )
        answered = OpenAPIResponse(
            description="It is kept", content={JSON: media(schema_of(PhotoKept), {"a new one": KEPT})}
        )
        self.responses = (self.responses or {}) | {"200": answered}


@dataclass
class ShowOperation(Operation):
    """Gives a picture."""

    def __post_init__(self) -> None:
        shown = OpenAPIResponse(description="The picture", content={"image/jpeg": _picture()})
        self.responses = (self.responses or {}) | {"200": shown}
