"""A pond's log for the rules of a day: warmth read, food, tests, fish."""

from datetime import date, datetime, timedelta

from written_log import NOW, Log

from evenwater.domain.fold import fold
from evenwater.domain.rounds.held.care import Care, care_of
from evenwater.domain.warmth.outlook import PondWarmth

TODAY = NOW.date()
HOUR, DAY = timedelta(hours=1), timedelta(days=1)


class CareLog(Log):
    """Entries of the pond "main", and what the rules see of them."""

    def read(self, quantity: str, value: float, hours_ago: float = 1, **more: object) -> None:
        """A reading so many hours before now."""
        self.write("reading", NOW - hours_ago * HOUR, quantity=quantity, value=value, **more)

    def care(self, now: datetime = NOW) -> Care:
        """The pond as it stands; the page's water is the last one read."""
        known = fold(self.entries)
        today: date = now.date()
        pond = next(one for one in known.ponds(today) if one.id == "main")
        warm = [one for one in known.of_pond("main") if getattr(one.entry, "quantity", "") == "temperature_c"]
        last = warm[-1] if warm else None
        page = PondWarmth(pond="main", tag="")
        if last is not None:
            page = PondWarmth(pond="main", tag="", water_c=last.entry.value, water_at=last.at)  # type: ignore[union-attr]
        return care_of(known, pond, known.of_pond("main"), page, now)


def a_pond(**settings: object) -> CareLog:
    """A pond with settings."""
    log = CareLog()
    log.pond(volume_l=20_000, **settings)
    return log
