"""How much fish there is, roughly: by how many, and how long they are about."""

from math import exp

from evenwater.domain.errors import require_between
from evenwater.domain.fish.length_weight import HEAVIER, standard_weight_g

_MOST = 100_000.0


def rough_mass_g(count: float, total_cm: float) -> float:
    """What so many fish of about that length weigh together [g].

    Good to a third or so: koi are 15 to 40 % heavier than carp of their length, and fish of one pond differ.

    Args:
        count: How many, 0 to 100,000.
        total_cm: Their usual length with the tail fin [cm], 1 to 160.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        `standard_weight_g`, as much heavier as `HEAVIER` supposes of a fish nobody weighed.

    >>> round(rough_mass_g(9, 50.0), -2)
    17400.0
    """
    require_between("count", count, 0.0, _MOST)
    return count * standard_weight_g(total_cm) * exp(HEAVIER)
