"""Activated carbon before the pond: how long water stays in it, how much has gone through, what it leaves.

It is judged on total chlorine: chloramine passes long before free chlorine does. How long a bed lasts is not reckoned
from a capacity: five carbons differed tenfold (Artif. Organs 7 (1983) 484-487, abstract). It is read at the outlet.
"""

from typing import Final

from evenwater.domain.errors import require_between
from evenwater.domain.units import MOLAR_MASS_CL, MOLAR_MASS_N

BED_L: Final = (0.01, 2000.0)
"""Carbon, all cartridges together [L]."""

FLOW_L_PER_MIN: Final = (0.001, 2000.0)
"""Water through it [L/min]."""

HOURS: Final = (0.0, 100_000.0)
"""Time it runs [h], to eleven years."""

CHLORINE_UG_PER_L: Final = (0.0, 10_000.0)
"""Total or free chlorine [µg/L as Cl₂]."""

CONTACT_WANTED_MIN: Final = 10.0
"""Contact that chloramine takes [min]. ANSI/AAMI RD62 and ISO 23500-2 (from memory); a renal-care page prints 6."""


def contact_min(bed_l: float, flow_l_per_min: float) -> float:
    """Minutes that water has in the bed, as if it were empty (EBCT).

    Args:
        bed_l: Volume of the bed [L], 0.01 to 2000.
        flow_l_per_min: Flow through it [L/min], 0.001 to 2000.

    Returns:
        Contact time [min].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Definition of empty-bed contact time: volume over flow.

    >>> contact_min(30.0, 2.0)
    15.0
    """
    require_between("bed_l", bed_l, *BED_L, "L")
    return bed_l / require_between("flow_l_per_min", flow_l_per_min, *FLOW_L_PER_MIN, "L/min")


def bed_volumes(bed_l: float, flow_l_per_min: float, hours: float) -> float:
    """How many times its own volume a bed has treated.

    Args:
        bed_l: Volume of the bed [L], 0.01 to 2000.
        flow_l_per_min: Flow through it [L/min], 0.001 to 2000.
        hours: How long it has run [h], 0 to 100,000.

    Returns:
        Bed volumes [–].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Definition.

    >>> bed_volumes(30.0, 2.0, 24.0)
    96.0
    """
    require_between("hours", hours, *HOURS, "h")
    return hours * 60.0 / contact_min(bed_l, flow_l_per_min)


def flow_through_carbon_l_per_day(trickle_l_per_day: float, bypass_fraction: float, recovery_fraction: float) -> float:
    """Water through a carbon bed that stands before the membrane.

    Args:
        trickle_l_per_day: What reaches the pond [L/day], 0 to 1,000,000.
        bypass_fraction: Share of it that goes round the membrane [–], 0 to 1.
        recovery_fraction: Share of the membrane's feed that becomes permeate [–], 0.05 to 1; 1 without a membrane.

    Returns:
        Flow [L/day]: more than the trickle, since the membrane's reject has been through the carbon too.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Mass balance.

    >>> flow_through_carbon_l_per_day(400.0, 0.25, 0.5)
    700.0
    """
    require_between("trickle_l_per_day", trickle_l_per_day, 0.0, 1_000_000.0, "L/day")
    require_between("bypass_fraction", bypass_fraction, 0.0, 1.0)
    require_between("recovery_fraction", recovery_fraction, 0.05, 1.0)
    return trickle_l_per_day * (bypass_fraction + (1.0 - bypass_fraction) / recovery_fraction)


def ammonia_freed_mg_n_per_l(chloramine_ug_per_l: float) -> float:
    """Ammonia left when carbon has taken the chlorine out of monochloramine.

    Args:
        chloramine_ug_per_l: Chloramine taken out [µg/L as Cl₂], 0 to 10,000.

    Returns:
        Total ammonia nitrogen [mg/L as N].

    Raises:
        OutOfRange: The argument is outside its range, or is NaN.

    Source:
        Stoichiometry: one nitrogen for each Cl₂ that NH₂Cl is stated as, 0.1976 mg N per mg Cl₂.

    >>> round(ammonia_freed_mg_n_per_l(1000.0), 4)
    0.1976
    """
    require_between("chloramine_ug_per_l", chloramine_ug_per_l, *CHLORINE_UG_PER_L, "µg/L")
    return chloramine_ug_per_l / 1000.0 * MOLAR_MASS_N / (2.0 * MOLAR_MASS_CL)
