"""The Warmth page with the windows its cover jobs have: where the round and the heat balance meet."""

from datetime import date, datetime, timedelta

from msgspec.structs import replace

from evenwater.domain.entries import zone_named
from evenwater.domain.errors import DomainError
from evenwater.domain.fold import Known
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.when.civil_time import exists, window_on
from evenwater.domain.warmth.covers import Windows
from evenwater.domain.warmth.heat.sun import dawn_and_dusk
from evenwater.domain.warmth.heat_log import OFF, ON, cover_jobs
from evenwater.domain.warmth.page import Warm, not_worked_out, warmth_of
from evenwater.domain.warmth.pond_air import Samples


def warmth_now(known: Known, pond: Pond, samples: Samples, now: datetime) -> Warm:
    """A pond's warmth; one line that says why not where a setting is too odd to reckon with."""
    today = now.astimezone(zone_named(pond.zone)).date()
    try:
        warm = warmth_of(known, pond, samples, _windows(known, pond, today), today, now)
    except (DomainError, ArithmeticError, ValueError) as error:  # a NaN that is to be rounded is a ValueError
        warm = not_worked_out(pond, error)
    return replace(warm, samples=samples)


def _windows(known: Known, pond: Pond, today: date) -> Windows:
    """When covers go off and on, from yesterday to three days ahead."""
    found: dict[tuple[date, str], tuple[datetime, datetime]] = {}
    zone = zone_named(pond.zone)
    for days in range(-1, 4):
        on = today + timedelta(days=days)
        if not exists(on, zone):
            continue
        for job in cover_jobs(known.standing_jobs(pond.id, on)):
            sun = (
                dawn_and_dusk(on, pond.latitude, pond.longitude)
                if pond.latitude is not None and pond.longitude is not None
                else None
            )
            for slot in (OFF, ON):
                found[on, slot] = window_on(job.windows[slot], on, zone, sun)
    return found
