"""A product by the words of its own label: so much for so many litres, times the litres there are. Nothing else.

It knows no product. Whether it is the right one, for these fish, in this water, is for the label, and for whoever is
responsible; what treats fish is for a fish vet.
"""

from typing import Final, Literal

from msgspec import Struct

from evenwater.domain.errors import Contradiction, require_between

LabelUnit = Literal["mL", "g", "capfuls"]
LABEL_AMOUNT: Final = (0.001, 10_000.0)
"""What a label may name, in its own unit."""
LABEL_PER_L: Final = (0.5, 1_000_000.0)
"""For how much water [L]."""
VOLUME_L: Final = (100.0, 1_000_000.0)
"""Water volumes that are reckoned for [L]."""
MOST_PER_L: Final = 10.0
"""More of anything in each litre is a slip of the point, in millilitres as in grams. Our own."""


class KnownVolume(Struct, frozen=True, kw_only=True):
    """How much water there is [L], and between what nine times in ten; `says` what that rests on."""

    low_l: float
    volume_l: float
    high_l: float
    says: str = ""


class LabelDose(Struct, frozen=True):
    """An amount in the label's own unit: for the volume as it is known, and for the least and most it may be."""

    low: float
    amount: float
    high: float


def label_dose(label_amount: float, label_per_l: float, volume: KnownVolume) -> LabelDose:
    """How much of a product its own label asks for.

    Args:
        label_amount: What the label says [in its unit], 0.001 to 10,000.
        label_per_l: For how much water it says that [L], 0.5 to 1,000,000.
        volume: The water there is, 100 to 1,000,000 L.

    Returns:
        The amount in the label's unit, for the volume and its ends.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.
        Contradiction: It would be more than ten in each litre.

    Source:
        The label's own words: proportion.

    >>> label_dose(5.0, 1000.0, KnownVolume(low_l=14_000.0, volume_l=16_000.0, high_l=18_000.0))
    LabelDose(low=70.0, amount=80.0, high=90.0)
    """
    require_between("label_amount", label_amount, *LABEL_AMOUNT)
    require_between("label_per_l", label_per_l, *LABEL_PER_L, "L")
    for name in ("volume_l", "low_l", "high_l"):
        require_between(name, getattr(volume, name), *VOLUME_L, "L")
    if label_amount > MOST_PER_L * label_per_l:
        raise Contradiction(
            f"{label_amount:g} for {label_per_l:g} L is more than {MOST_PER_L:g} in each litre",
            where="label_per_l",
            right="the litres the label names beside the amount, often 1000",
        )
    # In this order, as the device's copy does it.
    return LabelDose(
        volume.low_l * label_amount / label_per_l,
        volume.volume_l * label_amount / label_per_l,
        volume.high_l * label_amount / label_per_l,
    )
