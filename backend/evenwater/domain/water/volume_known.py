"""How well a pond's volume is known: as set, by measures unless salt told it; what salt says against it widens it."""

from typing import Final

from evenwater.domain.pond import Pond
from evenwater.domain.water.basin import BASIN_SD_FRACTION
from evenwater.domain.water.label_dose import VOLUME_L, KnownVolume
from evenwater.domain.water.recent import Recent
from evenwater.domain.water.salt_findings import volume_by_last_salt

_Z90: Final = 1.6449
_AGREES_SD: Final = 2.0


def volume_known(pond: Pond, recent: Recent) -> KnownVolume | None:
    """The volume as set, with its ends; None where none is set.

    Args:
        pond: The pond as set for the day.
        recent: Its readings of the last weeks.
    """
    if pond.volume_l is None:
        return None
    half_l = _Z90 * BASIN_SD_FRACTION * pond.volume_l
    by_salt = volume_by_last_salt(recent)
    if by_salt is None:
        says = f"As set; volumes by measures are good to {half_l / pond.volume_l:.0%}. Salt tells it better."
        return _between(pond.volume_l - half_l, pond.volume_l, pond.volume_l + half_l, says)
    salt_l, sd_l = by_salt
    if abs(salt_l - pond.volume_l) <= _AGREES_SD * sd_l:
        half_l = min(half_l, _Z90 * sd_l + abs(salt_l - pond.volume_l))
        says = f"As set, and salt agrees: good to {half_l / pond.volume_l:.0%}."
        return _between(pond.volume_l - half_l, pond.volume_l, pond.volume_l + half_l, says)
    low_l, high_l = min(pond.volume_l - half_l, salt_l - _Z90 * sd_l), max(pond.volume_l + half_l, salt_l + _Z90 * sd_l)
    return _between(low_l, pond.volume_l, high_l, f"As set; salt says {salt_l:.0f} L, so look again before you dose.")


def _between(low_l: float, volume_l: float, high_l: float, says: str) -> KnownVolume:
    low_l, high_l = max(VOLUME_L[0], low_l), min(VOLUME_L[1], high_l)
    return KnownVolume(low_l=round(low_l, 1), volume_l=volume_l, high_l=round(high_l, 1), says=says)
