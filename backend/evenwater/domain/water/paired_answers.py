"""Readings judged by a second one beside them: nitrite by chloride, oxygen by the warmth it was measured in."""

from collections.abc import Mapping
from datetime import datetime, timedelta

from msgspec.structs import replace

from evenwater.domain.keeper_units import level_words, unit_for
from evenwater.domain.pond import Pond, Range
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.water.outlook import Answer, Cuts, Finding
from evenwater.domain.water.oxygen import TEMPERATURE_C, saturation_mg_per_l, standard_pressure_hpa
from evenwater.domain.water.range_table import ROWS
from evenwater.domain.water.ranges import answer_of, at_most, cuts_and_trouble, cuts_of, worse
from evenwater.domain.water.recent import Read, Recent
from evenwater.domain.water.settling import settled
from evenwater.domain.water.verdict import Verdict, basis_of, range_words, remarks, side_of
from evenwater.domain.workings import Given, Step, Workings

CHLORIDE_WITHIN = timedelta(days=14)
"""A chloride reading so old still stands beside a nitrite reading. Common practice, no source."""
TEMPERATURE_WITHIN = timedelta(hours=24)
"""A temperature so far off still stands beside an oxygen reading. Common practice, no source."""
_SALINITY_WITHIN = timedelta(days=30)
_NITRITE, _RATIO = "nitrite_n_mg_per_l", "chloride_per_nitrite_n"
_OXYGEN, _SATURATION = "oxygen_mg_per_l", "oxygen_saturation_fraction"


def judge_nitrite(pond: Pond, ranges: Mapping[str, Range], recent: Recent) -> list[Verdict]:
    """The answer to the latest nitrite reading, with the chloride that shields from it.

    Below its own lines nitrite is in range whatever the chloride; from there on too little chloride makes it act now.
    """
    series = recent.of(_NITRITE)
    if not series:
        return []
    cuts, trouble = cuts_and_trouble(pond, ranges, _NITRITE, "pond")
    cuts = cuts or Cuts(quantity=_NITRITE, point="pond")
    ratio_cuts = cuts_of(pond, ranges, _RATIO, "pond")

    def answer_at(one: Read, step: float) -> Answer:
        by_value = answer_of(cuts, one.value, step)
        chloride = recent.nearest("chloride_mg_per_l", one.at, CHLORIDE_WITHIN)
        if by_value == "in_range" or chloride is None or ratio_cuts is None:
            return by_value
        return worse(by_value, answer_of(ratio_cuts, _least_ratio(one.value, step, chloride)))

    last = series[-1]
    chloride = recent.nearest("chloride_mg_per_l", last.at, CHLORIDE_WITHIN)
    said = settled(series, answer_at, timedelta(days=ROWS[_NITRITE].stale_days))
    ratio = None if chloride is None or last.value == 0.0 else chloride.value / last.value
    # Too little chloride counts only where there is nitrite to speak of, which is why it asks for act now.
    emergency = ratio is not None and said == "act_now" and at_most(ratio, ROWS[_RATIO].emergency_below)
    verdict = Verdict(
        quantity=_NITRITE,
        label=QUANTITIES[_NITRITE].label,
        unit=QUANTITIES[_NITRITE].unit,
        value=last.value,
        at=last.at,
        answer=said,
        why=(
            range_words(cuts, unit_for(pond, _NITRITE)),
            *_shield_words(chloride, ratio),
            basis_of(_NITRITE, ranges, trouble),
            *_nitrite_remarks(cuts, last, said, answer_at(last, last.step)),
        ),
        emergency=emergency,
        entry=last.id,
    )
    return [verdict if chloride is None else replace(verdict, workings=_ratio_workings(last, chloride, ratio))]


def _nitrite_remarks(cuts: Cuts, last: Read, said: Answer, fresh: Answer) -> tuple[str, ...]:
    """As for any reading, save where it is the chloride that decides."""
    by_value = answer_of(cuts, last.value, last.step)
    if fresh == said and fresh != by_value:
        return ("too little chloride for so much nitrite",)
    return remarks(cuts, last.value, last.step, said)


def _least_ratio(nitrite_n: float, step: float, chloride: Read) -> float:
    """Chloride over nitrite-N with both kits read at their worse end."""
    most = nitrite_n + step / 2
    return max(0.0, chloride.value - chloride.step / 2) / most


def _shield_words(chloride: Read | None, ratio: float | None) -> tuple[str, ...]:
    if chloride is None:
        return ("chloride not known: it shields, test it too",)
    return () if ratio is None else (f"chloride {chloride.value:g} mg/L is {ratio:.3g} times it, wanted above 10",)


def _ratio_workings(last: Read, chloride: Read, ratio: float | None) -> Workings:
    shown = "no nitrite" if ratio is None else f"{ratio:.3g}"
    return Workings(
        title="Chloride against nitrite",
        inputs=(
            Given("nitrite", last.value, "mg/L as N", "reading"),
            Given("chloride", chloride.value, "mg/L", "reading"),
        ),
        steps=(Step("chloride ÷ nitrite-N, by weight", shown),),
        result=shown,
        source="Kroupova et al. (2006), Vet. Med. 51, 423-431: carp in water of little chloride died of nitrite that "
        "hurt none at six and a half times its weight of chloride; ten times is extension practice, from memory.",
    )


def saturation_at(pond: Pond, recent: Recent, temperature: Read, at: datetime) -> float:
    """Oxygen the water would hold in balance with the air, at that warmth, height and salt [mg/L]."""
    salt = recent.nearest("salinity_g_per_l", at, _SALINITY_WITHIN)
    temperature_c = min(TEMPERATURE_C[1], max(TEMPERATURE_C[0], temperature.value))
    return saturation_mg_per_l(temperature_c, salt.value if salt else 0.0, standard_pressure_hpa(pond.altitude_m))


def judge_oxygen(pond: Pond, ranges: Mapping[str, Range], recent: Recent) -> list[Verdict]:
    """The answer to the latest oxygen reading, in mg/L and, where the warmth is known, as a share of saturation."""
    series = recent.of(_OXYGEN)
    if not series:
        return []
    cuts, trouble = cuts_and_trouble(pond, ranges, _OXYGEN, "pond")
    cuts = cuts or Cuts(quantity=_OXYGEN, point="pond")
    share_cuts, share_trouble = cuts_and_trouble(pond, ranges, _SATURATION, "pond")

    def answer_at(one: Read, step: float) -> Answer:
        by_value = answer_of(cuts, one.value, step)
        beside = recent.nearest("temperature_c", one.at, TEMPERATURE_WITHIN)
        if beside is None or share_cuts is None:
            return by_value
        full = saturation_at(pond, recent, beside, one.at)
        return worse(by_value, answer_of(share_cuts, one.value / full, step / full))

    last = series[-1]
    beside = recent.nearest("temperature_c", last.at, TEMPERATURE_WITHIN)
    said = settled(series, answer_at, timedelta(days=ROWS[_OXYGEN].stale_days), "never")
    verdict = Verdict(
        quantity=_OXYGEN,
        label=QUANTITIES[_OXYGEN].label,
        unit=QUANTITIES[_OXYGEN].unit,
        value=last.value,
        at=last.at,
        answer=said,
        why=(range_words(cuts, unit_for(pond, _OXYGEN)), basis_of(_OXYGEN, ranges, trouble)),
        side=side_of(cuts, last.value),
        emergency=at_most(last.value, ROWS[_OXYGEN].emergency_below),
        entry=last.id,
    )
    if beside is None:
        return [replace(verdict, why=(*verdict.why, "share of saturation not known: measure the temperature too"))]
    full = saturation_at(pond, recent, beside, last.at)
    warmth = level_words(pond, "temperature_c", beside.value)
    share = f"{100 * last.value / full:.0f} % of saturation at {warmth}, wanted 80 to 120"
    why = (verdict.why[0], share, *verdict.why[1:], *((share_trouble,) if share_trouble else ()))
    high = last.value / full > 1.0
    return [
        replace(
            verdict, why=why, side="high" if high else "low", workings=_share_workings(pond, recent, last, beside, full)
        )
    ]


def _share_workings(pond: Pond, recent: Recent, last: Read, beside: Read, full: float) -> Workings:
    salt = recent.nearest("salinity_g_per_l", last.at, _SALINITY_WITHIN)
    return Workings(
        title="Oxygen as a share of saturation",
        inputs=(
            Given("oxygen", last.value, "mg/L", "reading"),
            Given("temperature", beside.value, "°C", "reading"),
            Given("salt", salt.value if salt else 0.0, "g/L", "reading" if salt else "taken for none"),
            Given("height above the sea", pond.altitude_m, "m", "pond"),
        ),
        steps=(
            Step("mean air pressure at that height", f"{standard_pressure_hpa(pond.altitude_m):.0f} hPa"),
            Step("what the water holds in balance with the air", f"{full:.2f} mg/L"),
            Step("measured ÷ that", f"{100 * last.value / full:.0f} %"),
        ),
        result=f"{100 * last.value / full:.0f} %",
        source="Benson & Krause (1984), Limnol. Oceanogr. 29, 620-632; standard atmosphere, ISO 2533 (from memory). "
        "Weather moves the pressure by some 3 %.",
    )


def oxygen_finding(pond: Pond, recent: Recent) -> Finding | None:
    """Oxygen as a share of what the water would hold, where its warmth is known."""
    last = recent.latest(_OXYGEN)
    beside = None if last is None else recent.nearest("temperature_c", last.at, TEMPERATURE_WITHIN)
    if last is None or beside is None:
        return None
    full = saturation_at(pond, recent, beside, last.at)
    warmth = level_words(pond, "temperature_c", beside.value)
    return Finding(
        id="oxygen-saturation",
        section="water",
        title="Oxygen against saturation",
        big=f"{100 * last.value / full:.0f} %",
        says=f"{last.value:g} mg/L on {last.day}; water of {warmth} holds {full:.1f} mg/L.",
        workings=_share_workings(pond, recent, last, beside, full),
    )
