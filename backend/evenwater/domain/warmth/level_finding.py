"""The fall of the pond's level against what evaporates, as the Warmth page says it and as conditions ask for it."""

from collections.abc import Sequence
from datetime import datetime

from evenwater.domain.fold import Seen
from evenwater.domain.pond import Pond
from evenwater.domain.standing_job import StandingJob
from evenwater.domain.warmth.heat.evaporation import Evaporation, evaporation_of
from evenwater.domain.warmth.heat.shell_loss import shell_loss
from evenwater.domain.warmth.outlook import WarmthFinding
from evenwater.domain.warmth.pond_air import Samples
from evenwater.domain.water.level_fall import Found, LevelFall, level_fall
from evenwater.domain.water.outlook import Answer

_ANSWERS: dict[Found, Answer] = {"leak": "act_now", "evaporation": "in_range", "too_near": "not_known"}
_BIG: dict[Found, str] = {"leak": "Look for a leak", "evaporation": "Evaporation", "too_near": "Too near to tell"}
_FIRST = (
    "Damp walls or soil, valves and unions, the drum's overflow, the liner at its fold.",
    "Pump off for an hour, air on: does it still fall? Then it is the pond; if not, the pipes.",
    "Top up slowly, dechlorinated, with the clock of running water on.",
)
_CAUTIONS = ("Damp near sockets or cables: touch nothing, off at the board, and a licensed electrician.",)


def level_fall_of(
    pond: Pond, jobs: Sequence[StandingJob], facts: Sequence[Seen], samples: Samples, now: datetime
) -> LevelFall | None:
    """The fall of a pond's level, None where it was not read often enough.

    Args:
        pond: The pond as set.
        jobs: Its standing jobs: those that put the cover off and on.
        facts: Its standing facts, oldest first.
        samples: What probes and the weather service sent.
        now: The moment; later facts are left out.
    """
    surface_m2 = shell_loss(pond.shell, pond.volume_l).surface_m2 if pond.shell and pond.volume_l else None

    def evaporation(since: datetime, until: datetime) -> Evaporation:
        return evaporation_of(pond, surface_m2, jobs, facts, samples, since, until)

    return level_fall(facts, now, evaporation, surface_m2, pond.inflow_l_per_day > 0)


def level_finding(fall: LevelFall | None) -> WarmthFinding | None:
    """What the page says of it."""
    if fall is None:
        return None
    leak = fall.found == "leak"
    return WarmthFinding(
        id="level",
        section="care",
        title="Level and evaporation",
        big=_BIG[fall.found],
        says=fall.says,
        answer=_ANSWERS[fall.found],
        first=_FIRST if leak else (),
        cautions=_CAUTIONS if leak else (),
        workings=fall.workings,
    )
