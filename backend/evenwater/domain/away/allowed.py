"""Which entries a helper may add: of their jobs and ponds, on their days, and never above a ceiling.

Each refusal says what was wrong and what would be right; a refused entry stays on the helper's device, shown and not
lost, and whatever it is about they can always say in a note.

A lowered ceiling holds for what comes; a bag weighed by the one before is taken all the same. It is in the water by
then, and refused it would count for nobody.
"""

from collections.abc import Iterable
from datetime import date

from msgspec import Struct

from evenwater.domain.away.scope import Scope
from evenwater.domain.entries import (
    Entry,
    Look,
    NotDone,
    Note,
    Power,
    Reading,
    TakeBack,
    Tick,
    WaterRunning,
)
from evenwater.domain.errors import DomainError

_ANYWHERE = Look | Note | WaterRunning | Power
_SLACK_G = 1e-6
MOST_IN_A_DAY = 500


class NotForHelpers(DomainError):
    """Something only keepers do, or of a job or pond this hand-over does not name."""

    code = "not_for_helpers"


class TooMuch(DomainError):
    """More than the ceiling."""

    code = "above_ceiling"


class TooMany(DomainError):
    """More entries in a day than anybody can write down: a fault, or a link in wrong hands."""

    code = "too_many"

    def __init__(self) -> None:
        super().__init__(
            f"{MOST_IN_A_DAY} entries of a helper in 24 hours are taken, no more", where="id", right="ring the keeper"
        )


class NotTheirDay(DomainError):
    """Dated before the first day or after the last."""

    def __init__(self, code: str, what: str, right: str) -> None:
        super().__init__(what, where="happened_at", right=right)
        self.code = code


class Own(Struct, frozen=True):
    """What the log, or this call, has of an entry a helper may want to take back."""

    author: str
    on: date
    kind: str


class Given:
    """What a helper has given: by pond, date and sort, entry by entry, so that one sent again counts once."""

    def __init__(self) -> None:
        self._grams: dict[str, tuple[str, date, str, float]] = {}

    def add(self, entry: Tick, on: date) -> None:
        """Count a tick, if it carries an amount."""
        for sort, grams in (("buffer", entry.amount_g), ("feed", entry.feed_g)):
            if grams:
                self._grams[f"{entry.id}/{sort}"] = entry.pond, on, sort, grams

    def drop(self, entry_id: str) -> None:
        """It was taken back."""
        for sort in ("buffer", "feed"):
            self._grams.pop(f"{entry_id}/{sort}", None)

    def sum_g(self, pond: str, on: date, sort: str) -> float:
        """Grams of a sort, of one date."""
        return sum(grams for *where, grams in self._grams.values() if where == [pond, on, sort])


def given_by(entries: Iterable[tuple[Entry, date]], author: str) -> Given:
    """What these standing entries say a helper has given."""
    given = Given()
    for entry, on in entries:
        if isinstance(entry, Tick) and entry.author == author:
            given.add(entry, on)
    return given


def check_allowed(entry: Entry, on: date, scope: Scope, given: Given, known: dict[str, Own]) -> None:
    """Let pass what a helper may add.

    Args:
        entry: As it was sent, by the helper.
        on: The civil date it is placed on, by the server's clock.
        scope: The helper's hand-over.
        given: What they have given so far.
        known: Entries the log has, by id, as far as this call takes any back.

    Raises:
        DomainError: NotForHelpers, NotTheirDay or TooMuch.
    """
    _check_day(on, scope)
    if isinstance(entry, TakeBack):
        _check_take_back(entry, on, known)
        return
    always = isinstance(entry, Look | Note) and entry.pond == scope.hand_over.pond
    if entry.pond not in scope.hand_over.ponds and not always:
        raise NotForHelpers(
            f"pond {entry.pond!r} is not part of this hand-over", where="pond", right=_one_of(scope.hand_over.ponds)
        )
    if isinstance(entry, _ANYWHERE):
        return
    if isinstance(entry, Reading):
        _check_reading(entry, scope)
    elif isinstance(entry, Tick | NotDone):
        _check_job(entry, on, scope)
        if isinstance(entry, Tick):
            _check_tick(entry, on, scope, given)
    else:
        raise NotForHelpers(
            f"a helper records no {str(entry.__struct_config__.tag).replace('_', ' ')}",
            where="kind",
            right="a tick, not_done, look, note, water_running, power, or a reading a job asks for",
        )


def _check_day(on: date, scope: Scope) -> None:
    begins_on = scope.hand_over.begins_on
    if scope.holds(on):
        return
    if begins_on is not None and on < begins_on:
        raise NotTheirDay(
            "rehearsal",
            f"{on.isoformat()} is before the first day",
            f"a trial round stays on the phone; the first day is {begins_on.isoformat()}",
        )
    raise NotTheirDay("over", f"{on.isoformat()} is not one of the days of this hand-over", "ring the keeper")


def _check_take_back(entry: TakeBack, on: date, known: dict[str, Own]) -> None:
    target = known.get(entry.entry)
    if target is None or target.author != entry.author:
        raise NotForHelpers("a helper takes back only what they recorded", where="entry", right="an entry of your own")
    if target.kind == "take_back":  # else what was made up for by another bag would stand again
        raise NotForHelpers("that takes something back itself", where="entry", right="record it again")
    if target.on != on:
        raise NotForHelpers(
            f"that was recorded on {target.on.isoformat()}", where="entry", right="on the same day; later, write a note"
        )


def _check_reading(entry: Reading, scope: Scope) -> None:
    asked = {(ask.quantity, ask.point) for job in scope.jobs.values() if job.pond == entry.pond for ask in job.asks}
    if (entry.quantity, entry.point) not in asked:
        raise NotForHelpers(
            f"none of your jobs asks for {entry.quantity}",
            where="quantity",
            right=_one_of({quantity for quantity, _ in asked}) if asked else "write it in a note",
        )


def _check_job(entry: Tick | NotDone, on: date, scope: Scope) -> None:
    if f"{entry.pond}/{entry.standing_job}" not in scope.jobs:
        raise NotForHelpers(
            f"{entry.standing_job!r} is not one of your jobs",
            where="standing_job",
            right=_one_of({job.id for job in scope.jobs.values() if job.pond == entry.pond}),
        )
    # A day of grace: near midnight a phone and the pond may not agree on the date.
    if (entry.due_on - on).days > 1:
        raise NotForHelpers("a job of a day to come", where="due_on", right=f"{on.isoformat()} or before")


def _check_tick(entry: Tick, on: date, scope: Scope, given: Given) -> None:
    job = scope.jobs[f"{entry.pond}/{entry.standing_job}"]
    if entry.override_reason is not None:
        raise NotForHelpers("what is held back stays held back", where="override_reason", right="ring the keeper")
    if entry.setting_c is not None and job.shape != "setting":
        raise NotForHelpers("this job sets nothing", where="setting_c", right="none")
    bags = scope.bags_of(entry.pond)
    substances = {one.substance for one in bags}
    if entry.amount_g is not None and entry.substance not in (None, *substances):
        raise NotForHelpers(f"{entry.substance} is not in the bags", where="substance", right=_one_of(substances))
    asked = (
        ("amount_g", "buffer", "dose", entry.amount_g, [one.buffer_g_per_day for one in bags]),
        ("feed_g", "feed", "feed", entry.feed_g, [one.feed_g_per_day for one in bags]),
    )
    for where, sort, shape, grams, bags_g in asked:
        if grams is None:
            continue
        if job.shape != shape:
            raise NotForHelpers(f"this job gives no {sort}", where=where, right="none")
        most_g = max(one or 0.0 for one in bags_g)
        left_g = max(0.0, most_g - given.sum_g(entry.pond, on, sort))
        if grams > left_g + _SLACK_G:
            raise TooMuch(
                f"{grams:g} g of {sort} is more than is left of the day's {most_g:g} g",
                where=where,
                right=f"{left_g:g} g or less; if more was given, write a note and ring",
            )


def _one_of(names: Iterable[str]) -> str:
    return "one of " + ", ".join(sorted(names))
