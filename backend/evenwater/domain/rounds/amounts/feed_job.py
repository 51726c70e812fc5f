"""The feed job: how much today, or nothing, and why.

The keeper's usual food follows the fish (more or fewer since it was set) and, in spring, the steps; the water's warmth
draws the line above it. Nothing where it would do harm: cold water, a fast drop, water that is not right.
"""

from datetime import date, timedelta
from math import floor
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.fish.feed_steps import FeedStep
from evenwater.domain.fish.feeding import SOURCE, WATER_C, most_ration_fraction, usual_ration_fraction
from evenwater.domain.fish.stock import more_fish
from evenwater.domain.keeper_units import change_words, level_words
from evenwater.domain.rounds.held.care import WATER_GOOD_FOR, Care
from evenwater.domain.rounds.jobs import Job
from evenwater.domain.workings import Given, Step, Workings

FAST_DROP_K: Final = 3.0
"""A fall within a day after which nothing is fed for a day [K].

Hodkovicova et al. (2020) saw the gut of carp stand nearly still after 11 K; where it begins nobody fixed, so the line
is common practice. From two thirds of it on half is fed.
"""
HALF_DROP_K: Final = 2.0
_AFTER_DROP: Final = timedelta(hours=24)
_TOO_WARM_C: Final = 30.0
_STEPS_AHEAD_DAYS: Final = 30
_SAME_APPETITE: Final = 0.03
_WINTER_DAYS: Final = 7
"""So long under the floor it is winter: no food is no news any more [days]. Our own."""
_FAO = "FAO, common carp (AFFRIS): feeding practically stops under about 8 °C."
_DROP = "Hodkovicova et al. (2020), Vet. Med.-Czech 65:346-357; the line itself is common practice, no source."
_TESTS = "EPA 2013, EPA 1986 and Directive 2006/44/EC, as on the Water page."
_PRACTICE = "Common practice, no source."


class Hold(Struct, frozen=True):
    """Why not, and what that rests on."""

    reason: str
    source: str


def feed_job(job: Job, care: Care, portions: int) -> Job:
    """The job with its amount, held back, stood down or not known, each with why.

    Args:
        job: A job of shape "feed".
        care: Its pond as it stands.
        portions: How many jobs of that date the food is for, this one counted; 1 or more.
    """
    waiting = _not_yet(job, care)
    if waiting is not None:
        return replace(job, state="stood_down", reason=waiting)
    if care.water is None or care.now - care.water[0] > WATER_GOOD_FOR:
        return replace(job, state="not_known", reason=_no_temperature(care))
    if care.cold_days >= _WINTER_DAYS and care.water[1] < care.pond.feed_floor_c:
        floor_c = level_words(care.pond, "temperature_c", care.pond.feed_floor_c)
        return replace(
            job, state="stood_down", reason=f"Under {floor_c} for {care.cold_days} days: no food till it warms."
        )
    held = _hold(job, care, care.water[1])
    if held is not None:
        return replace(job, state="held_back", reason=held.reason, source=held.source)
    return _with_amount(job, care, care.water[1], portions)


def _not_yet(job: Job, care: Care) -> str | None:
    steps = care.pond.feed_steps
    if steps is None or not job.due_on < steps.starts_on <= job.due_on + timedelta(days=_STEPS_AHEAD_DAYS):
        return None
    return f"Feeding begins again on {_short(steps.starts_on)}, as you set."


def _no_temperature(care: Care) -> str:
    if care.water is None:
        return "Not known: the water's temperature. Measure it, then this says how much."
    return f"Not known: the water's temperature was last read {_short(care.water[0])}. Then this says how much."


def _hold(job: Job, care: Care, water_c: float) -> Hold | None:
    pond = care.pond
    water = f"Water is {level_words(pond, 'temperature_c', round(water_c, 1))}"
    if water_c < pond.feed_floor_c:
        floor_c = level_words(pond, "temperature_c", pond.feed_floor_c)
        return Hold(f"{water}, under {floor_c}: the gut stands still and food is left to rot.", _FAO)
    if water_c > _TOO_WARM_C:
        limit = level_words(pond, "temperature_c", _TOO_WARM_C)
        return Hold(f"{water}, over {limit}: more air and shade first.", _PRACTICE)
    drop = care.drop
    if drop is not None and drop.fell_k >= FAST_DROP_K and job.opens_at < drop.low_at + _AFTER_DROP:
        fell = change_words(pond, "temperature_c", drop.fell_k)
        return Hold(
            f"The water fell {fell} within a day: nothing until a day after, the gut nearly stands still.", _DROP
        )
    if care.outage is not None and care.outage.rinse and job.due_on == care.today:
        return Hold("The power was out today: nothing until filter and air have run for a day.", _PRACTICE)
    if care.poor and job.due_on <= care.today:
        said = ", ".join(f"{one.what} was {one.value:g} mg/L {_short(one.on)}" for one in care.poor)
        return Hold(f"{said[0].upper()}{said[1:]}: feed nothing until a test is back in range.", _TESTS)
    return None


def _with_amount(job: Job, care: Care, water_c: float, portions: int) -> Job:
    stock, usual_g = care.stock, care.pond.feed_g_per_day
    held_c = min(WATER_C[1], max(WATER_C[0], water_c))
    most_g = None if stock.mass_g is None else most_ration_fraction(held_c) * stock.mass_g
    if usual_g is None and stock.mass_g is None:
        return replace(job, reason="How much they usually get is not set, nor how much fish there is.")
    steps: list[Step] = []
    if usual_g is None:
        day_g = usual_ration_fraction(held_c) * (stock.mass_g or 0.0)
        steps.append(Step(f"share of body mass to begin with at {water_c:.1f} °C", f"{day_g:.0f} g a day"))
    else:
        day_g = usual_g * more_fish(stock, care.stock_then)
        steps.append(Step("usual food × fish now / fish when it was set", f"{day_g:.0f} g a day"))
    day_g = _by_appetite(day_g, care, steps)
    day_g = _by_step(day_g, care.step, steps)
    if _half(job, care):
        day_g /= 2
        steps.append(Step("half, after a fall of the water's temperature", f"{day_g:.0f} g a day"))
    if most_g is not None and day_g > most_g:
        day_g = most_g
        steps.append(Step(f"the most that mass of fish takes at {water_c:.1f} °C", f"{day_g:.0f} g a day"))
    left_g = max(0.0, day_g - care.fed_g) if job.due_on == care.today else day_g
    steps.append(Step(f"less what was given, in {portions} portion{'s' * (portions > 1)}", _grams(left_g / portions)))
    feed_g = _rounded(left_g / portions)
    job = replace(job, feed_g=feed_g, workings=_workings(care, water_c, steps, feed_g))
    if job.due_on == care.today and feed_g == 0 and care.fed_g > 0:
        return replace(job, state="stood_down", reason=f"{care.fed_g:g} g were given today: that is all of it.")
    return replace(job, reason=_why(job, care, water_c, capped=most_g is not None and day_g == most_g))


def _by_appetite(day_g: float, care: Care, steps: list[Step]) -> float:
    learned = care.appetite
    if learned is None or abs(learned.fraction - 1.0) < _SAME_APPETITE:
        return day_g
    eaten_g = day_g * learned.fraction
    steps.append(Step(f"what they ate of it on {learned.days} days lately: {learned.fraction:.0%}", _day(eaten_g)))
    return eaten_g


def _day(grams: float) -> str:
    return f"{grams:.0f} g a day"


def _by_step(day_g: float, step: FeedStep | None, steps: list[Step]) -> float:
    if step is None or step.fraction >= 1:
        return day_g
    stepped_g = day_g * step.fraction
    steps.append(Step(f"step {step.number} of {step.steps} in spring: {step.fraction:.0%}", f"{stepped_g:.0f} g a day"))
    return stepped_g


def _half(job: Job, care: Care) -> bool:
    drop = care.drop
    return drop is not None and HALF_DROP_K <= drop.fell_k < FAST_DROP_K and job.opens_at < drop.low_at + _AFTER_DROP


def _why(job: Job, care: Care, water_c: float, capped: bool) -> str:
    water = level_words(care.pond, "temperature_c", round(water_c, 1))
    step = care.step
    if _half(job, care) and care.drop is not None:
        fell = change_words(care.pond, "temperature_c", care.drop.fell_k)
        return f"Half: the water fell {fell} within a day."
    if step is not None and step.next_on is not None:
        where = f"Step {step.number} of {step.steps}, {step.fraction:.0%} of the usual"
        if step.waits_for is not None:
            return f"{where}; it stays: {step.waits_for}."
        return f"{where}; the next from {_short(step.next_on)} if TAN and nitrite are in range."
    if capped:
        return f"At {water} no more than this: what they leave rots."
    if care.appetite is not None and abs(care.appetite.fraction - 1.0) >= _SAME_APPETITE:
        return f"At {water}. {care.appetite.says()}"
    scale = more_fish(care.stock, care.stock_then)
    if abs(scale - 1.0) > 0.02:
        return f"At {water}; {scale:.0%} of the usual food, as there is {'more' if scale > 1 else 'less'} fish."
    return f"At {water}, the usual food; stop when they lose interest."


def _workings(care: Care, water_c: float, steps: list[Step], feed_g: float) -> Workings:
    pond, stock = care.pond, care.stock
    given = [
        Given("water temperature", round(water_c, 1), "°C", "reading"),
        Given("usual food", pond.feed_g_per_day if pond.feed_g_per_day is not None else "not set", "g/day", "pond"),
        Given("fish now", "not known" if stock.count is None else stock.count, "", "set, and moves since"),
        Given("mass of fish now", "not known" if stock.mass_g is None else round(stock.mass_g), "g", "the same"),
    ]
    return Workings(
        title="Food", inputs=tuple(given), steps=tuple(steps), result=_grams(feed_g), source=f"{SOURCE}; {_DROP}"
    )


def _rounded(grams: float) -> float:
    """Whole grams, from a hundred on in fives; down, for what is left rots."""
    unit = 5.0 if grams >= 100 else 1.0
    return floor(grams / unit + 1e-9) * unit


def _grams(grams: float) -> str:
    return f"{grams:.4g} g"


def _short(on: date) -> str:
    return f"{on:%a} {on.day} {on:%b}"
