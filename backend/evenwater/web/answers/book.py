"""GET /api/book: the log from its end, looked through for what a keeper asks; a phone holds only its last weeks.

A call looks through a bounded number of entries. Where it ends before the log does it says from where to go on, also
with nothing found: so ten years of a busy pond hold up nobody else.
"""

from collections.abc import Callable
from datetime import UTC, date, datetime
from typing import Annotated, Any

import msgspec
from litestar import get
from litestar.di import NamedDependency
from litestar.params import QueryParameter
from msgspec import Struct

from evenwater.domain.away.helper_plan import helper_names
from evenwater.domain.book.entry_words import names_in
from evenwater.domain.book.search import GROUPS, Sought, matches
from evenwater.domain.errors import Contradiction, DomainError
from evenwater.storage.book_log import Place, Within, entries_named, page_back, taken_back_among
from evenwater.storage.database import Database
from evenwater.storage.entry_log import LoggedContent
from evenwater.storage.people import person_names
from evenwater.web.openapi import with_examples
from evenwater.web.plans.planning import Planner

PAGE = 60
_STRIDE = 500
_LOOK_MOST = 10_000
"""Entries one call looks through: a third of a second of a small machine."""

Text = Annotated[str, QueryParameter(description="words or numbers, each of which is in the entry", max_length=200)]
Kind = Annotated[str | None, QueryParameter(description=f"one of {', '.join(GROUPS)}")]
OfPond = Annotated[str | None, QueryParameter(description="a pond's id")]
At = Annotated[str | None, QueryParameter(description='a place of the walk, or "point/NAME" where one measures')]
By = Annotated[str | None, QueryParameter(description="a person's id")]
OfFish = Annotated[str | None, QueryParameter(description="a fish's id")]
OfKit = Annotated[str | None, QueryParameter(description="the id of a piece of kit")]
Since = Annotated[date | None, QueryParameter(description="the first day")]
Until = Annotated[date | None, QueryParameter(description="the last day")]
OfFiles = Annotated[bool, QueryParameter(description="what was brought in as files, which is else left out")]
Before = Annotated[str | None, QueryParameter(description="`next` of the answer before")]


class BookEntry(Struct, frozen=True, kw_only=True):
    """An entry with its place in the log and in time; `taken_back`: it stands no more."""

    seq: int
    received_at: datetime
    placed_at: datetime
    placed_on: date
    skew_s: float
    time_doubtful: bool
    taken_back: bool
    entry: dict[str, Any]


class BookPage(Struct, frozen=True, kw_only=True):
    """Entries, newest first. `about`: those that take backs among them name. `next`: where to go on, none at the end.

    `back_to`: the day down to which was looked, whatever was found; none when nothing was there.
    """

    entries: list[BookEntry]
    about: list[BookEntry]
    next: str | None
    back_to: date | None


_EXAMPLE = BookEntry(
    seq=41,
    received_at=datetime(2026, 3, 3, 16, 2, tzinfo=UTC),
    placed_at=datetime(2026, 3, 3, 15, 40, tzinfo=UTC),
    placed_on=date(2026, 3, 3),
    skew_s=0.4,
    time_doubtful=False,
    taken_back=False,
    entry={
        "id": "019a4a3e-7c00-7000-8000-000000000001",
        "v": 1,
        "pond": "main",
        "kind": "note",
        "happened_at": "2026-03-03T16:40:00.000+01:00",
        "local_date": "2026-03-03",
        "zone": "Europe/Brussels",
        "recorded_at": "2026-03-03T15:40:02.120Z",
        "device": "019a4a3e-7c00-7000-8000-000000000002",
        "author": "019a4a3e-7c00-7000-8000-000000000003",
        "text": "First frogs.",
    },
)
_ANSWERED = BookPage(entries=[_EXAMPLE], about=[], next="2026-03-03T15:40:00.000+00:00/41", back_to=date(2026, 3, 3))


@get(
    "/api/book",
    summary="What is recorded, newest first, looked through",
    operation_class=with_examples(answered=_ANSWERED),
)
async def book(
    database: NamedDependency[Database],
    planner: NamedDependency[Planner],
    clock: NamedDependency[Callable[[], datetime]],
    text: Text = "",
    group: Kind = None,
    pond: OfPond = None,
    place: At = None,
    person: By = None,
    fish: OfFish = None,
    kit: OfKit = None,
    since: Since = None,
    until: Until = None,
    of_files: OfFiles = False,
    before: Before = None,
) -> BookPage:
    """A page of what is asked for; taken back entries are shown as such, never left out."""
    _check_days(since, until)
    asked = {"group": group, "pond": pond, "place": place, "person": person, "fish": fish, "kit": kit}
    sought = msgspec.convert({"text": text, **asked}, Sought)
    within = Within(
        since=since, until=until, kinds=sought.kinds, pond=sought.pond, author=sought.person, of_files=of_files
    )
    now = clock()
    known = await planner.known(now)
    people = await person_names(database) | helper_names(known)
    names = names_in(known, people, known.civil_date(now)[0])
    found, last, more = await _look(database, within, _read_place(before), lambda entry: matches(entry, sought, names))
    return BookPage(
        entries=await _shown(database, found),
        about=await _shown(database, await entries_named(database, _named(found))),
        next=_written_place(last) if more and last else None,
        back_to=last.placed_on if last else None,
    )


def _check_days(since: date | None, until: date | None) -> None:
    for where, day in (("since", since), ("until", until)):
        if day is not None and not 1900 <= day.year < 9000:
            raise DomainError(f"{where} is in the year {day.year}", where=where, right="a year people live in")
    if since and until and since > until:
        raise Contradiction(f"{since} is after {until}", where="since", right=f"{until} or earlier")


async def _look(
    database: Database, within: Within, place: Place | None, wanted: Callable[[dict[str, Any]], bool]
) -> tuple[list[LoggedContent], LoggedContent | None, bool]:
    """What is wanted, the last entry that was looked at, and whether there may be more before it."""
    found: list[LoggedContent] = []
    last: LoggedContent | None = None
    looked = 0
    while looked < _LOOK_MOST:
        rows = await page_back(database, within, place, _STRIDE)
        for row in rows:
            last = row
            if wanted(msgspec.json.decode(row.entry)):
                found.append(row)
                if len(found) == PAGE:
                    return found, last, True
        if len(rows) < _STRIDE or last is None:
            return found, last, False
        looked += len(rows)
        place = Place(last.placed_at, last.seq)
    return found, last, True


async def _shown(database: Database, rows: list[LoggedContent]) -> list[BookEntry]:
    entries: list[dict[str, Any]] = [msgspec.json.decode(row.entry) for row in rows]
    gone = await taken_back_among(database, [str(one["id"]) for one in entries])
    return [
        BookEntry(
            seq=row.seq,
            received_at=row.received_at,
            placed_at=row.placed_at,
            placed_on=row.placed_on,
            skew_s=row.skew_s,
            time_doubtful=row.time_doubtful,
            taken_back=entry["id"] in gone,
            entry=entry,
        )
        for row, entry in zip(rows, entries, strict=True)
    ]


def _named(rows: list[LoggedContent]) -> list[str]:
    """The ids that take backs among the rows name."""
    entries: list[dict[str, Any]] = [msgspec.json.decode(row.entry) for row in rows]
    return [str(one["entry"]) for one in entries if one["kind"] == "take_back"]


def _written_place(last: LoggedContent) -> str:
    return f"{last.placed_at.isoformat(timespec='milliseconds')}/{last.seq}"


def _read_place(text: str | None) -> Place | None:
    if text is None:
        return None
    at, _, seq = text.partition("/")
    try:
        moment, number = datetime.fromisoformat(at), int(seq)
        named = moment.tzinfo is not None and 1900 <= moment.year < 9000
    except ValueError:
        moment, number, named = None, 0, False
    if moment is None or not named or not 0 <= number < 2**62:
        raise DomainError(f"{text[:80]!r} is no place in the log", where="before", right="`next` of an answer")
    return Place(moment, number)
