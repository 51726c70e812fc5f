"""The windows of one pond's jobs as moments, each worked out once: many jobs share one."""

from datetime import date, datetime

from evenwater.domain.entries import zone_named
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.when.civil_time import Sun, window_on
from evenwater.domain.standing_job import StandingJob, Window
from evenwater.domain.warmth.heat.sun import dawn_and_dusk


class ClockWindows:
    """Dawn, dusk and windows at a pond."""

    def __init__(self, pond: Pond) -> None:
        self.zone = zone_named(pond.zone)
        self._place = (pond.latitude, pond.longitude)
        self._suns: dict[date, Sun] = {}
        self._windows: dict[tuple[str, str, date], tuple[datetime, datetime]] = {}

    def sun(self, on: date) -> Sun:
        """Dawn and dusk at the pond, None where the place is not known."""
        if on not in self._suns:
            latitude, longitude = self._place
            known_place = latitude is not None and longitude is not None
            self._suns[on] = dawn_and_dusk(on, latitude, longitude) if known_place else None  # type: ignore[arg-type]
        return self._suns[on]

    def window(self, window: Window, on: date) -> tuple[datetime, datetime]:
        """When a window opens and closes on a date, in UTC."""
        key = (window.opens, window.closes, on)
        if key not in self._windows:
            self._windows[key] = window_on(window, on, self.zone, self.sun(on))
        return self._windows[key]

    def lapses_at(self, standing: StandingJob, on: date, opens_at: datetime) -> datetime | None:
        """When the next slot of the same standing job opens on that date, if there is one."""
        others = [self.window(window, on)[0] for window in standing.windows.values()]
        return min((at for at in others if at > opens_at), default=None)
