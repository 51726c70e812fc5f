"""The standing jobs a new household is offered."""

from msgspec import to_builtins
from msgspec.structs import fields

from evenwater.domain.rounds.dose_words import CAUTION, HOW_TO_DOSE
from evenwater.domain.rounds.jobs import Setting
from evenwater.domain.standing_job import AfterDone, EveryDay, StandingJob, Window

STARTER = (
    StandingJob(
        id="cover",
        pond="",
        text="Covers",
        texts={"off": "Covers off", "on": "Covers on"},
        place="At the water",
        recur=EveryDay(),
        windows={
            "off": Window("morning", "dawn+00:30", "dawn+03:00"),
            "on": Window("dusk", "dusk-01:00", "dusk+00:45"),
        },
        serious=True,
        cautions=("Lift with two; wet covers are heavy and the edge is slippery. Never step on one.",),
        minutes=3,
        order=10,
    ),
    StandingJob(
        id="buffer",
        pond="",
        text="Buffer",
        place="At the water",
        recur=EveryDay(),
        windows={"dusk": Window("dusk", "dusk-02:00", "22:00")},
        shape="dose",
        cautions=(CAUTION,),
        how=HOW_TO_DOSE,
        minutes=4,
        order=20,
    ),
    StandingJob(
        id="heater",
        pond="",
        text="Heater setting",
        place="Filter house",
        recur=EveryDay(),
        windows={"dusk": Window("dusk", "dusk-02:00", "22:00")},
        shape="setting",
        cautions=("Dry hands; the thermostat only. Anything behind a cover is for an electrician.",),
        minutes=1,
        order=30,
    ),
    StandingJob(
        id="agitate",
        pond="",
        text="Agitate the carbon cartridges",
        place="Filter house",
        recur=AfterDone(9),
        windows={"midday": Window("midday", "09:00", "17:00")},
        cautions=(
            "Shut the water and let the pressure off first. First water after it goes to waste, not to the pond.",
        ),
        minutes=10,
        order=40,
        service="carbon_agitated",
    ),
)


def as_settings(job: StandingJob) -> list[Setting]:
    """The settings that make this standing job from nothing: each field that is not its default."""
    plain = StandingJob(id=job.id, pond=job.pond)
    return [
        Setting(f"job/{job.id}", field.encode_name, to_builtins(getattr(job, field.name)))
        for field in fields(job)
        if field.name not in {"id", "pond"} and getattr(job, field.name) != getattr(plain, field.name)
    ]
