"""What else the season asks for at this temperature: food, the biofilter, leaves."""

from datetime import date
from typing import Final

from evenwater.domain.keeper_units import level_words
from evenwater.domain.pond import Pond
from evenwater.domain.warmth.outlook import WarmthFinding

# Water below which [°C], and what is fed. Common practice, no source; bounded by FAO's account of common carp (feeding
# is active above 18 to 20 °C, practically stops under 8) and by Goolish & Adelman (1984).
_FOOD: Final = (
    (8.0, "nothing", "Under 8 °C the gut stands still: food is left and rots."),
    (12.0, "at most 3 g per kg of fish a day, easily digested, and not every day", "Digestion takes days now."),
    (15.0, "about 4 g per kg of fish a day", "Wheat-germ food; stop when they lose interest."),
    (18.0, "about 7 g per kg of fish a day", ""),
    (22.0, "10 to 15 g per kg of fish a day, in two portions", ""),
    (28.0, "15 to 20 g per kg of fish a day, in several portions", ""),
    (30.0, "less than usual", "Warm water holds little oxygen: more air, food in the cool of the morning."),
)
_HOT: Final = ("nothing", "Over 30 °C: more air and shade first.")
_SLOW_C: Final = 12.0
_LEAVES_MONTHS: Final = ((10, 11), (4, 5))


def care_findings(pond: Pond, water_c: float, today: date) -> list[WarmthFinding]:
    """What moves with the water's temperature [°C], and with the month."""
    found = [_food(pond, water_c)]
    southern = pond.latitude is not None and pond.latitude < 0
    if pond.cover is not None and today.month in _LEAVES_MONTHS[southern]:
        found.append(_leaves())
    return found


def _food(pond: Pond, water_c: float) -> WarmthFinding:
    much, why = next(((much, why) for below_c, much, why in _FOOD if water_c < below_c), _HOT)
    slow = " The biofilter works slowly at this temperature: after a warm spell test ammonia before feeding more."
    return WarmthFinding(
        id="food",
        section="care",
        title=f"Food at {level_words(pond, 'temperature_c', round(water_c, 1))}",
        big=f"{much[0].upper()}{much[1:]}",
        says=f"{why}{slow if water_c < _SLOW_C else ''}".strip() or "Common practice; go by what they finish.",
    )


def _leaves() -> WarmthFinding:
    return WarmthFinding(
        id="leaves",
        section="care",
        title="Leaves are falling",
        says="A net over the open pond by day keeps them out; off again before the covers go on, so that no wet net"
        " sags into the water under them. Leaves in the drum are half the flow.",
        cautions=("Tight at the edge: children, pets and hedgehogs get caught in a loose net.",),
    )
