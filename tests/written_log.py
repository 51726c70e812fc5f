"""A log written by hand, for planning from."""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import msgspec

from evenwater.domain.fold import Seen, fold
from evenwater.domain.read_entries import read_entry
from evenwater.domain.rounds.jobs import Job, Plan
from evenwater.domain.rounds.plan import make_plan
from evenwater.domain.rounds.standing_jobs import STARTER, as_settings
from evenwater.domain.standing_job import StandingJob

NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
PERSON, DEVICE = str(UUID(int=2 << 64)), str(UUID(int=3 << 64))


class Log:
    """Entries in the order they were written, each confirmed."""

    def __init__(self) -> None:
        self.entries: list[Seen] = []

    def write(self, kind: str, at: datetime, *, pond: str = "main", zone: str = "UTC", **fields: object) -> Seen:
        number = len(self.entries) + 1
        stamp = at.isoformat()
        envelope = {"id": str(UUID(int=number)), "v": 1, "pond": pond, "kind": kind, "zone": zone}
        when = {"happened_at": stamp, "recorded_at": stamp, "local_date": at.date().isoformat()}
        entry = read_entry(msgspec.json.encode({**envelope, **when, "device": DEVICE, "author": PERSON, **fields}))
        self.entries.append(Seen(entry, number, at, at.date()))
        return self.entries[-1]

    def pond(self, *, pond: str = "main", **settings: object) -> None:
        """Settle a pond, as of always."""
        for field, value in ({"zone": "UTC"} | settings).items():
            self.write("set", NOW - timedelta(days=60), pond=pond, target="pond", field=field, value=value)

    def job(self, job: StandingJob, *, pond: str = "main", **changes: object) -> None:
        """Set up a standing job, with fields changed."""
        for setting in as_settings(job):
            if setting.field not in changes:
                self._set_job(job.id, setting.field, setting.value, pond)
        for field, value in changes.items():
            self._set_job(job.id, field, value, pond)

    def _set_job(self, job_id: str, field: str, value: object, pond: str) -> None:
        at = NOW - timedelta(days=60)
        self.write("set", at, pond=pond, target=f"job/{job_id}", field=field, value=msgspec.to_builtins(value))

    def kh(self, value: float, at: datetime) -> Seen:
        return self.write("reading", at, quantity="kh_dkh", value=value, step=0.5)

    def tick(self, job: str, due_on: date, slot: str, at: datetime, **more: object) -> Seen:
        return self.write("tick", at, standing_job=job, due_on=due_on.isoformat(), slot=slot, **more)

    def plan(self, now: datetime = NOW) -> Plan:
        return make_plan(fold(self.entries), len(self.entries), {}, now)


def starter(job_id: str) -> StandingJob:
    return next(job for job in STARTER if job.id == job_id)


def jobs_of(plan: Plan, day: int, standing_job: str) -> list[Job]:
    return [job for job in plan.days[day].jobs if job.standing_job == standing_job]
