"""The pond as it was set on any date of a span: settings change seldom, so it is folded once between two changes."""

from bisect import bisect_right
from datetime import date
from typing import Final

from evenwater.domain.entries import Set
from evenwater.domain.fold import Known
from evenwater.domain.pond import Pond

_USED: Final = frozenset({"inflow_l_per_day", "tariff", "heater", "appliances", "food", "zone"})


class Held:
    """One pond over time."""

    def __init__(self, known: Known, pond: Pond) -> None:
        self._known, self._pond = known, pond
        self._turns = sorted(
            {
                one.entry.effective_from
                for one in known.settings
                if isinstance(one.entry, Set) and (one.entry.pond, one.entry.target) == (pond.id, "pond")
                if one.entry.field in _USED and one.entry.effective_from is not None
            }
        )
        self._held: dict[int, Pond] = {}

    def on(self, on: date) -> Pond:
        """The pond as set for a date."""
        place = bisect_right(self._turns, on)
        if place not in self._held:
            ponds = self._known.ponds(on)
            self._held[place] = next((one for one in ponds if one.id == self._pond.id), self._pond)
        return self._held[place]
