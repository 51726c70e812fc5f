"""/api/past: a keeper's own table comes in, is looked at, kept, taken back; everything goes out.

The file is the body, as it is; the choices are JSON in the query. A file is looked at and kept in two calls that take
the same, so nothing has to be remembered between them.
"""

from collections.abc import AsyncIterator, Callable
from datetime import datetime
from typing import Annotated

import msgspec
from litestar import Router, get, post
from litestar.di import NamedDependency, Provide
from litestar.params import JSONBody, QueryParameter, RawBody
from litestar.response import Stream

from evenwater.domain.past.export import csv_lines
from evenwater.domain.past.understanding import Choices
from evenwater.domain.people import SignedIn
from evenwater.storage import imports as kept_imports
from evenwater.storage.database import Database
from evenwater.storage.people import person_names
from evenwater.storage.whole_log import as_json, exported
from evenwater.web.errors import Refusal
from evenwater.web.intake import past_schema as shown
from evenwater.web.intake.past_desk import PastDesk, Sent, pond_among
from evenwater.web.intake.past_records import PastImport, PastKept, PastPreview, PastTakenBack, TakeBackImport
from evenwater.web.openapi import JSON, with_examples
from evenwater.web.plans.planning import Planner

MAX_FILE = 32_000_000
_LONGEST_NAME = 200

Clock = Callable[[], datetime]
Named = Annotated[str, QueryParameter(description="the file's name, for the list of imports")]
Chosen = Annotated[str, QueryParameter(description="what the keeper chose, JSON as in the schema of Choices")]
OfPond = Annotated[str | None, QueryParameter(description="a pond's id; the first pond without it")]


async def sent_file(
    body: RawBody,
    clock: NamedDependency[Clock],
    planner: NamedDependency[Planner],
    name: Named = "",
    choices: Chosen = "{}",
    pond: OfPond = None,
) -> Sent:
    """The file with what was chosen for it.

    Raises:
        msgspec.ValidationError: the choices are none.
        DomainError: there is no such pond.
    """
    ponds = await planner.ponds(clock())
    chosen = msgspec.json.decode(choices, type=Choices)
    return Sent(body, name.strip()[:_LONGEST_NAME], chosen, pond_among(ponds, pond))


@post(
    "/preview",
    status_code=200,
    request_max_body_size=MAX_FILE,
    summary="What is understood of a table, before anything is kept",
    operation_class=shown.PreviewOperation,
)
async def preview(
    sent: NamedDependency[Sent], clock: NamedDependency[Clock], desk: NamedDependency[PastDesk]
) -> PastPreview:
    """Columns, units and dates as they were understood, the first values, counts, and what is bad, named."""
    return await desk.preview(sent, clock())


@post(
    "/keep",
    status_code=200,
    request_max_body_size=MAX_FILE,
    summary="Keep what of a table is not here yet",
    operation_class=shown.KeepOperation,
)
async def keep(
    sent: NamedDependency[Sent],
    signed_in: NamedDependency[SignedIn],
    clock: NamedDependency[Clock],
    desk: NamedDependency[PastDesk],
) -> PastKept:
    """Each value becomes an entry with an id that follows from what it says, so the same file twice adds nothing."""
    return await desk.keep(sent, signed_in.person_id, clock())


@get("", summary="The files brought in, the last one first", operation_class=with_examples(answered=[shown.IMPORT]))
async def list_imports(database: NamedDependency[Database]) -> list[PastImport]:
    """Also those that were taken back."""
    return [msgspec.convert(one, PastImport, from_attributes=True) for one in await kept_imports.imports(database)]


@post(
    "/take-back",
    status_code=200,
    request_max_body_size=1000,
    summary="Take all of an import back",
    operation_class=with_examples(given=TakeBackImport(shown.IMPORT.id), answered=PastTakenBack(412)),
)
async def take_back(
    data: JSONBody[TakeBackImport],
    signed_in: NamedDependency[SignedIn],
    database: NamedDependency[Database],
    clock: NamedDependency[Clock],
    planner: NamedDependency[Planner],
    desk: NamedDependency[PastDesk],
) -> PastTakenBack:
    """Every entry of it is withdrawn by one more entry; all stay in the log. Twice is once."""
    one = await kept_imports.import_named(database, data.import_id)
    if one is None:
        raise Refusal(404, "not_found", "there is no such import", where="import_id", right="the id of an import")
    now = clock()
    zone = next((pond.zone for pond in await planner.ponds(now) if pond.id == one.pond), "UTC")
    count = await desk.take_back(one, zone, signed_in.person_id, now)
    await planner.forget()
    return PastTakenBack(count)


@get("/export.csv", media_type="text/csv", summary="The whole log as a table", operation_class=shown.CsvOperation)
async def export_csv(database: NamedDependency[Database]) -> Stream:
    """A row for each entry, numbers as numbers, no text that a spreadsheet takes for a formula. UTF-8."""
    names = await person_names(database)

    async def lines() -> AsyncIterator[str]:
        header = True
        async for page in exported(database):
            yield ("\ufeff" if header else "") + "".join(csv_lines(page, names, header=header))
            header = False
        if header:
            yield "\ufeff" + "".join(csv_lines([], names, header=True))

    return Stream(lines, media_type="text/csv; charset=utf-8", headers=_saved_as("evenwater.csv"))


@get("/export.json", summary="The whole log, each entry as it was kept", operation_class=shown.JsonOperation)
async def export_json(database: NamedDependency[Database]) -> Stream:
    """Every entry byte for byte, with its place in the log and in time; and what waits for a newer server."""
    return Stream(lambda: as_json(database), media_type=JSON, headers=_saved_as("evenwater.json"))


def _saved_as(name: str) -> dict[str, str]:
    return {"Content-Disposition": f'attachment; filename="{name}"'}


def past_routes(database: Database) -> Router:
    """The routes, with the one desk they share."""
    desk = PastDesk(database)
    return Router(
        path="/api/past",
        route_handlers=[preview, keep, list_imports, take_back, export_csv, export_json],
        dependencies={
            "desk": Provide(lambda: desk, sync_to_thread=False),
            "sent": Provide(sent_file),
        },
    )
