"""Which entries a helper is given: what was done, seen and going on where they help, and their own.

`storage/helper_log.py` asks the same of the database.
"""

from datetime import timedelta

from evenwater.domain.away.scope import Scope
from evenwater.domain.entries import Dose, Feed, Look, NotDone, Power, Tick, WaterRunning
from evenwater.domain.fold import Known, Seen

GOING_ON_BEFORE = timedelta(days=1)
"""Water that runs and power that is out may have begun the day before."""


def is_shown(one: Seen, scope: Scope) -> bool:
    """Whether a standing entry is for that helper's eyes."""
    entry, begins_on = one.entry, scope.hand_over.begins_on
    if begins_on is None:
        return False
    if entry.author == scope.helper.id and one.on >= begins_on:
        return True
    if isinstance(entry, WaterRunning | Power):
        here = isinstance(entry, Power) or entry.pond in scope.hand_over.ponds
        return here and one.on >= begins_on - GOING_ON_BEFORE
    if one.on < begins_on or entry.pond not in scope.hand_over.ponds:
        return False
    if isinstance(entry, Look | Dose | Feed):
        return True
    if not isinstance(entry, Tick | NotDone):
        return False
    gives = isinstance(entry, Tick) and (entry.amount_g is not None or entry.feed_g is not None)
    return gives or f"{entry.pond}/{entry.standing_job}" in scope.hand_over.jobs


def shown_facts(known: Known, scope: Scope) -> tuple[Seen, ...]:
    """The standing facts a helper is shown, oldest first."""
    return tuple(one for one in known.facts if is_shown(one, scope))
