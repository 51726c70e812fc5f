"""What can be wrong with what the domain is told.

    DomainError
    ├── OutOfRange      a number outside the range a formula or a quantity holds for (NaN included)
    ├── NotOneOf        a word that is none of those we know
    ├── Contradiction   parts that cannot be true together (a date that is not the moment's own)
    └── Missing         something without which the answer would be a guess

Each carries its facts as attributes; sentences for people are made at the edge from `code`, `what` and `right`.
"""

from collections.abc import Collection


class DomainError(Exception):
    """Base of all. `what` says what is wrong, `right` what would be right, `where` names the field."""

    code = "not_right"

    def __init__(self, what: str, *, where: str, right: str) -> None:
        super().__init__(what)
        self.what = what
        self.where = where
        self.right = right


class OutOfRange(DomainError):
    """A number outside [low, high] in `unit`."""

    code = "out_of_range"

    def __init__(self, quantity: str, value: float, low: float, high: float, unit: str = "") -> None:
        suffix = f" {unit}" if unit else ""
        super().__init__(
            f"{quantity} is {value:.10g}{suffix}", where=quantity, right=f"{low:.10g} to {high:.10g}{suffix}"
        )
        self.quantity, self.value, self.low, self.high, self.unit = quantity, value, low, high, unit


class NotOneOf(DomainError):
    """A word outside the known ones."""

    code = "not_one_of"

    def __init__(self, quantity: str, value: object, known: Collection[str]) -> None:
        super().__init__(f"{quantity} is {value!r}", where=quantity, right="one of " + ", ".join(sorted(known)))


class Contradiction(DomainError):
    """Parts that cannot be true together."""

    code = "contradiction"


class Missing(DomainError):
    """Something is needed and not there."""

    code = "missing"


def require_between(quantity: str, value: float, low: float, high: float, unit: str = "") -> float:
    """The value itself when low <= value <= high.

    Raises:
        OutOfRange: otherwise; NaN and infinities included, since every comparison with NaN is false.
    """
    if not low <= value <= high:
        raise OutOfRange(quantity, value, low, high, unit)
    return value


def require_one_of(quantity: str, value: str, known: Collection[str]) -> str:
    """The word itself when it is known.

    Raises:
        NotOneOf: otherwise.
    """
    if value not in known:
        raise NotOneOf(quantity, value, known)
    return value
