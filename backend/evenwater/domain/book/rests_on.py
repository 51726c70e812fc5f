"""Which entries the pages of water, warmth and book rest on: a note or a plain tick leaves them as they stand."""

from collections.abc import Iterable

from evenwater.domain.entries import Entry, NotDone, Note, Power, Set, Tick, WaterRunning
from evenwater.domain.fold import Seen
from evenwater.domain.warmth.heat_log import OFF, ON


def pages_rest_on(fresh: Iterable[Seen], settings: Iterable[Seen]) -> bool:
    """Whether a page may rest on any of these entries.

    Args:
        fresh: What came.
        settings: All settings that stand.
    """
    told = [one.entry for one in fresh]
    ticks = any(isinstance(entry, Tick) for entry in told)
    on_kit = _jobs_on_kit(settings) if ticks else set[tuple[str, str]]()
    return any(_tells(entry, on_kit) for entry in told)


def _jobs_on_kit(settings: Iterable[Seen]) -> set[tuple[str, str]]:
    """(pond, standing job) of those whose tick says that work was done on the kit."""
    return {
        (entry.pond, entry.target.partition("/")[2])
        for entry in (one.entry for one in settings)
        if isinstance(entry, Set) and entry.target.startswith("job/") and entry.field in ("service", "kit")
    }


def _tells(entry: Entry, on_kit: set[tuple[str, str]]) -> bool:
    if isinstance(entry, NotDone):
        return entry.slot in (OFF, ON)
    if isinstance(entry, Tick):
        with_amount = bool(entry.amount_g or entry.feed_g) or entry.setting_c is not None
        return with_amount or entry.slot in (OFF, ON) or (entry.pond, entry.standing_job) in on_kit
    return not isinstance(entry, Note | Power | WaterRunning)
