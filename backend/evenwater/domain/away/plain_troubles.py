"""Something is wrong, for somebody who knows nothing of koi: the keepers' troubles, with steps that need no test, no
chemical and no judgement. Each ends in ringing. Common practice, no source.

The printed sheet says the same (frontend/plain-troubles.js); a test holds both to one wording.
"""

from evenwater.domain.rounds.jobs import Trouble

PLAIN_TROUBLES = (
    Trouble(
        "gasping",
        "Fish gasping at the surface",
        (
            "More air: switch on every air pump you were shown. Give no food.",
            "Is a tap or hose running into the pond? Shut it.",
            "Open the cover a hand's breadth, and ring.",
        ),
    ),
    Trouble(
        "power-out",
        "Power is out",
        (
            "Touch nothing wet and electrical. Give no food.",
            "Safety switch tripped? Set it once, with dry hands. If it trips again, leave it off.",
            "Switch on the battery air pump, if you were shown one. Ring within the hour: the fish run short of air.",
        ),
    ),
    Trouble(
        "power-back",
        "Power is back",
        (
            "Dry hands. Look: do the pumps run, does air bubble? What trips again stays off.",
            "Give no food today.",
            "Ring, and say how long it was out: a filter that stood still must be rinsed.",
        ),
    ),
    Trouble(
        "water-running",
        "Water was left running",
        (
            "Shut the tap. Give no food.",
            "Look at the fish: do they gasp, or dart about?",
            "Ring at once: much tap water harms them. Put nothing into the pond.",
        ),
    ),
    Trouble(
        "leak",
        "Water is low, or running away",
        (
            "Is a tap or hose open? Shut it.",
            "Mark the level and write down the time.",
            "Ring. Do not fill up from the tap: its chlorine kills fish.",
        ),
    ),
    Trouble(
        "chlorine-smell",
        "Smell of chlorine",
        (
            "Is a tap or hose running into the pond? Shut it.",
            "More air: switch on every air pump you were shown.",
            "Ring at once. Put nothing into the pond.",
        ),
    ),
    Trouble(
        "heater-off",
        "Heater off, water getting colder",
        (
            "Covers on. Give no food.",
            "Look at plug and safety switch only; open nothing.",
            "Ring. Never pour in hot water.",
        ),
    ),
)
