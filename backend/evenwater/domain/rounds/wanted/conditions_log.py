"""Conditions on what the log says was done, and on how the cover lies."""

from datetime import date, timedelta
from typing import Final

from evenwater.domain.entries import Service, Tick
from evenwater.domain.fold import Seen
from evenwater.domain.rounds.wanted.told import REMEMBERED_DAYS, Answered, Told, day_words
from evenwater.domain.standing_job import CoverStands, Happened
from evenwater.domain.warmth.heat_log import cover_moves

_KIND_WORDS: Final = {
    "water_change": "a water change",
    "start_up": "a start of the membrane",
    "fish_move": "a move of fish",
    "fish_measure": "a fish measured",
    "fish_seen": "something seen on the fish",
    "feed": "food noted by itself",
    "salt": "salt put in",
    "dose": "buffer no job asked for",
    "cover": "a move of the cover",
    "air_forecast": "a forecast typed in",
    "power": "the power going or coming",
    "water_running": "water run in",
    "meter": "a reading of a counter",
}

_LASTING: Final = frozenset({"job", "service", "change", "meter", "fish_move", "fish_measure", "fish_seen"})
"""Known however long ago it was."""


def happened(condition: Happened, told: Told, on: date) -> Answered:
    """Whether something is in the log within so many days, or is not."""
    what, _, name = condition.subject.partition("/")
    words = _words(told, what, name)
    days = condition.within_days
    since = told.today - timedelta(days=days)
    last = _last(told, what, name, since)
    span = "since yesterday" if days == 1 else f"in {days} days"
    if last is not None:
        return Answered(not condition.negated, f"{words} {day_words(last, told.today)}{told.ahead(on)}")
    begins = told.facts[0].on if told.facts else told.today
    # A job is ticked here or nowhere; what else happened may have, before there was a log.
    if begins > since and what != "job":
        return Answered(None, f"no {_bare(words)} yet, but the log begins {day_words(begins, told.today)} only")
    if days > REMEMBERED_DAYS and what not in _LASTING:
        return Answered(None, f"no {_bare(words)} in {REMEMBERED_DAYS} days, and no further back is looked")
    return Answered(condition.negated, f"no {_bare(words)} {span}{told.ahead(on)}")


def cover_stands(condition: CoverStands, told: Told, on: date) -> Answered:
    """Whether the cover lies on the pond, as it was last left."""
    moves = cover_moves(told.pond, list(told.standing.values()), told.facts, told.now)
    share = moves[-1][1] if moves else None
    if share is None:
        return Answered(None, "nobody has said lately how the cover lies")
    lies = "on" if share > 0 else "off"
    return Answered((share > 0) == condition.on, f"the cover is {lies}{told.ahead(on)}")


def _last(told: Told, what: str, name: str, since: date) -> date | None:
    """The last date it is in the log, from `since` to today."""
    for one in reversed(told.facts):
        if one.on < since - timedelta(days=1):  # by places in time the dates of a zone left may stand a day off
            return None
        if since <= one.on <= told.today and _is(one, told, what, name):
            return one.on
    return None


def _is(one: Seen, told: Told, what: str, name: str) -> bool:
    entry = one.entry
    if what == "job":
        return isinstance(entry, Tick) and entry.standing_job == name
    if what == "service":
        if isinstance(entry, Tick):
            standing = told.standing.get(entry.standing_job)
            return standing is not None and standing.service == name
        return isinstance(entry, Service) and entry.service == name
    return entry.__struct_config__.tag == what


def _words(told: Told, what: str, name: str) -> str:
    if what == "job":
        standing = told.standing.get(name)
        return f"“{standing.text if standing else name}” done"
    if what == "service":
        return name.replace("_", " ")
    return _KIND_WORDS.get(what, f"an entry: {what.replace('_', ' ')}")


def _bare(words: str) -> str:
    return words.removeprefix("a ").removeprefix("an ").removeprefix("the ")
