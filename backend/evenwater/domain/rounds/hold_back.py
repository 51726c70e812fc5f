"""When buffer must not be given, or only in small steps, and what comes first instead.

Raising KH raises pH, and a higher pH sets ammonia free. A pond whose KH has run out has often built up ammonia; there a
big correction kills. So these rules ask for an ammonia test first and then go slowly.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta
from math import log10

from msgspec import Struct

from evenwater.domain.entries import Reading
from evenwater.domain.fold import Seen, readings_of
from evenwater.domain.units import NH3_PER_NH3_N
from evenwater.domain.water.ammonia import unionised_fraction

LOW_KH_DKH = 2.5
"""Below it an ammonia test comes first [°dKH]. 40 mg/L as CaCO3, the nitrifiers' floor, is 2.24 (EPA 1975, quoted)."""
LOW_PH = 6.8
"""Below it an ammonia test comes first. Common practice, no source."""
NH3_LIMIT_MG_PER_L = 0.025
"""Un-ionised ammonia, as NH3 [mg/L]. EIFAC Technical Paper 11 (1970) and Directive 2006/44/EC, from memory."""
SMALL_STEP_DKH = 0.5
"""Most in a day on a pond whose KH has run out [°dKH]. Common practice, no source."""

_TRUSTED = timedelta(days=7)
LOW_REASON = (
    "KH is very low. First test ammonia (TAN) today; if it is near nothing, change some water for dechlorinated water"
    " of the same temperature, then raise KH in small steps."
)


class Held(Struct, frozen=True):
    """What the rules say: a reason to give nothing at all, and the most a day may raise KH [°dKH]."""

    reason: str | None
    limit_dkh: float
    low_needs_test: bool


def hold_back(facts: Sequence[Seen], kh_dkh: float | None, limit_dkh: float, now: datetime) -> Held:
    """Apply the rules to what is known at `now`.

    Args:
        facts: One pond's standing facts, oldest first.
        kh_dkh: KH as believed now [°dKH], or None.
        limit_dkh: The keeper's own limit on the rise in a day [°dKH].
        now: The moment.
    """
    tested_today = _latest(facts, "tan_mg_n_per_l", now, timedelta(hours=24)) is not None
    ph = _latest(facts, "ph", now, _TRUSTED)
    low = (kh_dkh is not None and kh_dkh < LOW_KH_DKH) or (ph is not None and ph < LOW_PH)
    if ph is not None and ph < LOW_PH and not tested_today:
        return Held(f"pH is {ph:g}. Test ammonia (TAN) today before any buffer.", limit_dkh, True)
    if low and tested_today:
        limit_dkh = min(limit_dkh, SMALL_STEP_DKH)
    limit_dkh, nh3 = _limited_by_ammonia(facts, kh_dkh, limit_dkh, now)
    if limit_dkh == 0.0:
        return Held(
            f"Ammonia: buffer now would raise pH until NH₃ is {nh3:.3f} mg/L; the limit is {NH3_LIMIT_MG_PER_L}."
            " Feed nothing, change some dechlorinated water, test again.",
            0.0,
            not tested_today,
        )
    return Held(None, limit_dkh, not tested_today)


def _limited_by_ammonia(
    facts: Sequence[Seen], kh_dkh: float | None, limit_dkh: float, now: datetime
) -> tuple[float, float]:
    """The largest of the limit, its half and its quarter that keeps NH3 under the limit, or 0; and the NH3 [mg/L]."""
    tan = _latest(facts, "tan_mg_n_per_l", now, _TRUSTED)
    ph = _latest(facts, "ph", now, _TRUSTED)
    temperature_c = _latest(facts, "temperature_c", now, _TRUSTED)
    if tan is None or ph is None or temperature_c is None or kh_dkh is None:
        return limit_dkh, 0.0
    nh3 = 0.0
    for rise in (limit_dkh, limit_dkh / 2, limit_dkh / 4):
        nh3 = nh3_after_rise(tan, ph, temperature_c, kh_dkh, rise)
        if nh3 <= NH3_LIMIT_MG_PER_L:
            return rise, nh3
    return 0.0, nh3


def nh3_after_rise(tan_mg_n_per_l: float, ph: float, temperature_c: float, kh_dkh: float, rise_dkh: float) -> float:
    """NH3 [mg/L as NH3] after KH has been raised, carbon dioxide staying as it is.

    At the same CO2, pH moves with the logarithm of alkalinity (pH = pK1 + pKH - log pCO2 + log Alk). Temperature and
    pH are held within the range of the ammonia formula, 0 to 30 °C and 6 to 10.
    """
    before = max(kh_dkh, 0.25)
    after_ph = min(10.0, max(6.0, ph + log10((before + rise_dkh) / before)))
    return tan_mg_n_per_l * unionised_fraction(min(30.0, max(0.0, temperature_c)), after_ph) * NH3_PER_NH3_N


def _latest(facts: Sequence[Seen], quantity: str, now: datetime, age: timedelta) -> float | None:
    for one in reversed(readings_of(facts, quantity)):
        if one.at <= now and isinstance(one.entry, Reading):
            return one.entry.value if one.at >= now - age else None
    return None
