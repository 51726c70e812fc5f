"""The season report and the year on a page: each one document, for the screen, for paper, and as a file to send.

- GET /season-report and GET /year-ring are keepers' pages that home writes itself; with `file` they come as a file.
- What goes wrong there is told in words to whoever asked with a browser, and as everywhere to programs.
- The log over two years is read and reckoned with aside: nobody's sync waits for it.
"""

import asyncio
from collections.abc import Callable, Sequence
from datetime import date, datetime, time, timedelta
from typing import Annotated, Any, Final

from litestar import MediaType, Request, Response, Router, get
from litestar.datastructures import State
from litestar.di import NamedDependency, Provide
from litestar.params import QueryParameter

from evenwater.delivery.render.season_report import STYLE_SUM, Links, season_page, year_page
from evenwater.domain.away.helper_plan import helper_names
from evenwater.domain.book.outlook import PondBook
from evenwater.domain.book.shown_records import Shown
from evenwater.domain.entries import zone_named
from evenwater.domain.fold import Known
from evenwater.domain.pond import Pond
from evenwater.domain.report.asked import PARTS, Asked, check_asked, listed
from evenwater.domain.report.page import season_report, year_report
from evenwater.domain.report.past import Past
from evenwater.domain.report.photos import Taken, taken_in
from evenwater.domain.report.span import Span, span_asked
from evenwater.domain.rounds.when.civil_time import moment
from evenwater.domain.warmth.pond_air import read
from evenwater.settings import Settings
from evenwater.storage.database import Database
from evenwater.storage.people import person_names
from evenwater.storage.photo_for_paper import for_paper
from evenwater.storage.photos import PhotoStore
from evenwater.storage.report_log import counter_days, facts_between, water_hours
from evenwater.storage.shown import days_shown
from evenwater.storage.water_days import water_days
from evenwater.web.answers.report_refused import IN_WORDS
from evenwater.web.errors import Refusal
from evenwater.web.headers import CONTENT_POLICY
from evenwater.web.openapi import with_examples
from evenwater.web.plans.planning import Planner
from evenwater.web.plans.shown_keeping import shown_since

AnyRequest = Request[Any, Any, State]
Clock = Callable[[], datetime]
OfPond = Annotated[str, QueryParameter(description="the pond's id")]
First = Annotated[date, QueryParameter(description="the first date told of")]
Last = Annotated[date, QueryParameter(description="the last; at most 366 days after the first")]
Parts = Annotated[str, QueryParameter(description="parts with commas between: " + ", ".join(PARTS))]
Title = Annotated[str, QueryParameter(description="what stands over it; without one the pond's name")]
People = Annotated[bool, QueryParameter(description="with the names of those who did the work")]
Notes = Annotated[bool, QueryParameter(description="with what was written in free words")]
Place = Annotated[bool, QueryParameter(description="with the pond's time zone; nothing finer is ever told")]
Sums = Annotated[
    str,
    QueryParameter(
        name="photos", description="sums of photos with commas between; without any the latest of each fish"
    ),
]
AsFile = Annotated[bool, QueryParameter(name="file", description="as a file to keep or send")]
OwnWords = Annotated[bool, QueryParameter(description="with what was changed, in the keeper's own words")]
Year = Annotated[int, QueryParameter(description="the calendar year", ge=1971, le=2200)]

# The last words of the policy say where pictures may come from: those of a report stand inside it.
_POLICY: Final = f"{CONTENT_POLICY} data:; style-src 'sha256-{STYLE_SUM}'"
_ALL: Final = ",".join(PARTS)
_SHOWN: Final = (
    "<!doctype html><html lang=en>…<h1>The long pond</h1><p>Season report, 1 April to 30 September 2026</p>…"
)
_TAKEN: Final = (Taken(sum="5d" * 32, on=date(2026, 9, 12), fish="yuki", name="Yuki"),)
_FORETOLD: Final = frozenset({"forecasts", "spent"})
_MARGIN: Final = timedelta(days=41)
"""Readings of a counter so far outside still say what ran inside."""


@get(
    "/season-report",
    media_type=MediaType.HTML,
    exception_handlers=IN_WORDS,
    summary="The season told back: this year against last",
    operation_class=with_examples(answered=_SHOWN),
)
async def show_season(
    request: AnyRequest,
    database: NamedDependency[Database],
    planner: NamedDependency[Planner],
    clock: NamedDependency[Clock],
    photos: NamedDependency[PhotoStore],
    pond: OfPond,
    first: First,
    last: Last,
    parts: Parts = _ALL,
    title: Title = "",
    people: People = False,
    notes: Notes = False,
    place: Place = False,
    photo_sums: Sums = "",
    as_file: AsFile = False,
) -> Response[str]:
    """One document that holds all it needs; nothing private is in it unless it was asked for."""
    now = clock()
    here = await _pond(planner, pond, now)
    asked = check_asked(
        Asked(
            pond=pond,
            span=_span(here, first, last, now),
            parts=tuple(listed(parts)),
            title=title,
            people=people,
            notes=notes,
            place=place,
            photos=tuple(listed(photo_sums)),
        )
    )
    past = await _past(database, planner, here, asked.span, now, asked.parts)
    report = await asyncio.to_thread(season_report, past, asked)
    pictures = await _pictures(photos, [one.sum for one in report.photos])
    name = f"season-{asked.span.first}-to-{asked.span.last}.html"
    return _page(season_page(report, pictures, _links(request, as_file)), name if as_file else None)


@get(
    "/year-ring",
    media_type=MediaType.HTML,
    exception_handlers=IN_WORDS,
    summary="The year on a page",
    operation_class=with_examples(answered=_SHOWN),
)
async def show_year(
    request: AnyRequest,
    database: NamedDependency[Database],
    planner: NamedDependency[Planner],
    clock: NamedDependency[Clock],
    pond: OfPond,
    year: Year,
    changes: OwnWords = False,
    as_file: AsFile = False,
) -> Response[str]:
    """The water's temperature round the year, what happened, and the year before behind it."""
    now = clock()
    here = await _pond(planner, pond, now)
    span = _span(here, date(year, 1, 1), date(year, 12, 31), now)
    past = await _past(database, planner, here, span, now)
    report = await asyncio.to_thread(lambda: year_report(past, changes=changes))
    return _page(year_page(report, _links(request, as_file)), f"year-{year}.html" if as_file else None)


@get(
    "/api/season-report/photos",
    summary="Photos of a span, the latest first, to choose a report's from",
    operation_class=with_examples(answered=_TAKEN),
)
async def photos_taken(
    database: NamedDependency[Database],
    planner: NamedDependency[Planner],
    clock: NamedDependency[Clock],
    photos: NamedDependency[PhotoStore],
    pond: OfPond,
    first: First,
    last: Last,
) -> list[Taken]:
    """Those that are here; one that waits on a phone is not."""
    now = clock()
    here = await _pond(planner, pond, now)
    taken = taken_in(await _past(database, planner, here, _span(here, first, last, now), now))
    lacking = set(await photos.lacking([one.sum for one in taken]))
    return [one for one in taken if one.sum not in lacking]


async def _pond(planner: Planner, name: str, now: datetime) -> Pond:
    """The pond of that id.

    Raises:
        Refusal: 404 not_found.
    """
    found = next((one for one in await planner.ponds(now) if one.id == name), None)
    if found is None:
        raise Refusal(404, "not_found", "no such pond is here", where="pond", right="the id of a pond")
    return found


def _span(pond: Pond, first: date, last: date, now: datetime) -> Span:
    return span_asked(first, last, now.astimezone(zone_named(pond.zone)).date())


async def _past(
    database: Database, planner: Planner, pond: Pond, span: Span, now: datetime, parts: Sequence[str] = ()
) -> Past:
    """All that a report of these parts rests on."""
    known, zone = await planner.known(now), zone_named(pond.zone)
    since, until = moment(span.before.first, time(0), zone), moment(span.last + timedelta(days=1), time(0), zone)
    facts = await facts_between(database, pond.id, since - _MARGIN, until + _MARGIN)
    here = {one.entry.id for one in facts}
    lasting = (one for one in known.facts if one.entry.id not in here)
    by_logger = await counter_days(database, pond.id, since - _MARGIN, until + _MARGIN)
    return Past(
        known=Known(tuple(sorted((*facts, *lasting), key=lambda one: one.order)), known.settings),
        pond=pond,
        span=span,
        water=await water_days(database, pond.id, since),
        counter=sorted([*read(facts, "heater_meter_kwh", "heater"), *by_logger]),
        shown=await days_shown(database, span.before.first, span.last),
        foretold=await shown_since(database, pond.id, pond.zone, since) if _FORETOLD & set(parts) else Shown(),
        hours=await water_hours(database, pond.id, since, until) if "forecasts" in parts else (),
        book=await _book(planner, pond, now) if "changes" in parts else PondBook(pond=pond.id, tag=""),
        names=await person_names(database) | helper_names(known),
        now=now,
    )


async def _book(planner: Planner, pond: Pond, now: datetime) -> PondBook:
    plan = await planner.plan(now)
    return next((one for one in plan.book if one.pond == pond.id), PondBook(pond=pond.id, tag=""))


async def _pictures(photos: PhotoStore, sums: Sequence[str]) -> dict[str, bytes]:
    """Those of the photos that are here, reduced."""
    found: dict[str, bytes] = {}
    for one in sums:
        photo = await photos.find(one)
        content = await photos.read(photo, "whole") if photo else None
        reduced = await asyncio.to_thread(for_paper, content) if content is not None else None
        if reduced is not None:
            found[one] = reduced
    return found


def _links(request: AnyRequest, as_file: bool) -> Links:
    """Back to what was chosen, and the same as a file; in a file that is sent there is no way to anywhere."""
    if as_file:
        return Links()
    query = request.url.query
    return Links((("Back to the app", f"/report?{query}"), ("Save as a file", f"{request.url.path}?{query}&file=true")))


def _page(html: str, file_name: str | None) -> Response[str]:
    headers = {"Cache-Control": "no-store", "Content-Security-Policy": _POLICY}
    if file_name:
        headers["Content-Disposition"] = f'attachment; filename="{file_name}"'
    return Response(html, media_type=MediaType.HTML, headers=headers)


def report_routes(database: Database, settings: Settings) -> Router:
    """The routes, with the household's photos at hand."""
    store = PhotoStore(database, settings.photo_room_mb * 1_000_000)
    return Router(
        path="/",
        route_handlers=[show_season, show_year, photos_taken],
        dependencies={"photos": Provide(lambda: store, sync_to_thread=False)},
    )
