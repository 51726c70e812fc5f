"""Reading a keeper's file, keeping it, taking it back: in a thread of its own, chunk by chunk, one file at a time.

Between two chunks the server answers everybody else. Each chunk is a transaction and safe to repeat, so an import that
was cut off goes on when the file is sent again.
"""

import asyncio
import hashlib
from collections.abc import AsyncIterator, Iterator, Sequence
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import msgspec

from evenwater.domain.entries import zone_named
from evenwater.domain.errors import Missing, NotOneOf
from evenwater.domain.past import as_entries
from evenwater.domain.past.as_entries import Drawn, Import
from evenwater.domain.past.file import PastFile
from evenwater.domain.past.meanings import Meaning, meanings
from evenwater.domain.past.tally import Tally
from evenwater.domain.past.understanding import Choices
from evenwater.domain.placing import Placed
from evenwater.domain.pond import Pond
from evenwater.storage import imports as kept_imports
from evenwater.storage.database import Database
from evenwater.storage.entry_log import Arrival
from evenwater.storage.imports import KeptImport
from evenwater.web.intake.past_records import (
    PastKept,
    PastPreview,
    RowShown,
    clash_shown,
    column_count,
    meanings_told,
    row_shown,
)

_SHOWN_FIRST = 20
_AT_ONCE = 500


class Sent(msgspec.Struct, frozen=True):
    """A file as it was sent, with what the keeper chose."""

    data: bytes
    name: str
    choices: Choices
    pond: Pond

    @property
    def zone(self) -> ZoneInfo:
        return zone_named(self.pond.zone)

    @property
    def known(self) -> dict[str, Meaning]:
        """Every meaning, with this pond's own units."""
        return meanings(self.pond.capful_g, self.pond.volume_l)


class PastDesk:
    """One for the whole server: who comes second waits, so that memory is bounded."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._turn = asyncio.Lock()

    async def preview(self, sent: Sent, now: datetime) -> PastPreview:
        """What keeping the file would do; nothing is kept.

        Raises:
            DomainError: the file cannot be read, or a choice is none.
        """
        async with self._turn:
            file, tally = await _opened(sent, now), Tally()
            first = await asyncio.to_thread(file.counted, tally, _SHOWN_FIRST)
            here = await self._here_already(sent, file)
        return _previewed(sent, file, tally, [row_shown(one, sent.known) for one in first[:_SHOWN_FIRST]], here)

    async def keep(self, sent: Sent, author: str, now: datetime) -> PastKept:
        """Keep what of the file is not here yet.

        Raises:
            DomainError: the file cannot be read, or a choice is none.
            Missing: there is nothing in it to keep.
        """
        async with self._turn:
            file, tally = await _opened(sent, now), Tally()
            # Counted first: an import says beforehand which of its entries travel.
            await asyncio.to_thread(file.counted, tally, 0)
            if tally.values == 0:
                raise Missing("nothing in this file can be kept", where="file", right="a date and a value in each row")
            of = Import(await self._import_id(sent), sent.pond.id, sent.pond.zone, author, _substance(sent.pond), now)
            row = KeptImport(of.id, of.pond, author, sent.name, now, 0, tally.bad_count, None, None, None)
            await kept_imports.begin_import(self._database, row, datetime.fromtimestamp(tally.newest_from_s, UTC))
            accepted = 0
            async for chunk in _chunks(file, Tally()):
                arrivals = [_arrival(entry, one, of, sent.zone) for entry, one in await self._new(sent, chunk)]
                accepted += await kept_imports.keep_chunk(self._database, arrivals, now) if arrivals else 0
            await kept_imports.finish_import(self._database, of.id)
        return PastKept(of.id if accepted else None, accepted, tally.values - accepted, tally.bad_count)

    async def take_back(self, one: KeptImport, zone: str, author: str, now: datetime) -> int:
        """Withdraw every entry of an import; returns how many. Those withdrawn before stay so."""
        of = Import(one.id, one.pond, zone, author, "sodium_bicarbonate", now)
        count, after_seq, there = 0, 0, zone_named(zone)
        async with self._turn:
            while chunk := await kept_imports.entries_of(self._database, one.id, after_seq, _AT_ONCE):
                arrivals = [_withdrawal(entry, Placed(at, on, False), of, there) for _, entry, at, on in chunk]
                count += await kept_imports.keep_chunk(self._database, arrivals, now)
                after_seq = chunk[-1][0]
            await kept_imports.finish_import(self._database, one.id)  # where it was cut off, nobody will go on with it
            await kept_imports.mark_taken_back(self._database, one.id, now)
        return count

    async def _here_already(self, sent: Sent, file: PastFile) -> int:
        """How many values of the file the log holds; none, without looking, where nothing was ever brought in."""
        if not await kept_imports.imports(self._database, sent.pond.id):
            return 0
        here = 0
        async for chunk in _chunks(file, Tally()):
            here += len(chunk) - len(await self._new(sent, chunk))
        return here

    async def _new(self, sent: Sent, chunk: list[Drawn]) -> list[tuple[str, Drawn]]:
        """Those not in the log, each with its id; what went with an import taken back gets the next id."""
        new: list[tuple[str, Drawn]] = []
        time, left = 0, chunk
        while left:
            ids = [as_entries.entry_id(sent.pond.id, one, time) for one in left]
            known = await kept_imports.known_ids(self._database, ids)
            named = list(zip(ids, left, strict=True))
            new += [(entry, one) for entry, one in named if entry not in known]
            left = [one for entry, one in named if known.get(entry)]
            time += 1
        return new

    async def _import_id(self, sent: Sent) -> str:
        """The id of this file read like this: that of its import before, unless that one was taken back."""
        sha256 = hashlib.sha256(sent.data).hexdigest()
        choices, time = msgspec.json.encode(sent.choices, order="sorted"), 0
        while True:
            found = as_entries.import_id(sent.pond.id, sha256, choices, time)
            before = await kept_imports.import_named(self._database, found)
            if before is None or before.taken_back_at is None:
                return found
            time += 1


async def _opened(sent: Sent, now: datetime) -> PastFile:
    return await asyncio.to_thread(PastFile, sent.data, sent.choices, sent.known, sent.zone, now)


async def _chunks(file: PastFile, tally: Tally) -> AsyncIterator[list[Drawn]]:
    chunks: Iterator[list[Drawn]] = file.chunks(tally)
    while chunk := await asyncio.to_thread(next, chunks, None):
        yield chunk


def _arrival(entry: str, one: Drawn, of: Import, zone: ZoneInfo) -> Arrival:
    made, placed = as_entries.entry_of(one, entry, of, zone)
    return Arrival(made, placed, as_entries.content_of(made))


def _withdrawal(entry: str, placed: Placed, of: Import, zone: ZoneInfo) -> Arrival:
    made = as_entries.take_back_of(entry, of, zone)
    return Arrival(made, placed, as_entries.content_of(made))


def _substance(pond: Pond) -> as_entries.Substance:
    return "potassium_bicarbonate" if pond.substance == "potassium_bicarbonate" else "sodium_bicarbonate"


def pond_among(ponds: Sequence[Pond], name: str | None) -> Pond:
    """The pond of that name, the first when none is named.

    Raises:
        Missing: no pond is set up.
        NotOneOf: it is none of them.
    """
    if not ponds:
        raise Missing("no pond is set up yet", where="pond", right="the pond first, then its past")
    if name is None:
        return ponds[0]
    found = next((one for one in ponds if one.id == name), None)
    if found is None:
        raise NotOneOf("pond", name, [one.id for one in ponds])
    return found


def _previewed(sent: Sent, file: PastFile, tally: Tally, first: list[RowShown], here: int) -> PastPreview:
    told, known = file.understanding, sent.known
    return PastPreview(
        pond=sent.pond.id,
        zone=sent.pond.zone,
        encoding=file.encoding,
        delimiter=file.delimiter,
        header_line=told.header_line,
        date_order=told.date_order,
        date_sure=told.date_sure,
        date_why=told.date_why,
        columns=told.columns,
        meanings=meanings_told(known),
        first=first,
        counts=[column_count(one, known) for _, one in sorted(tally.columns.items())],
        rows=tally.rows,
        values=tally.values,
        new=tally.values - here,
        already_here=here,
        repeated=tally.repeated,
        clashes=[clash_shown(one, known) for one in tally.clashes],
        clash_count=tally.clash_count,
        bad=tally.bad,
        bad_count=tally.bad_count,
    )
