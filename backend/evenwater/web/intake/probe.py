"""POST /api/probe: a logger sends what its probes measured, one sample or many, as JSON or as a table.

For whoever writes a logger: 200 means all of it was dealt with, send none of it again, also what was refused. 429 and
503 mean send the same again later; it is safe, since a value counts once. Any other answer needs somebody to look.
"""

from collections.abc import Callable
from datetime import datetime
from typing import Annotated, Any

from litestar import Router, post
from litestar.connection import ASGIConnection
from litestar.di import NamedDependency, Provide
from litestar.handlers import BaseRouteHandler
from litestar.params import HeaderParameter, RawBody

from evenwater.domain.warmth.sample_table import read_table
from evenwater.storage.database import Database
from evenwater.storage.probe_keys import ProbeKey
from evenwater.web.intake.probe_desk import ProbeDesk, probe_key
from evenwater.web.intake.sample_intake import SampleAnswer, keep_sent, read_json
from evenwater.web.intake.sample_schema import ProbeOperation

MAX_BODY = 64_000


@post(
    "/api/probe",
    status_code=200,
    request_max_body_size=MAX_BODY,
    summary="Send what a probe measured",
    operation_class=ProbeOperation,
)
async def take_samples(
    body: RawBody,
    probe_key: NamedDependency[ProbeKey],
    database: NamedDependency[Database],
    clock: NamedDependency[Callable[[], datetime]],
    content_type: Annotated[str, HeaderParameter(name="Content-Type")] = "",
) -> SampleAnswer:
    """With a key of this route alone. The same again is nothing new; what is refused is named."""
    is_table = content_type.partition(";")[0].strip().lower() == "text/csv"
    read = read_table(body) if is_table else read_json(body)
    return await keep_sent(database, probe_key.pond, probe_key.series, read, clock())


def probe_routes(database: Database, clock: Callable[[], datetime]) -> Router:
    """The route, with the one desk that counts its callers."""
    desk = ProbeDesk(database, clock)

    async def require_key(connection: ASGIConnection[Any, Any, Any, Any], _: BaseRouteHandler) -> None:
        await desk.require_key(connection)  # a function: the framework makes copies of a method's owner

    return Router(
        path="/",
        route_handlers=[take_samples],
        guards=[require_key],
        dependencies={"probe_key": Provide(probe_key, sync_to_thread=False)},
    )
