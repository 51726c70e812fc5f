"""The membrane: what it holds back, what goes to drain."""

from typing import Final

from evenwater.domain.errors import Contradiction, require_between

REJECTION_FRACTION: Final = (0.0, 1.0)
"""Share of dissolved matter held back [–]."""

RECOVERY_FRACTION: Final = (0.05, 0.9)
"""Share of the feed that becomes permeate [–]."""

MATTER: Final = (0.0, 100_000.0)
"""A level before or after it, in any unit that is linear."""


def rejection_fraction(feed_ec25_us_per_cm: float, permeate_ec25_us_per_cm: float) -> float:
    """Share of dissolved matter the membrane holds back, by conductivity.

    Both conductivities at 25 °C: feed and permeate differ in warmth when one has stood in a tube.

    Args:
        feed_ec25_us_per_cm: Before it [µS/cm], above 0 to 100,000.
        permeate_ec25_us_per_cm: After it [µS/cm], 0 to the feed's.

    Returns:
        Rejection [–], 0 to 1.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.
        Contradiction: The feed has nothing in it, or less than the permeate.

    Source:
        Definition: 1 - Cp/Cf.

    >>> rejection_fraction(500.0, 25.0)
    0.95
    """
    require_between("feed_ec25_us_per_cm", feed_ec25_us_per_cm, *MATTER, "µS/cm")
    require_between("permeate_ec25_us_per_cm", permeate_ec25_us_per_cm, *MATTER, "µS/cm")
    if feed_ec25_us_per_cm <= 0.0 or permeate_ec25_us_per_cm > feed_ec25_us_per_cm:
        raise Contradiction(
            f"{feed_ec25_us_per_cm:g} µS/cm before the membrane and {permeate_ec25_us_per_cm:g} after it",
            where="permeate_ec25_us_per_cm",
            right="less after the membrane than before it",
        )
    return 1.0 - permeate_ec25_us_per_cm / feed_ec25_us_per_cm


def permeate_level(feed: float, rejection: float) -> float:
    """Level of a dissolved matter after the membrane.

    Args:
        feed: Level before it, in any unit that is linear, 0 to 100,000.
        rejection: Share held back [–], 0 to 1.

    Returns:
        Level after it, same unit.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Definition of rejection: Cp = (1 - R) Cf.

    >>> round(permeate_level(450.0, 0.95), 2)
    22.5
    """
    require_between("rejection", rejection, *REJECTION_FRACTION)
    return (1.0 - rejection) * require_between("feed", feed, *MATTER)


def concentrate_level(feed: float, rejection: float, recovery: float) -> float:
    """Level of a dissolved matter in what goes to drain.

    Args:
        feed: Level before the membrane, in any unit that is linear, 0 to 100,000.
        rejection: Share held back [–], 0 to 1.
        recovery: Share of the feed that becomes permeate [–], 0.05 to 0.9.

    Returns:
        Level in the concentrate, same unit.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Mass balance: Cconc = Cf (1 - Y (1 - R)) / (1 - Y).

    >>> round(concentrate_level(450.0, 0.95, 0.33), 1)
    660.6
    """
    require_between("recovery", recovery, *RECOVERY_FRACTION)
    return (feed - recovery * permeate_level(feed, rejection)) / (1.0 - recovery)
