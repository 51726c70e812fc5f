"""Changes judged, rather than values: warmth in a day or an hour, pH within a day, conductivity against its usual."""

from collections.abc import Mapping, Sequence
from datetime import timedelta
from itertools import groupby

from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.keeper_units import unit_for
from evenwater.domain.pond import Pond, Range
from evenwater.domain.quantities import QUANTITIES, OtherUnit
from evenwater.domain.units import SECONDS_PER_DAY
from evenwater.domain.water.outlook import Answer, Cuts, Finding
from evenwater.domain.water.range_table import ROWS
from evenwater.domain.water.ranges import answer_of, cuts_and_trouble, worse
from evenwater.domain.water.recent import Read, Recent, around_of
from evenwater.domain.water.settling import settled
from evenwater.domain.water.verdict import HELD, Verdict, basis_of, range_words, side_of
from evenwater.domain.workings import Given, Step, Workings

LOOK_BACK = timedelta(days=3)
"""Readings farther apart than this say nothing of a change in a day. Common practice, no source."""
_HOUR_S = 3_600.0
_SWING_APART = timedelta(hours=3)
_DAYS_SHOWN = 7
_PER_DAY, _PER_H, _SWING = "temperature_change_c_per_day", "temperature_change_c_per_h", "ph_swing"
_EC, _EC_PER_DAY = "ec25_us_per_cm", "ec25_change_fraction_per_day"


class _Change(Struct, frozen=True):
    """The greatest change up to a reading: from which reading, and what it comes to in the time it is judged over."""

    since: Read
    rate: float


def _greatest(series: Sequence[Read], last: Read, over_s: float, *, of_itself: bool = False) -> _Change | None:
    """The greatest change to `last` from any reading of the days before; what took less than `over_s` counts whole."""
    found: list[_Change] = []
    for one in series:
        took_s = (last.at - one.at).total_seconds()
        if not 0.0 < took_s <= LOOK_BACK.total_seconds() or (of_itself and one.value <= 0.0):
            continue
        change = last.value / one.value - 1.0 if of_itself else last.value - one.value
        # Differences of tenths carry dust, and 19.3 less 18.3 would not be 1.
        found.append(_Change(one, round(change / max(1.0, took_s / over_s), 6)))
    return max(found, key=lambda one: abs(one.rate), default=None)


def _per_hour(series: Sequence[Read], last: Read) -> _Change | None:
    day = [one for one in series if last.at - one.at <= timedelta(days=1)]
    return _greatest(day, last, _HOUR_S)


def judge_warming(pond: Pond, ranges: Mapping[str, Range], recent: Recent) -> list[Verdict]:
    """The answer to how fast the water became warmer or colder, in a day or in an hour."""
    series = recent.of("temperature_c")
    day_cuts, trouble = cuts_and_trouble(pond, ranges, _PER_DAY, "pond")
    hour_cuts, _ = cuts_and_trouble(pond, ranges, _PER_H, "pond")
    changes = [(one, _greatest(series, one, SECONDS_PER_DAY), _per_hour(series, one)) for one in series]
    known = {one.id: (day, hour) for one, day, hour in changes if day is not None}
    if not series or series[-1].id not in known or day_cuts is None:
        return []

    def answer_at(one: Read, step: float) -> Answer:
        day, hour = known[one.id]
        said = answer_of(day_cuts, abs(day.rate) + step / 2)
        return worse(said, answer_of(hour_cuts, abs(hour.rate) + step / 2)) if hour and hour_cuts else said

    last = series[-1]
    day, hour = known[last.id]
    judged = [one for one in series if one.id in known]
    said = settled(judged, answer_at, timedelta(days=ROWS[_PER_DAY].stale_days), "never", whole_step=False)
    by_hour = hour is not None and hour_cuts is not None and answer_of(hour_cuts, abs(hour.rate)) == "act_now"
    change = hour if by_hour and hour is not None else day
    shown = unit_for(pond, "temperature_c")
    unit = f"{shown.unit} in an hour" if by_hour else f"{shown.unit} in a day"
    why = (f"under {_line(day_cuts) * shown.per:.3g} {shown.unit} in a day", basis_of(_PER_DAY, ranges, trouble))
    return [
        Verdict(
            quantity=_PER_DAY,
            label="Change of temperature",
            unit=unit,
            value=change.rate * shown.per,
            at=last.at,
            answer=said,
            why=(*why, *((HELD,) if said != answer_at(last, 0.0) else ())),
            side="low" if change.rate < 0 else "high",
            workings=_change_workings("Change of temperature", "°C", unit.replace(shown.unit, "°C"), last, change),
        )
    ]


def _line(cuts: Cuts) -> float:
    return next(one for one in (cuts.drift_above, cuts.act_above, 0.0) if one is not None)


def _change_workings(title: str, unit: str, rate_unit: str, last: Read, change: _Change) -> Workings:
    hours = (last.at - change.since.at).total_seconds() / _HOUR_S
    return Workings(
        title=title,
        inputs=(
            Given("earlier", change.since.value, unit, "reading"),
            Given("latest", last.value, unit, "reading"),
            Given("time between", round(hours, 1), "h", "reading"),
        ),
        steps=(Step("the greatest change of the last three days; a shorter time counts whole", f"{change.rate:+.2g}"),),
        result=f"{change.rate:+.2g} {rate_unit}",
        source=ROWS[_PER_DAY].basis,
    )


def judge_swing(pond: Pond, ranges: Mapping[str, Range], recent: Recent) -> list[Verdict]:
    """The answer to how far pH moved within the latest day on which it was tested twice, three hours apart."""
    swings = [swing for swing in map(_swing, _days(recent.of("ph"))) if swing is not None]
    cuts, trouble = cuts_and_trouble(pond, ranges, _SWING, "pond")
    if not swings or cuts is None:
        return []
    last = swings[-1]
    coarse = last.step > _line(cuts)
    stale = timedelta(days=ROWS[_SWING].stale_days)
    said = settled(swings, lambda one, step: answer_of(cuts, one.value, step), stale, "never", whole_step=False)
    why = (range_words(cuts, OtherUnit("", 1.0)), basis_of(_SWING, ranges, trouble))
    verdict = Verdict(
        quantity=_SWING,
        label="pH swing in a day",
        unit="",
        value=last.value,
        at=last.at,
        answer="not_known" if coarse else said,
        why=(f"a kit of {last.step:g} is too coarse to see a swing of {_line(cuts):g}",) if coarse else why,
        workings=_swing_workings(last, [one for one in recent.of("ph") if one.on == last.on]),
    )
    held = not coarse and said != answer_of(cuts, last.value)
    return [replace(verdict, why=(*why, HELD)) if held else verdict]


def _days(series: Sequence[Read]) -> list[list[Read]]:
    return [list(day) for _, day in groupby(series, key=lambda one: one.on)]


def _swing(day: list[Read]) -> Read | None:
    """Highest less lowest pH of a day, as a reading of the moment of its last; None when tested within three hours."""
    if day[-1].at - day[0].at < _SWING_APART:
        return None
    values = [one.value for one in day]
    swing = round(max(values) - min(values), 6)
    return Read(day[-1].id, _SWING, "pond", day[-1].at, day[-1].on, swing, max(one.step for one in day))


def swing_finding(pond: Pond, recent: Recent) -> Finding | None:
    """How far pH moved within each of the last days it was tested more than once."""
    swings = [swing for swing in map(_swing, _days(recent.of("ph"))) if swing is not None][-_DAYS_SHOWN:]
    if not swings:
        return None
    last, days = swings[-1], {one[0].on: one for one in _days(recent.of("ph"))}
    return Finding(
        id="ph-swing",
        section="water",
        title="pH within a day",
        big=f"{last.value:g}",
        says=f"On {last.on.day} {last.on:%B} pH moved by {last.value:g}. Test at dawn and late in the afternoon.",
        columns=("day", "lowest", "highest", "swing"),
        rows=tuple(
            (
                f"{one.on.day} {one.on:%b}",
                f"{min(read.value for read in days[one.on]):g}",
                f"{max(read.value for read in days[one.on]):g}",
                f"{one.value:g}",
            )
            for one in swings
        ),
        workings=_swing_workings(last, days[last.on]),
    )


def _swing_workings(last: Read, day: Sequence[Read]) -> Workings:
    return Workings(
        title="pH swing in a day",
        inputs=tuple(Given(f"pH at {one.at:%H:%M} UTC", one.value, "", "reading") for one in day),
        steps=(Step("highest less lowest of the day", f"{last.value:g}"),),
        result=f"{last.value:g}",
        source=ROWS[_SWING].basis,
    )


def judge_conductivity(pond: Pond, ranges: Mapping[str, Range], recent: Recent) -> list[Verdict]:
    """The answer to the latest conductivity, against the pond's own usual and against the days before."""
    series = recent.of(_EC)
    if not series:
        return []

    def answer_at(one: Read, step: float) -> Answer:
        cuts, _ = cuts_and_trouble(pond, ranges, _EC, "pond", around_of(pond, recent, one.at))
        jump = _unsalted_jump(pond, ranges, recent, one)
        if cuts is None:
            return "act_now" if jump == "act_now" else "not_known"
        return worse(answer_of(cuts, one.value, step), jump)

    last = series[-1]
    usual = around_of(pond, recent, last.at).usual_ec25
    cuts, trouble = cuts_and_trouble(pond, ranges, _EC, "pond", around_of(pond, recent, last.at))
    said = settled(series, answer_at, timedelta(days=ROWS[_EC].stale_days))
    unknown = "what is usual is not known: three readings of the last 30 days, none within four weeks of salt"
    change = _greatest(series, last, SECONDS_PER_DAY, of_itself=True)
    side = side_of(cuts, last.value) if cuts else ("low" if change and change.rate < 0 else "high")
    why = (unknown,) if cuts is None else (range_words(cuts, unit_for(pond, _EC)), basis_of(_EC, ranges, trouble))
    verdict = Verdict(
        quantity=_EC,
        label=QUANTITIES[_EC].label,
        unit=QUANTITIES[_EC].unit,
        value=last.value,
        at=last.at,
        answer=said,
        why=why,
        side=side,
        entry=last.id,
    )
    if _unsalted_jump(pond, ranges, recent, last) == "act_now" and change is not None:
        verdict = replace(verdict, why=(f"{100 * change.rate:+.0f} % in a day with no salt written down", *why))
    return [replace(verdict, workings=_usual_workings(last, usual)) if usual is not None else verdict]


def _unsalted_jump(pond: Pond, ranges: Mapping[str, Range], recent: Recent, one: Read) -> Answer:
    """Act now for a change in a day that no salt explains; else in range."""
    cuts, _ = cuts_and_trouble(pond, ranges, _EC_PER_DAY, "pond")
    change = _greatest(recent.of(_EC), one, SECONDS_PER_DAY, of_itself=True)
    if cuts is None or change is None or recent.salted_between(change.since.at, one.at):
        return "in_range"
    return answer_of(cuts, change.rate)


def _usual_workings(last: Read, usual: float) -> Workings:
    return Workings(
        title="Conductivity against the pond's own",
        inputs=(Given("latest", last.value, "µS/cm", "reading"),),
        steps=(
            Step("median of the thirty days before", f"{usual:.0f} µS/cm"),
            Step("latest against that", f"{100 * (last.value / usual - 1):+.0f} %" if usual else "–"),
        ),
        result=f"{100 * (last.value / usual - 1):+.0f} %" if usual else "–",
        source=ROWS["ec25_change_fraction"].basis,
    )
