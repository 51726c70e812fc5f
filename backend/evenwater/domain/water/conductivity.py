"""Conductivity: what a meter shows, brought to 25 °C.

"TDS" of a meter is conductivity times a factor set in it: the true factor is 0.49 to 0.91 with what is dissolved
(PHREEQC on soft tap water to pure bicarbonate water), so a meter set to 0.5 shows about half the truth in softened
water that is dosed. We keep conductivity.
"""

from typing import Final

from evenwater.domain.errors import require_between

EC_US_PER_CM: Final = (0.0, 60_000.0)
"""Conductivity as shown, not compensated [µS/cm]."""

TEMPERATURE_C: Final = (0.0, 40.0)
"""Temperature of the sample [°C]."""

SHARE_PER_KELVIN: Final = 0.0191
"""Rise of conductivity per kelvin, as a share of that at 25 °C [1/K]. Source: ISO 7888 by its potassium chloride
standard, 1278 µS/cm at 20 °C and 1413 at 25 °C (from memory); a water-level logger's manual prints 1.91 %/°C."""

_REFERENCE_C: Final = 25.0


def ec25_us_per_cm(ec_us_per_cm: float, temperature_c: float) -> float:
    """Conductivity the same water would show at 25 °C.

    For meters that do not compensate by themselves; most do, and then nothing is to be converted.

    Args:
        ec_us_per_cm: Conductivity as shown, not compensated [µS/cm], 0 to 60,000.
        temperature_c: Temperature of the sample [°C], 0 to 40.

    Returns:
        Conductivity at 25 °C [µS/cm].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Linear compensation, ISO 7888 / APHA 2510 (from memory): EC / (1 + 0.0191 (T - 25)). Within 1 % of TEOS-10
        for thin sea water from 5 to 30 °C.

    >>> round(ec25_us_per_cm(1278.0, 20.0))
    1413
    """
    require_between("ec_us_per_cm", ec_us_per_cm, *EC_US_PER_CM, "µS/cm")
    require_between("temperature_c", temperature_c, *TEMPERATURE_C, "°C")
    return ec_us_per_cm / (1.0 + SHARE_PER_KELVIN * (temperature_c - _REFERENCE_C))
