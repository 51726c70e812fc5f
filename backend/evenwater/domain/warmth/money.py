"""Money in words, in the tariff's own currency."""

from evenwater.domain.kit import Tariff


def money(tariff: Tariff, amount: float, *, whole: bool = False) -> str:
    """An amount with its currency before it.

    >>> money(Tariff(currency="£"), 3.456), money(Tariff(), 123.4, whole=True), money(Tariff(), -0.5)
    ('£3.46', '€123', '-€0.50')
    """
    sign = "-" if round(amount, 0 if whole else 2) < 0 else ""
    number = f"{abs(amount):.0f}" if whole else f"{abs(amount):.2f}"
    return f"{sign}{tariff.currency}{number}"
