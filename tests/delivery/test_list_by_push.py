"""The daily list as a notification: through a real push service to the one browser that can read it."""

from collections.abc import AsyncIterator
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

import pytest
from kept_log import settle_pond, write_entry
from push_service import HOST, Browser, PushService
from written_log import starter

from evenwater.delivery.clock import DeliveryClock
from evenwater.delivery.send.push import PushCarrier
from evenwater.domain.messages import Reach
from evenwater.domain.people import Person
from evenwater.domain.rounds.standing_jobs import as_settings
from evenwater.settings import Settings
from evenwater.storage.database import Database
from evenwater.storage.people import add_person, begin_session
from evenwater.storage.push import Subscription, keep_subscription, subscriptions
from evenwater.storage.reach import keep_reach
from evenwater.storage.vapid_key import vapid_key
from evenwater.web.plans.planning import Planner

SEVEN = datetime(2026, 11, 24, 6, tzinfo=UTC)  # in Berlin
MINUTE = timedelta(minutes=1)
MARIT = str(UUID(int=2))


class House:
    """A household with a pond and one keeper, who has the list on her phone and no e-mail."""

    def __init__(self, database: Database, settings: Settings, service: PushService) -> None:
        self.database, self.settings, self.service, self.now = database, settings, service, SEVEN
        self.planner, self.browser = Planner(database), Browser()
        self.clock = self.restarted()

    def restarted(self) -> DeliveryClock:
        """What a server has that has just started."""
        key, service = vapid_key(self.settings.secrets), self.service
        carrier = PushCarrier(
            self.database, key, "https://pond.example", lambda: self.now, service.resolve, service.trust
        )
        return DeliveryClock(self.database, self.planner.plan_and_facts, {"push": carrier}, lambda: self.now)

    async def look(self, at: datetime) -> list[dict[str, Any]]:
        """Let the clock look at that moment; what the browser was sent since."""
        self.now, before = at, len(self.service.calls)
        await self.clock.look()
        return [self.browser.read(body) for _, _, body in self.service.calls[before:]]


@pytest.fixture
async def house(database: Database, settings: Settings, tmp_path: Any) -> AsyncIterator[House]:
    async with PushService(tmp_path / "push").running() as service:
        made = House(database, settings, service)
        await add_person(database, Person(MARIT, "Marit", SEVEN), "hash")
        await begin_session(database, MARIT, "phone", "Marit's phone", "t", SEVEN - timedelta(days=1), "s")
        await keep_reach(database, Reach(person=MARIT, zone="Europe/Berlin", list_at="07:00"), SEVEN)
        keys = {"p256dh": made.browser.p256dh, "auth": made.browser.auth}
        one = {"id": "one", "person_id": MARIT, "device": "phone", "endpoint": f"https://{HOST}/send/1"}
        await keep_subscription(database, Subscription(**one, **keys, made_at=SEVEN))
        await settle_pond(database, zone="Europe/Berlin", volume_l=20_000, capful_g=25)
        for number, setting in enumerate(as_settings(starter("cover")), 300):
            field, value = setting.field, setting.value
            await write_entry(database, number, target="job/cover", field=field, value=value)
        yield made


async def test_the_list_comes_at_its_hour_once_even_when_the_server_starts_anew(house: House) -> None:
    assert await house.look(SEVEN - MINUTE) == []
    (shown,) = await house.look(SEVEN)
    assert shown["title"] == "Tuesday's round: 2 jobs, 6 min"
    assert shown["body"].startswith("Tuesday 24 November: 2 jobs") and "Covers on" in shown["body"]
    assert shown["link"] == "/round" and "on_it" not in shown
    house.clock = house.restarted()
    assert await house.look(SEVEN + MINUTE) == []
    assert len(await house.look(SEVEN + timedelta(days=1))) == 1


async def test_a_busy_service_is_asked_again_when_it_said(house: House) -> None:
    house.service.answers = [(429, {"Retry-After": "900"}), (201, {})]
    first = await house.look(SEVEN)
    assert await house.look(SEVEN + 14 * MINUTE) == []
    again = await house.look(SEVEN + 16 * MINUTE)
    assert [one["tag"] for one in first] == [one["tag"] for one in again] and len(again) == 1


async def test_a_browser_that_is_gone_is_told_of_in_the_app_and_asked_no_more(house: House) -> None:
    house.service.answers = [(410, {})]
    await house.look(SEVEN)
    assert await subscriptions(house.database, house.now) == []
    plan = await house.planner.plan(house.now + MINUTE)
    (notice,) = [one for one in plan.notices if one.what == "not_sent"]
    assert "Marit's phone takes no notifications any more" in notice.text and notice.people == (MARIT,)
    house.service.answers = [(201, {})]
    assert await house.look(SEVEN + timedelta(days=1)) == []
