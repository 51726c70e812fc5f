"""GET /health: that it answers, which version, which schema."""

from litestar import get
from litestar.di import NamedDependency
from msgspec import Struct

from evenwater import __version__
from evenwater.storage.database import Database
from evenwater.web.openapi import with_examples


class Health(Struct, frozen=True):
    """The server's own state."""

    status: str
    version: str
    schema_number: int


_SHOWN = Health("ok", "0.1.0", 1)


@get("/health", summary="Whether the server answers", operation_class=with_examples(answered=_SHOWN))
async def health(database: NamedDependency[Database]) -> Health:
    """Answers without sign-in; reads the file, so a lost disk shows."""
    return Health("ok", __version__, await database.schema_number())
