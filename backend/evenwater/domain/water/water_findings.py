"""What the pond's own readings add up to: carbon dioxide, pH by day, scale, oxygen, nitrite and chloride, salt.

Nothing here is an order; what has to be done stands with the answers. Each says of which day it is, never how old.
"""

from collections.abc import Sequence
from datetime import datetime

from evenwater.domain.errors import DomainError
from evenwater.domain.fold import Seen
from evenwater.domain.pond import Pond
from evenwater.domain.water.carbonate_findings import calcite_finding, co2_finding
from evenwater.domain.water.day_changes import swing_finding
from evenwater.domain.water.outlook import Finding
from evenwater.domain.water.paired_answers import oxygen_finding
from evenwater.domain.water.recent import recent_of
from evenwater.domain.water.salt_findings import nitrite_finding, salt_finding, volume_finding


def water_findings(pond: Pond, facts: Sequence[Seen], now: datetime) -> list[Finding]:
    """What can be worked out from the readings there are.

    Args:
        pond: The pond as set.
        facts: The pond's standing facts, oldest first.
        now: The moment; later facts are left out, and nothing else hangs on it.

    Returns:
        One finding for each thing that can be said; what lacks a reading, or lies where no formula holds, is left out.
    """
    recent = recent_of(facts, now)
    found: list[Finding] = []
    for finding in (
        co2_finding,
        swing_finding,
        calcite_finding,
        oxygen_finding,
        nitrite_finding,
        salt_finding,
        volume_finding,
    ):
        try:
            one = finding(pond, recent)
        except DomainError:
            continue
        if one is not None:
            found.append(one)
    return found
