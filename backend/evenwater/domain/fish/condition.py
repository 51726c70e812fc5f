"""How heavy a fish is for its length. A number to compare with the fish's own past; never a judgement of its health."""

from evenwater.domain.errors import require_between
from evenwater.domain.fish.length_weight import TOTAL_CM, standard_weight_g

WEIGHT_G = (0.1, 60_000.0)


def fulton_k(weight_g: float, total_cm: float) -> float:
    """Condition 100 W/L³ [g/cm³ × 100], on the total length.

    Args:
        weight_g: Weight [g], 0.1 to 60,000.
        total_cm: Length with the tail fin [cm], 1 to 160.

    Raises:
        OutOfRange: Either is outside its range.

    Source: Froese (2006), J. Appl. Ichthyol. 22:241-253.

    >>> round(fulton_k(1746, 50), 3)
    1.397
    """
    require_between("weight_g", weight_g, *WEIGHT_G, "g")
    require_between("total_cm", total_cm, *TOTAL_CM, "cm")
    return 100.0 * weight_g / total_cm**3


def relative_weight(weight_g: float, total_cm: float) -> float:
    """Weight as a share of the standard weight of carp of that length [–]; koi are often 1.15 to 1.4.

    Args:
        weight_g: Weight [g], 0.1 to 60,000.
        total_cm: Length with the tail fin [cm], 1 to 160.

    Raises:
        OutOfRange: Either is outside its range.

    Source: Bister et al. (2000).

    >>> round(relative_weight(1746, 50), 2)
    1.0
    """
    require_between("weight_g", weight_g, *WEIGHT_G, "g")
    return weight_g / standard_weight_g(total_cm)


def condition_words(ratio_now: float, ratio_before: float | None) -> str:
    """Its weight for its length in a sentence, against its own last weighing where there is one.

    Args:
        ratio_now: Relative weight as last weighed [–].
        ratio_before: The same of the weighing before.
    """
    says = f"Last weighed at {ratio_now:.0%} of the standard weight of carp of its length"
    if ratio_before is None:
        return says + "."
    change = ratio_now / ratio_before - 1.0
    if abs(change) < 0.05:
        return says + ", as before."
    return f"{says}, {abs(change):.0%} {'more' if change > 0 else 'less'} than the time before."
