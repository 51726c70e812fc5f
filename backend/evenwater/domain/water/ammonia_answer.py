"""Ammonia judged: how much of a total is toxic at its own pH and warmth, and where that stands to the limits."""

from collections.abc import Mapping
from datetime import datetime, timedelta

from msgspec import Struct

from evenwater.domain.pond import Pond, Range
from evenwater.domain.quantities import QUANTITIES, OtherUnit
from evenwater.domain.units import NH3_PER_NH3_N
from evenwater.domain.water.ammonia import EC25_US_PER_CM, unionised_fraction
from evenwater.domain.water.ammonia import PH as _PH_WITH_A_SHARE
from evenwater.domain.water.ammonia_limits import PH as _PH_RANGE
from evenwater.domain.water.ammonia_limits import TEMPERATURE_C as _TEMPERATURE_RANGE
from evenwater.domain.water.ammonia_limits import chronic_tan_mg_n_per_l
from evenwater.domain.water.outlook import Answer, Cuts
from evenwater.domain.water.range_table import ROWS
from evenwater.domain.water.ranges import WORSE, answer_of, cuts_and_trouble, worse
from evenwater.domain.water.recent import Read, Recent
from evenwater.domain.water.settling import settled
from evenwater.domain.water.verdict import Verdict, basis_of, range_words, remarks
from evenwater.domain.workings import Given, Step, Workings

SAME_TIME = timedelta(hours=3)
"""pH and temperature up to so long before or after are of the same time. Common practice, no source."""
PAIR_WITHIN = timedelta(hours=48)
"""Farther off than this they tell nothing of the ammonia; in between it is said. Common practice, no source."""
_EC_WITHIN = timedelta(days=30)
_NEEDS = "needs pH and temperature of about the same time: test all three together, best late in the afternoon"
_TAN, _NH3 = "tan_mg_n_per_l", "nh3_mg_per_l"


class Company(Struct, frozen=True):
    """What stands beside a TAN reading: pH and temperature nearest in time, conductivity where it is known."""

    ph: Read
    temperature: Read
    ec25: Read | None

    def nh3_per_tan(self) -> float:
        """NH3 [mg/L as NH3] that each mg/L of TAN-N holds."""
        ec25 = None if self.ec25 is None else self.ec25.value
        lowest, highest = _PH_WITH_A_SHARE
        return unionised_fraction(self.temperature_c, min(highest, max(lowest, self.ph.value)), ec25) * NH3_PER_NH3_N

    def chronic_tan(self) -> float:
        """EPA's limit over a month [mg/L TAN-N]."""
        return chronic_tan_mg_n_per_l(self.temperature_c, min(_PH_RANGE[1], max(_PH_RANGE[0], self.ph.value)))

    @property
    def temperature_c(self) -> float:
        """Temperature, held within what the formulas cover [°C]."""
        return min(_TEMPERATURE_RANGE[1], max(_TEMPERATURE_RANGE[0], self.temperature.value))


def company_of(recent: Recent, at: datetime) -> Company | None:
    """pH and temperature of about that time; None when either is missing."""
    ph = recent.nearest("ph", at, PAIR_WITHIN)
    temperature = recent.nearest("temperature_c", at, PAIR_WITHIN)
    ec25 = recent.nearest("ec25_us_per_cm", at, _EC_WITHIN)
    if ph is None or temperature is None:
        return None
    return Company(ph, temperature, ec25 if ec25 is not None and ec25.value <= EC25_US_PER_CM[1] else None)


class _Lines(Struct, frozen=True):
    """What ammonia readings are held to: the cuts of NH3, and the keeper's own of TAN where there are any."""

    recent: Recent
    nh3: Cuts
    own_tan: Cuts | None

    def nh3_answer(self, one: Read, step: float) -> Answer:
        beside = company_of(self.recent, one.at)
        if beside is None:
            return "not_known"
        return answer_of(self.nh3, one.value * beside.nh3_per_tan(), step * beside.nh3_per_tan())

    def tan_answer(self, one: Read, step: float) -> Answer:
        beside = company_of(self.recent, one.at)
        if beside is None:
            return "not_known"
        own = answer_of(self.own_tan, one.value, step) if self.own_tan else "in_range"
        return worse(worse(answer_of(_limit_cuts(beside), one.value, step), self.nh3_answer(one, step)), own)


def judge_ammonia(pond: Pond, ranges: Mapping[str, Range], recent: Recent) -> list[Verdict]:
    """The answer to the latest TAN reading, and to the NH3 it holds."""
    last = recent.latest(_TAN)
    if last is None:
        return []
    company = company_of(recent, last.at)
    if company is None:
        return [_alone(pond, ranges, last)]
    nh3_cuts, trouble = cuts_and_trouble(pond, ranges, _NH3, "pond")
    own_cuts, own_trouble = cuts_and_trouble(pond, ranges, _TAN, "pond")
    lines = _Lines(recent, nh3_cuts or Cuts(quantity=_NH3, point="pond"), own_cuts)
    return [
        _tan_verdict(lines, last, company, basis_of(_TAN, ranges, own_trouble)),
        _nh3_verdict(lines, last, company, basis_of(_NH3, ranges, trouble)),
    ]


def _tan_verdict(lines: _Lines, last: Read, company: Company, basis: str) -> Verdict:
    nh3 = last.value * company.nh3_per_tan()
    said = settled(lines.recent.of(_TAN), lines.tan_answer, timedelta(days=ROWS[_TAN].stale_days))
    why = (
        f"NH₃ {nh3:.3g} mg/L at pH {company.ph.value:g} and {company.temperature.value:g} °C;"
        f" wanted: under {_below(lines.nh3):.3g} of it, and TAN under {company.chronic_tan() / 2:.2g}"
    )
    # Of the two lines, the one that decides says why.
    deciding = _limit_cuts(company)
    step, value = last.step, last.value
    if WORSE[lines.nh3_answer(last, step)] >= WORSE[answer_of(deciding, value, step)]:
        deciding, step, value = lines.nh3, step * company.nh3_per_tan(), nh3
    own = (f"your own range: {range_words(lines.own_tan, OtherUnit('mg/L', 1.0))}",) if lines.own_tan else ()
    return Verdict(
        quantity=_TAN,
        label=QUANTITIES[_TAN].label,
        unit=QUANTITIES[_TAN].unit,
        value=last.value,
        at=last.at,
        answer=said,
        why=(why, *own, basis, *(() if own else remarks(deciding, value, step, said)), *_gaps(last, company)),
        emergency=_is_emergency(nh3),
        entry=last.id,
        workings=_workings(last, company, nh3),
    )


def _nh3_verdict(lines: _Lines, last: Read, company: Company, basis: str) -> Verdict:
    nh3, step = last.value * company.nh3_per_tan(), last.step * company.nh3_per_tan()
    said = settled(lines.recent.of(_TAN), lines.nh3_answer, timedelta(days=ROWS[_NH3].stale_days))
    return Verdict(
        quantity=_NH3,
        label="Toxic ammonia (NH₃)",
        unit="mg/L as NH₃",
        value=nh3,
        at=last.at,
        answer=said,
        why=(
            range_words(lines.nh3, OtherUnit("mg/L", 1.0)),
            basis,
            *remarks(lines.nh3, nh3, step, said),
            *_gaps(last, company),
        ),
        emergency=_is_emergency(nh3),
        workings=_workings(last, company, nh3),
    )


def _is_emergency(nh3_mg_per_l: float) -> bool:
    line = ROWS[_NH3].emergency_above
    return line is not None and nh3_mg_per_l >= line


def _alone(pond: Pond, ranges: Mapping[str, Range], last: Read) -> Verdict:
    """A TAN reading without pH or temperature: not known, save where it is past the limit at any pH of the range."""
    own, _ = cuts_and_trouble(pond, ranges, _TAN, "pond")
    at_best = chronic_tan_mg_n_per_l(_TEMPERATURE_RANGE[0], _PH_RANGE[0])
    past = last.value >= at_best or (own is not None and answer_of(own, last.value, last.step) == "act_now")
    why = (f"past {at_best:.2g} mg/L as N, the limit in the coldest, least alkaline water", ROWS[_TAN].basis)
    return Verdict(
        quantity=_TAN,
        label=QUANTITIES[_TAN].label,
        unit=QUANTITIES[_TAN].unit,
        value=last.value,
        at=last.at,
        answer="act_now" if past else "not_known",
        why=(*why, _NEEDS) if past else (_NEEDS,),
        entry=last.id,
    )


def _limit_cuts(company: Company) -> Cuts:
    limit = company.chronic_tan()
    return Cuts(quantity=_TAN, point="pond", drift_above=limit / 2, act_above=limit)


def _below(cuts: Cuts) -> float:
    return next(one for one in (cuts.drift_above, cuts.act_above, 0.0) if one is not None)


def _gaps(last: Read, company: Company) -> tuple[str, ...]:
    """What was not of the same time, in words."""
    return tuple(
        f"{name} is from {round(abs(one.at - last.at).total_seconds() / 3600)} h"
        f" {'before' if one.at < last.at else 'after'}: test them together"
        for name, one in (("pH", company.ph), ("temperature", company.temperature))
        if abs(one.at - last.at) > SAME_TIME
    )


def _workings(last: Read, company: Company, nh3: float) -> Workings:
    share = company.nh3_per_tan() / NH3_PER_NH3_N
    ec25 = () if company.ec25 is None else (Given("conductivity", company.ec25.value, "µS/cm", "reading"),)
    return Workings(
        title="Toxic ammonia",
        inputs=(
            Given("total ammonia", last.value, "mg/L as N", "reading"),
            Given("pH", company.ph.value, "", "reading"),
            Given("temperature", company.temperature.value, "°C", "reading"),
            *ec25,
        ),
        steps=(
            Step("share that is NH₃ at this pH and warmth", f"{100 * share:.3g} %"),
            Step("NH₃ = TAN × share × 1.216, the weight of NH₃ over that of its nitrogen", f"{nh3:.3g} mg/L"),
            Step("EPA's limit of TAN over a month, at this pH and warmth", f"{company.chronic_tan():.3g} mg/L as N"),
        ),
        result=f"{nh3:.3g} mg/L NH₃",
        source="Emerson et al. (1975), J. Fish. Res. Board Can. 32, 2379-2383; EPA 822-R-13-001 (2013); "
        "Directive 2006/44/EC, from memory. pH and temperature are held within 6 to 10 (6.5 to 9 for the limit) "
        "and 0 to 30 °C.",
    )
