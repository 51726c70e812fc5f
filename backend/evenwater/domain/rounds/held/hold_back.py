"""When buffer must not be given, or only in small steps, and what comes first instead.

Raising KH raises pH, and a higher pH sets ammonia free. A pond whose KH has run out has often built up ammonia; there a
big correction kills. So these rules ask for an ammonia test first and then go slowly, at every KH that may be read.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta
from math import inf, log10

from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.entries import Reading
from evenwater.domain.fold import Seen, readings_of
from evenwater.domain.units import NH3_PER_NH3_N
from evenwater.domain.water.ammonia import TEMPERATURE_C, equal_parts_ph
from evenwater.domain.water.ammonia_limits import NH3_LIMIT_MG_PER_L

LOW_KH_DKH = 2.5
"""Below it an ammonia test comes first, up to it steps are small [°dKH].

40 mg/L as CaCO3, the nitrifiers' floor, is 2.24 (EPA 1975, quoted).
"""
LOW_PH = 6.8
"""Below it an ammonia test comes first. Common practice, no source."""
SMALL_STEP_DKH = 0.5
"""Most in a day on a pond whose KH has run out [°dKH]. Common practice, no source."""
WORTH_GIVING_DKH = 0.02
"""A rise under this is not worth a scoop [°dKH]; less room than that before ammonia is none."""

_TRUSTED = timedelta(days=14)
"""How long ammonia, pH and warmth are believed: what was high does not become harmless by not being tested."""
_TESTED_TODAY = timedelta(hours=24)
# A kit's nought is not none: pH was read at some KH, and its logarithm must not run away [°dKH].
_LEAST_KH_DKH = 0.25
_LEAST_PH = 6.0

LOW_REASON = (
    "KH is very low. First test ammonia (TAN) today; if it is near nothing, change some water for dechlorinated water"
    " of the same temperature, then raise KH in small steps."
)
SMALL_REASON = (
    f"KH is very low: change some water for dechlorinated water of the same temperature first, then small steps,"
    f" at most {SMALL_STEP_DKH:g} °dKH a day."
)
UNKNOWN_REASON = "KH is very low and there is ammonia: measure pH and temperature too before any buffer."


class Tests(Struct, frozen=True):
    """The last tests that bear on ammonia, None where there is none or it is too old. `kh_dkh`: KH when pH was read."""

    tan: Seen | None
    ph: Seen | None
    temperature: Seen | None
    kh_dkh: float | None = None

    @property
    def grows_to(self) -> float:
        """How many times what it was when pH was read KH may become until NH3 is at its limit; inf when not known."""
        if self.tan is None or self.ph is None or self.temperature is None:
            return inf
        limit_ph = ph_at_nh3_limit(_value(self.tan), _value(self.temperature))
        return float(10.0 ** min(30.0, limit_ph - max(_LEAST_PH, _value(self.ph))))


class Rules(Struct, frozen=True):
    """What holds at one moment: `reason` to give nothing at all; `low_reason` to give nothing at a low KH."""

    reason: str | None
    low_reason: str | None
    rise_limit_dkh: float
    small_steps: bool
    grows_to: float
    base_dkh: float | None

    def limit_at(self, kh_dkh: float) -> float:
        """The most a day may raise KH from there [°dKH]."""
        return min(self.rise_limit_dkh, self.careful_at(kh_dkh))

    def careful_at(self, kh_dkh: float) -> float:
        """The most by what makes this pond a delicate one [°dKH]; inf where nothing does."""
        small = SMALL_STEP_DKH if self.small_steps or kh_dkh <= LOW_KH_DKH else inf
        if self.grows_to == inf:
            return small
        kh = max(kh_dkh, _LEAST_KH_DKH)
        base = kh if self.base_dkh is None else min(kh, self.base_dkh)
        return max(0.0, min(small, self.grows_to * base - kh))

    def lines(self) -> list[tuple[float, float]]:
        """(slope, level at 0) of every straight line that `limit_at` runs along."""
        found = [(0.0, 0.0), (0.0, self.rise_limit_dkh), (0.0, SMALL_STEP_DKH)]
        if self.grows_to == inf:
            return found
        found += [(self.grows_to - 1.0, 0.0), (0.0, (self.grows_to - 1.0) * _LEAST_KH_DKH)]
        return found if self.base_dkh is None else [*found, (-1.0, self.grows_to * self.base_dkh)]

    def bends(self) -> list[float]:
        """Where it changes from one line to another by itself [°dKH]; it jumps just above LOW_KH_DKH."""
        base = [] if self.base_dkh is None else [self.base_dkh]
        return [_LEAST_KH_DKH, LOW_KH_DKH, LOW_KH_DKH + 1e-4, *base]


def tests_of(facts: Sequence[Seen], now: datetime) -> Tests:
    """The tests that count at `now`.

    Args:
        facts: One pond's standing facts, oldest first.
        now: The moment; later facts are left out.
    """
    tan, ph, temperature = (_latest(facts, name, now) for name in ("tan_mg_n_per_l", "ph", "temperature_c"))
    return Tests(tan, ph, temperature)


def hold_back(tests: Tests, kh_dkh: float | None, rise_limit_dkh: float, at: datetime) -> Rules:
    """Apply the rules to a dose to be given at `at`.

    Args:
        tests: What is known of ammonia.
        kh_dkh: KH as believed then [°dKH], or None.
        rise_limit_dkh: The keeper's own limit on the rise in a day [°dKH].
        at: The moment of the dose.
    """
    tested_today = tests.tan is not None and at - _TESTED_TODAY <= tests.tan.at <= at
    acid = tests.ph is not None and _value(tests.ph) < LOW_PH
    blind = tests.tan is not None and _value(tests.tan) * NH3_PER_NH3_N > NH3_LIMIT_MG_PER_L and tests.grows_to == inf
    low_reason = None if tested_today and not blind else UNKNOWN_REASON if tested_today else LOW_REASON
    base_dkh = None if tests.kh_dkh is None else max(tests.kh_dkh, _LEAST_KH_DKH)
    rules = Rules(None, low_reason, rise_limit_dkh, acid, tests.grows_to, base_dkh)
    if acid and tests.ph is not None and not tested_today:
        return replace(rules, reason=f"pH is {_value(tests.ph):g}. Test ammonia (TAN) today before any buffer.")
    if acid and blind:
        return replace(rules, reason=UNKNOWN_REASON.replace("KH", "pH"))
    if kh_dkh is not None and tests.tan is not None and rules.careful_at(kh_dkh) < WORTH_GIVING_DKH:
        said = f"TAN was {_value(tests.tan):g} mg/L"
        return replace(
            rules,
            reason=f"Ammonia: {said}; buffer now would raise pH until NH₃ is over {NH3_LIMIT_MG_PER_L} mg/L."
            " Feed nothing, change some dechlorinated water, test again.",
        )
    return rules


def ph_at_nh3_limit(tan_mg_n_per_l: float, temperature_c: float) -> float:
    """pH at which NH3 reaches NH3_LIMIT_MG_PER_L; inf when it cannot.

    Args:
        tan_mg_n_per_l: Total ammonia [mg/L as N].
        temperature_c: Water temperature [°C], held within the 0 to 30 of the ammonia formula.
    """
    total_nh3 = tan_mg_n_per_l * NH3_PER_NH3_N
    if total_nh3 <= NH3_LIMIT_MG_PER_L:
        return inf
    low, high = TEMPERATURE_C
    return equal_parts_ph(min(high, max(low, temperature_c))) - log10(total_nh3 / NH3_LIMIT_MG_PER_L - 1.0)


def _latest(facts: Sequence[Seen], quantity: str, now: datetime) -> Seen | None:
    known = [one for one in readings_of(facts, quantity) if now - _TRUSTED <= one.at <= now]
    return known[-1] if known else None


def _value(one: Seen) -> float:
    return one.entry.value if isinstance(one.entry, Reading) else 0.0
