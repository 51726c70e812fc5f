"""/api/samples: a signed-in person brings in a table of samples: a logger's memory card, a supplier's prices."""

import asyncio
from collections.abc import Callable
from datetime import datetime
from typing import Annotated

from litestar import Router, post
from litestar.di import NamedDependency
from litestar.params import QueryParameter, RawBody

from evenwater.domain.entries import zone_named
from evenwater.domain.warmth.sample_table import read_table
from evenwater.domain.warmth.series import OWN
from evenwater.storage.database import Database
from evenwater.web.intake.past_desk import pond_among
from evenwater.web.intake.sample_intake import SampleAnswer, keep_sent
from evenwater.web.intake.sample_schema import TableOperation
from evenwater.web.plans.planning import Planner

MAX_FILE = 4_000_000

OfPond = Annotated[str | None, QueryParameter(description="a pond's id; the first pond without it")]


@post(
    "/api/samples/csv",
    status_code=200,
    request_max_body_size=MAX_FILE,
    summary="Bring in a table of samples",
    operation_class=TableOperation,
)
async def keep_table(
    body: RawBody,
    database: NamedDependency[Database],
    clock: NamedDependency[Callable[[], datetime]],
    planner: NamedDependency[Planner],
    pond: OfPond = None,
) -> SampleAnswer:
    """Times without an offset are the pond's own. The same file twice adds nothing; what is refused is named."""
    now = clock()
    of = pond_among(await planner.ponds(now), pond)
    read = await asyncio.to_thread(lambda: list(read_table(body, zone_named(of.zone))))
    return await keep_sent(database, of.id, OWN, read, now)


sample_routes = Router(path="/", route_handlers=[keep_table])
