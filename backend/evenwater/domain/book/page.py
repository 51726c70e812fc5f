"""The computed part of one pond's book, put together."""

import hashlib
from collections.abc import Sequence
from datetime import datetime

import msgspec
from msgspec.structs import replace

from evenwater.domain.book.kit_state import kit_states
from evenwater.domain.book.outlook import Effect, PondBook
from evenwater.domain.book.scores import scores_of
from evenwater.domain.book.shown_records import Shown
from evenwater.domain.book.year import Done, year_of
from evenwater.domain.entries import zone_named
from evenwater.domain.fold import Known
from evenwater.domain.pond import Pond
from evenwater.domain.warmth.page import Warm


def book_of(
    known: Known,
    pond: Pond,
    shown: Shown,
    warm: Warm,
    long_ago: Done,
    effects: Sequence[Effect],
    now: datetime,
) -> PondBook:
    """Everything the book works out of a pond.

    Args:
        known: All that stands in the log, work on the kit and its counters however old.
        pond: The pond as set for today.
        shown: What was foretold of it, as it was shown.
        warm: Its Warmth page, for what its probes sent.
        long_ago: Dates on which its work of the year was done, of ticks older than those in `known`.
        effects: Its changes, judged.
        now: The moment, aware.
    """
    today = now.astimezone(zone_named(pond.zone)).date()
    facts = [one for one in known.of_pond(pond.id) if one.at <= now]
    book = PondBook(
        pond=pond.id,
        tag="",
        effects=tuple(effects),
        kit=kit_states(known, pond, today),
        scores=scores_of(pond, facts, known.standing_jobs(pond.id, today), warm.samples, shown, now),
        year=year_of(known, pond, long_ago, today),
    )
    return replace(book, tag=hashlib.sha256(msgspec.json.encode(book)).hexdigest()[:12])
