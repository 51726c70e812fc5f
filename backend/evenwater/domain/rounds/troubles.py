"""Something is wrong: the three first steps for each, then whom to ring. First aid only; no diagnosis, no medicines.

Common practice, no source, except where a line says otherwise.
"""

from evenwater.domain.rounds.jobs import Trouble

TROUBLES = (
    Trouble(
        "gasping",
        "Fish gasping at the surface",
        (
            "More air at once: every pump and stone you have. Stop feeding.",
            "Is water running in, or does it smell of chlorine? Shut the tap.",
            "Covers open a hand's breadth. Check that pump and filter run. Then test ammonia, nitrite and pH.",
        ),
    ),
    Trouble(
        "power-out",
        "Power is out",
        (
            "Air first: the battery air pump, or pour water from a bucket held high. No feed.",
            "Touch nothing wet and electrical. A residual-current device that trips again stays off.",
            "A filter without flow for over an hour or two: drain and rinse it before it runs into the pond again.",
        ),
    ),
    Trouble(
        "power-back",
        "Power is back",
        (
            "Dry hands: do air and pumps run? Look at flow and level. What trips again stays off.",
            "A filter that stood over an hour or two: its water to waste, rinse it in pond water, only then start it.",
            "Set clocks, time switch and thermostat right. No feed today; test TAN and nitrite tomorrow.",
        ),
    ),
    Trouble(
        "water-running",
        "Water was left running",
        (
            "Shut the tap. More air at once. Look at the fish: gasping, darting?",
            "Straight from the mains? Dechlorinator for the whole pond, by its label. Gloves; mix it with nothing.",
            "Test chlorine, temperature, KH; any colour of chlorine means act. No feed today, no buffer without a KH.",
        ),
    ),
    Trouble(
        "leak",
        "Water is low, or running away",
        (
            "Close the valves you know: drains first, then the return. Switch off a pump that draws air, at the plug.",
            "Shut the trickle only if it is what overflows. Refill slowly, dechlorinated, at the pond's temperature.",
            "Mark the level and the time, look again in an hour. Keep the air on.",
        ),
    ),
    Trouble(
        "chlorine-smell",
        "Smell of chlorine",
        (
            "Shut the tap. More air.",
            "Dechlorinator for the whole pond, by its label. Gloves; never mix it with anything.",
            "Test total chlorine in the pond; any colour means act. Watch the gills.",
        ),
    ),
    Trouble(
        "heater-off",
        "Heater off, water getting colder",
        (
            "Covers on, all of them. Trickle down to the least.",
            "Do not open or rewire anything: look at the plug, the residual-current device and the timer only.",
            "No hot water into the pond. Note the temperature each hour; feed nothing after a fast drop.",
        ),
    ),
)
