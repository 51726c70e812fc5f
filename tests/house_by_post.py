"""A household with a pond and two keepers who hear by a real mail server, by a clock set by hand."""

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

from kept_log import write_entry
from post_office import PostOffice
from written_log import starter

from evenwater.delivery.clock import DeliveryClock
from evenwater.delivery.send.email import email_carrier
from evenwater.domain.messages import Reach
from evenwater.domain.rounds.standing_jobs import as_settings
from evenwater.settings import Smtp
from evenwater.storage.database import Database
from evenwater.storage.reach import keep_reach
from evenwater.web.plans.planning import Planner

SEVEN = datetime(2026, 11, 24, 6, tzinfo=UTC)  # in Berlin
MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)
MARIT, TOVE = str(UUID(int=2)), str(UUID(int=3))  # what `kept_log` writes is Marit's
ALARMS: dict[str, Any] = {"list_at": None, "email_alarms": True}
BASE = "https://pond.example.org"


class House:
    """A household with a pond, two keepers, and a mail server."""

    def __init__(self, database: Database, office: PostOffice) -> None:
        self.database, self.office, self.now, self.numbers = database, office, SEVEN, iter(range(1000, 9000))
        self.planner = Planner(database)
        self.clock = self.restarted()

    def restarted(self) -> DeliveryClock:
        """What a server has that has just started."""
        smtp = Smtp(host="127.0.0.1", port=self.office.port, security="none", sender="pond@example.org")
        carriers: Any = {"email": email_carrier(smtp, lambda: None, BASE)}
        return DeliveryClock(self.database, self.planner.plan_and_facts, carriers, lambda: self.now)

    async def reach(self, person: str = MARIT, **more: Any) -> None:
        name = "marit" if person == MARIT else "tove"
        usual = {"zone": "Europe/Berlin", "list_at": "07:00", "email": f"{name}@example.org", "email_alarms": False}
        await keep_reach(self.database, Reach(person=person, **usual | more), self.now)

    async def job(self, job_id: str, **more: object) -> None:
        fields = {one.field: one.value for one in as_settings(starter(job_id))} | more
        for field, value in fields.items():
            await self.write("set", target=f"job/{job_id}", field=field, value=value)

    async def write(self, kind: str, **fields: Any) -> str:
        at = {"happened_at": self.now.isoformat(), "recorded_at": self.now.isoformat(), "zone": "Europe/Berlin"}
        day = {"local_date": (self.now + HOUR).date().isoformat()}
        return await write_entry(self.database, next(self.numbers), kind, placed_at=self.now, **at | day | fields)

    async def look(self, at: datetime | None = None) -> list[str]:
        """Let the clock look at that moment; the subjects of what came since."""
        self.now, before = at or self.now, len(self.office.taken)
        await self.clock.look()
        return [str(one["Subject"]) for one in self.office.taken[before:]]
