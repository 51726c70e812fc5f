"""What the water's tests showed over the span, and how many of them were in range."""

from collections.abc import Callable, Mapping, Sequence
from statistics import median
from typing import Final

from msgspec import Struct

from evenwater.domain.entries import Reading
from evenwater.domain.fold import Facts, readings_of
from evenwater.domain.keeper_units import unit_for
from evenwater.domain.pond import Pond, Range
from evenwater.domain.quantities import QUANTITIES, Point
from evenwater.domain.report.outlook import Section
from evenwater.domain.report.past import Past
from evenwater.domain.report.words import NONE, told_apart, year_name
from evenwater.domain.water.ammonia_answer import company_of
from evenwater.domain.water.outlook import Cuts
from evenwater.domain.water.ranges import answer_of, cuts_of
from evenwater.domain.water.recent import Read, Recent

_NH3, _TAN = "nh3_mg_per_l", "tan_mg_n_per_l"
_TOLD: Final[tuple[tuple[str, Point], ...]] = (
    ("kh_dkh", "pond"),
    ("gh_dgh", "pond"),
    ("ph", "pond"),
    (_TAN, "pond"),
    ("nitrite_n_mg_per_l", "pond"),
    ("nitrate_n_mg_per_l", "pond"),
    ("oxygen_mg_per_l", "pond"),
    ("total_chlorine_ug_per_l", "after_carbon"),
    ("ec25_us_per_cm", "pond"),
    ("ec25_us_per_cm", "after_membrane"),
    ("salinity_g_per_l", "pond"),
)
_WHERE: Final = {"pond": "", "after_carbon": ", after the carbon", "after_membrane": ", after the membrane"}
_BESIDE: Final = ("ph", "temperature_c", "ec25_us_per_cm")


class _Tests(Struct, frozen=True):
    """Tests of one quantity: values, and of those that can be judged whether each was in range."""

    values: tuple[float, ...]
    judged: tuple[bool, ...]

    def share(self) -> str:
        """ "94 % of 62"."""
        if not self.judged:
            return NONE
        return f"{sum(self.judged) / len(self.judged):.0%}".replace("%", " %") + f" of {len(self.judged)}"


def waters_part(past: Past) -> Section:
    """A row for each quantity that was tested in the span or a year before."""
    ranges = past.known.ranges(past.pond.id, past.span.last)
    rows: list[tuple[str, ...]] = []
    for quantity, point in _TOLD:
        now, before = (_tests(past.pond, ranges, facts, quantity, point) for facts in (past.here, past.before))
        if now.values or before.values:
            rows.append(_row(_label(past.pond, quantity, point), _say(past.pond, quantity), now, before))
    toxic = [_toxic(past.pond, ranges, facts) for facts in (past.here, past.before)]
    if toxic[0].values or toxic[1].values:
        rows.append(_row("Toxic part of the ammonia, NH₃ (mg/L)", lambda value: f"{value:.2g}", *toxic))
    year, last = year_name(past.span), year_name(past.span.before)
    heads = ("", "tests", "lowest to highest", "middle", f"in range {year}", f"in range {last}")
    columns, told_rows = told_apart(heads, rows)
    return Section(
        id="water",
        title="Water tests",
        says=("In range by the cut points as they are set today, each test by itself.",) if rows else (),
        columns=columns,
        rows=told_rows,
        unknown=_unknown(past),
    )


def _unknown(past: Past) -> tuple[str, ...]:
    if not any(isinstance(one.entry, Reading) for one in past.here):
        return ("The water was not tested in this time.",)
    lacking = [QUANTITIES[quantity].label for quantity, point in _TOLD[:6] if not past.here.readings(quantity, point)]
    return (f"Not tested in this time: {', '.join(lacking)}.",) if lacking else ()


def _row(label: str, say: Callable[[float], str], now: _Tests, before: _Tests) -> tuple[str, ...]:
    if not now.values:
        return label, "0", NONE, NONE, NONE, before.share()
    low, high = say(min(now.values)), say(max(now.values))
    return (
        label,
        f"{len(now.values)}",
        low if low == high else f"{low} to {high}",
        say(median(now.values)),
        now.share(),
        before.share(),
    )


def _label(pond: Pond, quantity: str, point: Point) -> str:
    """ "KH (°dKH)": the unit once, not at every figure."""
    unit = unit_for(pond, quantity).unit
    return f"{QUANTITIES[quantity].label}{_WHERE[point]}" + (f" ({unit})" if unit else "")


def _say(pond: Pond, quantity: str) -> Callable[[float], str]:
    shown = unit_for(pond, quantity)
    return lambda value: f"{value * shown.per + shown.offset:.3g}"


def _tests(pond: Pond, ranges: Mapping[str, Range], facts: Facts, quantity: str, point: Point) -> _Tests:
    read = _read(facts, quantity, point)
    cuts = None if quantity == _TAN else cuts_of(pond, ranges, quantity, point)
    values = tuple(one.value for one in read)
    if cuts is None:
        return _Tests(values, ())
    return _Tests(values, tuple(_in_range(cuts, one.value, one.step) for one in read))


def _toxic(pond: Pond, ranges: Mapping[str, Range], facts: Facts) -> _Tests:
    """NH₃ of each test of ammonia with pH and warmth beside it [mg/L]; ammonia alone says nothing of its harm."""
    cuts = cuts_of(pond, ranges, _NH3, "pond")
    beside = Recent({(one, "pond"): tuple(_read(facts, one, "pond")) for one in _BESIDE}, (), ())
    found: list[tuple[float, float]] = []
    for one in _read(facts, _TAN, "pond"):
        company = company_of(beside, one.at)
        if company is not None:
            found.append((one.value * company.nh3_per_tan(), one.step * company.nh3_per_tan()))
    judged = tuple(_in_range(cuts, value, step) for value, step in found) if cuts else ()
    return _Tests(tuple(value for value, _ in found), judged)


def _in_range(cuts: Cuts, value: float, step: float) -> bool:
    return answer_of(cuts, value, step) == "in_range"


def _read(facts: Facts, quantity: str, point: Point) -> Sequence[Read]:
    found: list[Read] = []
    for one in readings_of(facts, quantity, point):
        if isinstance(one.entry, Reading):
            step = one.entry.step or QUANTITIES[quantity].step
            found.append(Read(one.entry.id, quantity, point, one.at, one.on, one.entry.value, step))
    return found
