"""How each fish grew over the span, from the sessions before it and in it; beside that, a year before."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Final

from msgspec import Struct

from evenwater.domain.fish.grown import weighings_of
from evenwater.domain.fish.length_weight import Z90, PondWeights
from evenwater.domain.fish.measures import Measured, measures_of
from evenwater.domain.fish.register import Fish
from evenwater.domain.fish.whereabouts import Whereabouts, whereabouts
from evenwater.domain.fold import Facts
from evenwater.domain.report.outlook import Section
from evenwater.domain.report.past import Past
from evenwater.domain.report.span import Span, short_day
from evenwater.domain.report.words import NONE, counted, mass_words, told_apart, year_name

LOOKS_BACK: Final = timedelta(days=400)
"""A length from longer before the span is no beginning of what grew in it. Our own."""
SHORTEST: Final = timedelta(days=21)
"""Under it the tape tells more than the fish. Our own."""


class Growth(Struct, frozen=True):
    """From one session to another: how much longer [cm], and half the band that holds it nine times in ten."""

    since: date
    on: date
    grown_cm: float
    half_cm: float

    def words(self) -> str:
        """ "+4.5 ± 0.9 cm since 12 Oct 2025"."""
        since = f"{short_day(self.since)} {self.since.year}"
        return f"{self.grown_cm:+.1f} ± {self.half_cm:.1f} cm since {since}"


def grown_in(told: Sequence[Measured], span: Span) -> Growth | None:
    """What a fish grew in a span: to its last length that counts there, from the last one before it.

    Without one before it, from its first in it. None where two lengths three weeks apart are not known.
    """
    counting = [one for one in told if one.counts and one.total_cm is not None]
    ends = next((one for one in reversed(counting) if span.holds(one.on)), None)
    if ends is None:
        return None
    begun = [one for one in counting if span.first - LOOKS_BACK <= one.on <= span.first]
    inside = [one for one in counting if span.holds(one.on)]
    starts = begun[-1] if begun else inside[0]
    if ends.on - starts.on < SHORTEST or ends.total_cm is None or starts.total_cm is None:
        return None
    half_cm = Z90 * (starts.sd_cm**2 + ends.sd_cm**2) ** 0.5
    return Growth(starts.on, ends.on, ends.total_cm - starts.total_cm, half_cm)


def fish_part(past: Past) -> Section:
    """A row for each fish that was in the pond in the span."""
    facts = Facts(one for one in past.known.facts if one.at <= past.now)
    fish = past.known.fish(past.span.last)
    where = whereabouts(fish, facts)
    told = measures_of(facts, frozenset(one.id for one in fish if one.count > 1))
    weights = PondWeights([one for of_fish in told.values() for one in weighings_of(of_fish)])
    here = [one for one in fish if was_here(where[one.id], past.pond.id, past.span)]
    rows = [_row(past, one, told.get(one.id, ()), weights) for one in here]
    measured = sum(row[1] != NONE for row in rows)
    heads = ("", "length", "weight", f"grew {year_name(past.span)}", f"grew {year_name(past.span.before)}")
    columns, told_rows = told_apart(heads, sorted(rows, key=lambda row: row[0].casefold()))
    return Section(
        id="fish",
        title="The fish",
        says=_says(here, measured, rows),
        columns=columns,
        rows=told_rows,
        unknown=_unknown(here, rows),
    )


def was_here(where: Whereabouts, pond: str, span: Span) -> bool:
    """Whether any of a fish was in a pond on a date of a span."""
    stays = [*where.stays, None]
    for stay, following in zip(where.stays, stays[1:], strict=True):
        begins = stay.since or date.min
        ends = following.since if following is not None and following.since is not None else date.max
        if stay.ponds.get(pond) and begins <= span.last and ends >= span.first:
            return True
    return False


def _says(here: Sequence[Fish], measured: int, rows: Sequence[tuple[str, ...]]) -> tuple[str, ...]:
    if not here:
        return ()
    count = sum(one.count for one in here)
    said = f"{counted(count, 'fish', 'fish')} of the register in this time; {measured} of {len(rows)} measured in it."
    if not measured:
        return (f"{counted(count, 'fish', 'fish')} of the register in this time.",)
    return (said, "Lengths with the tail fin; a weight that was not weighed is worked out from the length.")


def _unknown(here: Sequence[Fish], rows: Sequence[tuple[str, ...]]) -> tuple[str, ...]:
    if not here:
        return ("No fish of the register was here in this time.",)
    lacking = sorted(row[0] for row in rows if row[1] == NONE)
    if len(lacking) == len(rows):
        return ("None of them was measured in this time.",)
    return (f"Not measured in this time: {', '.join(lacking)}.",) if lacking else ()


def _row(past: Past, fish: Fish, told: Sequence[Measured], weights: PondWeights) -> tuple[str, ...]:
    span = past.span
    name = f"{fish.name} ({fish.count})" if fish.count > 1 else fish.name
    inside = [one for one in told if span.holds(one.on) and one.counts and one.total_cm is not None]
    if not inside:
        return name, NONE, NONE, NONE, NONE
    if fish.count > 1:
        of_day = [one.total_cm for one in inside if one.on == inside[-1].on and one.total_cm is not None]
        return name, f"{sum(of_day) / len(of_day):.1f} cm, mean of {len(of_day)}", NONE, NONE, NONE
    last = inside[-1]
    now, before = grown_in(told, span), grown_in(told, span.before)
    return (
        name,
        f"{last.total_cm:.1f} cm on {short_day(last.on)}",
        _weight(past, fish, last, weights),
        now.words() if now else NONE,
        before.words() if before else NONE,
    )


def _weight(past: Past, fish: Fish, last: Measured, weights: PondWeights) -> str:
    def say(mass_g: float) -> str:
        return mass_words(past.pond, mass_g)

    if last.weight_g is not None:
        return f"{say(last.weight_g)}, weighed"
    if last.total_cm is None:
        return NONE
    band = weights.weight(fish.id, last.total_cm, last.on, last.sd_cm)
    # Two figures: its band is a quarter of it.
    middle, low, high = (say(float(f"{one:.2g}")) for one in (band.middle, band.low, band.high))
    return f"about {middle} ({low} to {high})"
