"""The standing jobs a new household begins with, and the settings that make one."""

from typing import Final

from msgspec import to_builtins
from msgspec.structs import fields

from evenwater.domain.rounds.jobs import Setting
from evenwater.domain.rounds.starter.daily import BUFFER, COVER, HEATER
from evenwater.domain.rounds.starter.weekly import AGITATE
from evenwater.domain.standing_job import StandingJob

STARTER: Final = (COVER, BUFFER, HEATER, AGITATE)
"""What the app works out most about. The whole year is in starter/."""


def as_settings(job: StandingJob) -> list[Setting]:
    """The settings that make this standing job from nothing: each field that is not its default."""
    plain = StandingJob(id=job.id, pond=job.pond)
    return [
        Setting(f"job/{job.id}", field.encode_name, to_builtins(getattr(job, field.name)))
        for field in fields(job)
        if field.name not in {"id", "pond"} and getattr(job, field.name) != getattr(plain, field.name)
    ]
