"""What a pond wants every day."""

from typing import Final

from evenwater.domain.rounds.amounts.dose_words import CAUTION, HOW_TO_DOSE
from evenwater.domain.rounds.starter.group import (
    EDGE,
    HOUSE,
    WATER,
    StarterGroup,
    asked,
    window,
)
from evenwater.domain.standing_job import EveryDay, StandingJob, Window

COVER: Final = StandingJob(
    id="cover",
    pond="",
    text="Covers",
    texts={"off": "Covers off", "on": "Covers on"},
    place=WATER,
    recur=EveryDay(),
    windows={
        "off": Window("morning", "dawn+00:30", "10:30"),
        "on": Window("dusk", "dusk-01:00", "dusk+00:45"),
    },
    serious=True,
    cautions=("Lift with two; wet covers are heavy and the edge is slippery. Never step on one.",),
    minutes=3,
    order=10,
)
BUFFER: Final = StandingJob(
    id="buffer",
    pond="",
    text="Buffer",
    place=WATER,
    recur=EveryDay(),
    windows={"dusk": Window("dusk", "dusk-02:00", "22:00")},
    after=("test-kh", "feed"),
    shape="dose",
    cautions=(CAUTION,),
    how=HOW_TO_DOSE,
    minutes=4,
    order=20,
)
HEATER: Final = StandingJob(
    id="heater",
    pond="",
    text="Heater setting",
    place=HOUSE,
    recur=EveryDay(),
    windows={"dusk": Window("dusk", "dusk-02:00", "22:00")},
    shape="setting",
    cautions=("Dry hands; the thermostat only. Anything behind a cover is for an electrician.",),
    minutes=1,
    order=30,
)

DAILY: Final = StarterGroup(
    "daily",
    "Every day",
    "Fish, warmth, food, buffer, covers.",
    (
        COVER,
        StandingJob(
            id="look",
            pond="",
            text="Look at the fish",
            place=WATER,
            windows=window("morning", "06:30", "11:00", "morning"),
            cautions=(EDGE,),
            why="They tell first: gasping, rubbing, one apart from the rest.",
            minutes=2,
            order=12,
        ),
        StandingJob(
            id="glance",
            pond="",
            text="Temperature, flow, air, level",
            place=HOUSE,
            asks=asked("temperature_c"),
            windows=window("morning", "06:30", "11:00", "morning"),
            how="Read the thermometer and write it down. Water runs everywhere, bubbles rise, the level stands.",
            why="A pump that stopped in the night is found before it kills.",
            minutes=2,
            order=200,
        ),
        StandingJob(
            id="feed",
            pond="",
            text="Feed",
            texts={"afternoon": "Feed again"},
            place=WATER,
            windows={
                "morning": Window("morning", "08:30", "11:30"),
                "afternoon": Window("midday", "14:00", "18:00"),
            },
            shape="feed",
            cautions=(EDGE,),
            how="A handful at a time. Stop when they slow down; take out what floats after five minutes.",
            why="As much as warmth and fish allow; what is left rots.",
            minutes=4,
            order=16,
        ),
        BUFFER,
        HEATER,
        StandingJob(
            id="last-look",
            pond="",
            text="Last look: taps shut, air on",
            place=HOUSE,
            windows=window("bedtime", "21:00", "23:45", "bedtime"),
            why="Water left running overnight kills a pond.",
            minutes=1,
            order=210,
        ),
    ),
)
