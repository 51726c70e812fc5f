"""The daily list and alarms through a real mail server, by a clock set by hand: who gets what, when, and how often."""

import asyncio
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

import pytest
from kept_log import settle_pond, write_entry
from post_office import PostOffice, html_of, link_of, text_of
from written_log import starter

from evenwater.delivery.clock import DeliveryClock
from evenwater.delivery.send.email import email_carrier
from evenwater.domain.messages import Reach
from evenwater.domain.people import Person
from evenwater.domain.rounds.standing_jobs import as_settings
from evenwater.settings import Smtp
from evenwater.storage.alarms import open_alarms, take_on
from evenwater.storage.database import Database
from evenwater.storage.messages import messages_of, way_out
from evenwater.storage.people import add_person
from evenwater.storage.reach import keep_reach
from evenwater.web.planning import Planner

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


@pytest.fixture
def office() -> Iterator[PostOffice]:
    with PostOffice().open() as opened:
        yield opened


@pytest.fixture
async def house(database: Database, office: PostOffice) -> AsyncIterator[House]:
    for number, (person, name) in enumerate(((MARIT, "Marit"), (TOVE, "Tove"))):
        await add_person(database, Person(person, name, SEVEN + number * MINUTE), "hash")
    about = {"zone": "Europe/Berlin", "latitude": 52.5, "longitude": 13.4, "volume_l": 20_000, "capful_g": 27}
    await settle_pond(database, name="Long pond", ring=[{"name": "Vet", "tel": "+49 30 1"}], **about)
    made = House(database, office)
    await made.job("cover")
    yield made


async def test_the_list_comes_at_its_hour_once_with_the_jobs_of_the_app(house: House) -> None:
    await house.job("buffer")
    house.now = SEVEN - 2 * HOUR
    await house.write("reading", quantity="kh_dkh", value=4.5, step=0.5)
    await house.reach()
    assert await house.look(SEVEN - MINUTE) == []
    assert await house.look(SEVEN) == ["Tuesday's round: 3 jobs, 10 min"]
    for minutes in (0, 1, 60, 359):
        assert await house.look(SEVEN + minutes * MINUTE) == []
    (letter,) = house.office.taken
    plan, _ = await house.planner.plan_and_facts(SEVEN)
    text, html = text_of(letter), html_of(letter)
    for job in plan.days[0].jobs:
        assert job.text in text and job.text in html
        assert job.reason in text
    assert await house.look(SEVEN + DAY) == ["Wednesday's round: 3 jobs, 10 min"]


async def test_a_server_that_restarts_sends_no_second_list_and_one_that_was_down_sends_it_late(house: House) -> None:
    await house.reach()
    assert len(await house.look(SEVEN)) == 1
    house.clock = house.restarted()
    assert await house.look(SEVEN + MINUTE) == []
    house.clock = house.restarted()
    assert len(await house.look(SEVEN + DAY + 5 * HOUR)) == 1
    house.clock = house.restarted()
    assert await house.look(SEVEN + 2 * DAY + 7 * HOUR) == []


async def test_each_has_their_own_hour_and_zone_and_switch(house: House) -> None:
    await house.reach()
    await house.reach(TOVE, zone="America/New_York", list_at="06:30")
    await house.look(SEVEN)
    assert house.office.to == ["marit@example.org"]
    await house.look(SEVEN + 5.5 * HOUR)
    assert house.office.to == ["marit@example.org", "tove@example.org"]
    await house.reach(TOVE, list_at="07:00", email_list=False)
    await house.reach(MARIT, list_at=None)
    await house.look(SEVEN + DAY)
    assert len(house.office.to) == 2


@pytest.mark.parametrize("night", [datetime(2026, 10, 24, 20, tzinfo=UTC), datetime(2027, 3, 27, 20, tzinfo=UTC)])
async def test_in_the_night_the_clocks_change_each_date_has_its_list_once(house: House, night: datetime) -> None:
    await house.reach(list_at="02:30")
    for half_hours in range(0, 24, 1):
        await house.look(night + half_hours * HOUR / 2)
    (letter,) = house.office.taken
    assert letter["Date"].datetime == night + (4.5 if night.month == 10 else 5) * HOUR


async def test_a_dose_given_twice_is_told_to_both_who_gave_it_once_and_to_nobody_else(house: House) -> None:
    await house.job("buffer")
    for person in (MARIT, TOVE):
        await house.reach(person, **ALARMS)
    house.now = SEVEN + 11 * HOUR
    dose = {"standing_job": "buffer", "due_on": "2026-11-24", "slot": "dusk", "amount_g": 60}
    await house.write("tick", **dose, substance="sodium_bicarbonate")
    await house.write("tick", **dose, substance="sodium_bicarbonate", author=TOVE, device=str(UUID(int=9)))
    for minutes in (0, 1, 30, 120):
        await house.look(SEVEN + 11 * HOUR + minutes * MINUTE)
    doubles = [one for one in house.office.taken if "twice" in text_of(one).lower()]
    assert sorted(str(one["To"]) for one in doubles) == ["marit@example.org", "tove@example.org"]


async def test_what_people_wrote_is_words_in_the_letter_and_no_markup(house: House) -> None:
    evil = '<img src=x onerror="alert(1)">'
    await house.job("cover", name=f"Covers {evil}", place="<b>here</b>", cautions=[f"Mind {evil}"])
    await house.reach()
    await house.look(SEVEN)
    (letter,) = house.office.taken
    assert "<img" not in html_of(letter) and "<b>here" not in html_of(letter)
    assert "&lt;b&gt;here" in html_of(letter)
    assert "\n" not in str(letter["Subject"])


async def test_a_mail_server_that_is_down_is_told_in_the_app_and_mends_by_itself(house: House) -> None:
    await house.reach()
    house.office.stop()
    tried = []
    for minutes in range(90):
        before = [one.tries for one in await messages_of(house.database, MARIT)]
        await house.look(SEVEN + minutes * MINUTE)
        if before != [one.tries for one in await messages_of(house.database, MARIT)]:
            tried.append(minutes)
    assert tried == [0, 1, 6, 21, 81]
    plan = await house.planner.plan(house.now)
    (notice,) = [one for one in plan.notices if one.what == "not_sent"]
    assert notice.people == (MARIT,)
    assert notice.text == (
        "“Tuesday's round: 2 jobs, 6 min” was not sent by e-mail: the mail server cannot be reached."
        " It is tried again by itself."
    )
    house.office.start()
    assert await house.look(SEVEN + 141 * MINUTE) == ["Tuesday's round: 2 jobs, 6 min"]
    assert [one for one in (await house.planner.plan(house.now)).notices if one.what == "not_sent"] == []


async def test_an_address_that_is_refused_for_good_is_given_up_at_once_and_said(house: House) -> None:
    await house.reach()
    house.office.refuse_to = "550 no such box"
    await house.look(SEVEN)
    house.office.refuse_to = ""
    assert await house.look(SEVEN + 5 * HOUR) == []
    (notice,) = [one for one in (await house.planner.plan(house.now)).notices if one.what == "not_sent"]
    assert "refuses the address (550). It is not tried again." in notice.text


async def test_a_list_that_cannot_go_is_given_up_after_a_day(house: House) -> None:
    await house.reach(quiet_from=None, quiet_to=None)
    house.office.refuse_data = "451 later"
    for hours in range(26):
        await house.look(SEVEN + hours * HOUR)
    states = {one.key.split("/")[2]: one.state for one in await messages_of(house.database, MARIT)}
    assert states["2026-11-24"] == "given_up" and states["2026-11-25"] == "waiting"


async def test_one_who_cannot_be_reached_holds_up_nobody(house: House) -> None:
    await house.reach(email="gone@nowhere.invalid\r\n")  # as no form would let it in
    await house.reach(TOVE)
    await house.look(SEVEN)
    assert house.office.to == ["tove@example.org"]


async def closes(house: House) -> datetime:
    plan = await house.planner.plan(SEVEN)
    return next(job.closes_at for job in plan.days[0].jobs if job.slot == "on")


async def tick(house: House, slot: str) -> str:
    return await house.write("tick", standing_job="cover", due_on="2026-11-24", slot=slot)


@pytest.fixture
async def dusk(house: House) -> datetime:
    """The covers came off in the morning, and should be on by now."""
    house.now = SEVEN + 3 * HOUR
    await tick(house, "off")
    return await closes(house)


async def test_a_serious_job_not_done_is_heard_of_by_the_one_on_duty_and_then_the_next_once_each(
    house: House, dusk: datetime
) -> None:
    await write_entry(house.database, 900, target="pond", field="on_duty", value=[TOVE, MARIT])
    for person in (MARIT, TOVE):
        await house.reach(person, **ALARMS)
    for minutes in range(0, 240, 2):
        await house.look(dusk + minutes * MINUTE)
    assert house.office.to == ["tove@example.org", "marit@example.org"]
    first, second = house.office.taken
    assert first["Subject"] == "Not done: Covers on"
    assert "If nobody is on it, Marit hears of it 30 minutes after you." in text_of(first)
    assert second["Date"].datetime - first["Date"].datetime == 30 * MINUTE
    notices = [one.text for one in (await house.planner.plan(house.now)).notices if one.what == "alarm"]
    assert len(notices) == 1 and "Tove was told at" in notices[0]


async def test_seen_i_am_on_it_keeps_the_next_one_from_hearing(house: House, dusk: datetime) -> None:
    for person in (MARIT, TOVE):
        await house.reach(person, **ALARMS)
    await house.look(dusk + 10 * MINUTE)
    (letter,) = house.office.taken
    token = link_of(letter, f"{BASE}/on-it/").rpartition("/")[2]
    way = await way_out(house.database, token)
    assert way is not None and way.person == MARIT
    await take_on(house.database, way.alarms[0], way.person, house.now)
    assert await house.look(dusk + 2 * HOUR) == []
    (notice,) = [one for one in (await house.planner.plan(house.now)).notices if one.what == "alarm"]
    assert "Marit is on it, since" in notice.text


async def test_a_job_done_in_time_or_within_the_grace_wakes_nobody(house: House, dusk: datetime) -> None:
    await house.reach(**ALARMS)
    await house.look(dusk + 9 * MINUTE)
    await tick(house, "on")
    for minutes in range(10, 120, 10):
        assert await house.look(dusk + minutes * MINUTE) == []


async def test_a_job_done_after_the_first_heard_is_over_for_the_next(house: House, dusk: datetime) -> None:
    for person in (MARIT, TOVE):
        await house.reach(person, **ALARMS)
    await house.look(dusk + 10 * MINUTE)
    house.now = dusk + 20 * MINUTE
    await tick(house, "on")
    assert await house.look(dusk + HOUR) == []
    assert (await house.planner.plan(house.now)).notices == ()


async def test_quiet_hours_hold_back_a_job_and_not_a_cry_for_help(house: House, dusk: datetime) -> None:
    await house.reach(TOVE, **ALARMS, quiet_from="17:00", quiet_to="21:00")
    assert await house.look(dusk + HOUR) == []
    house.now = dusk + 2 * HOUR
    await house.write("look", all_well=False, trouble="gasping", text="<b>all</b> of them")
    assert await house.look() == ["Fish gasping at the surface"]
    (letter,) = house.office.taken
    assert "More air at once" in text_of(letter) and "Vet: +49 30 1" in text_of(letter)
    assert "&lt;b&gt;all&lt;/b&gt; of them" in html_of(letter)
    assert await house.look(datetime(2026, 11, 24, 20, tzinfo=UTC)) == ["Not done: Covers on"]


async def test_what_was_late_in_quiet_hours_is_heard_of_when_they_end_though_the_round_has_dropped_it(
    house: House, dusk: datetime
) -> None:
    await house.reach(**ALARMS, quiet_from="16:00", quiet_to="06:30")
    heard = {minutes: new for minutes in range(0, 15 * 60, 10) if (new := await house.look(dusk + minutes * MINUTE))}
    (letter,) = house.office.taken
    assert list(heard.values()) == [["Not done: Covers on"]]
    assert 0 <= (letter["Date"].datetime - datetime(2026, 11, 25, 5, 30, tzinfo=UTC)).total_seconds() < 600
    assert "on Tuesday, and nobody has recorded that it was done." in text_of(letter)


@pytest.mark.parametrize(("hours", "due_on", "slot"), [(3, "2026-11-24", "on"), (11, "2026-11-25", "off")])
async def test_what_was_done_after_all_or_is_past_doing_is_not_told_in_the_morning(
    house: House, dusk: datetime, hours: int, due_on: str, slot: str
) -> None:
    await house.reach(**ALARMS, quiet_from="16:00", quiet_to="06:30")
    await house.look(dusk + HOUR)
    house.now = dusk + hours * HOUR
    await house.write("tick", standing_job="cover", due_on=due_on, slot=slot)
    for half_hours in range(2 * hours, 30):
        assert await house.look(dusk + half_hours * HOUR / 2) == []


async def test_what_was_told_before_midnight_is_over_with_its_day(house: House, dusk: datetime) -> None:
    await house.reach(**ALARMS)
    await house.look(dusk + HOUR)
    await house.look(dusk + 12 * HOUR)
    assert (await house.planner.plan(house.now)).notices == ()


@pytest.fixture
async def three_late(house: House, dusk: datetime) -> datetime:
    """Three jobs that matter, all late by now; two keepers hear of such."""
    for number in (1, 2):
        for one in as_settings(starter("cover")):
            await house.write("set", target=f"job/lid-{number}", field=one.field, value=one.value)
        await house.write("tick", standing_job=f"lid-{number}", due_on="2026-11-24", slot="off")
    for person in (MARIT, TOVE):
        await house.reach(person, **ALARMS)
    return dusk


async def test_what_is_late_at_the_same_moment_comes_in_one_message_to_each(house: House, three_late: datetime) -> None:
    for minutes in range(0, 120, 5):
        await house.look(three_late + minutes * MINUTE)
    assert house.office.to == ["marit@example.org", "tove@example.org"]
    for letter in house.office.taken:
        assert str(letter["Subject"]).endswith(", and 2 more")
        assert text_of(letter).count("Not done: Covers on") == html_of(letter).count("Not done: Covers on</h1>") == 3
    assert text_of(house.office.taken[0]).count("Tove hears of it") == 1
    assert len([one for one in (await house.planner.plan(house.now)).notices if one.what == "alarm"]) == 3


async def test_i_am_on_it_answers_all_that_the_message_told(house: House, three_late: datetime) -> None:
    await house.look(three_late + 10 * MINUTE)
    (letter,) = house.office.taken
    way = await way_out(house.database, link_of(letter, f"{BASE}/on-it/").rpartition("/")[2])
    assert way is not None and len(set(way.alarms)) == 3
    for one in way.alarms:
        await take_on(house.database, one, way.person, house.now)
    assert await house.look(three_late + 2 * HOUR) == []


async def test_what_comes_later_is_told_without_what_was_told_before(house: House, three_late: datetime) -> None:
    await house.look(three_late + 10 * MINUTE)
    house.now = three_late + 15 * MINUTE
    await house.write("look", all_well=False, trouble="gasping", author=TOVE)
    assert await house.look() == ["Fish gasping at the surface"]
    assert "Not done" not in text_of(house.office.taken[-1])


async def test_who_reports_trouble_is_not_told_of_it(house: House) -> None:
    await house.reach(**ALARMS)
    await house.write("look", all_well=False, trouble="leak")
    assert await house.look() == []
    (notice,) = (await house.planner.plan(house.now)).notices
    assert notice.what == "helper" and "Water is low" in notice.text


@pytest.mark.parametrize("how", ["done", "on it"])
async def test_what_could_not_be_sent_is_not_sent_once_nobody_needs_to_hear_it(
    house: House, dusk: datetime, how: str
) -> None:
    await house.reach(**ALARMS)
    house.office.stop()
    await house.look(dusk + 10 * MINUTE)
    house.now = dusk + 20 * MINUTE
    if how == "done":
        await tick(house, "on")
    else:
        (one,) = await open_alarms(house.database)
        await take_on(house.database, one.id, TOVE, house.now)
    await house.clock.make()
    house.office.start()
    for minutes in range(30, 240, 15):
        assert await house.look(dusk + minutes * MINUTE) == []


async def test_a_restart_between_the_first_and_the_next_tells_nobody_twice(house: House, dusk: datetime) -> None:
    for person in (MARIT, TOVE):
        await house.reach(person, **ALARMS)
    for minutes in range(10, 120, 5):
        house.clock = house.restarted()
        await house.look(dusk + minutes * MINUTE)
    assert house.office.to == ["marit@example.org", "tove@example.org"]


@asynccontextmanager
async def running(clock: DeliveryClock) -> AsyncIterator[None]:
    task = asyncio.create_task(clock.run())
    try:
        yield
    finally:
        task.cancel()
        await asyncio.gather(task, return_exceptions=True)


async def test_left_to_itself_it_makes_and_carries_and_ends_when_told(house: House) -> None:
    await house.reach()
    async with running(house.clock):
        await asyncio.to_thread(house.office.wait_for, 1)
    assert len(house.office.taken) == 1


async def test_told_to_stop_while_the_mail_server_thinks_it_finishes_that_one(house: House) -> None:
    house.office.pause_s = 0.5
    await house.reach()
    async with running(house.clock):
        await asyncio.to_thread(house.office.wait_for, 1)
    (kept,) = await messages_of(house.database, MARIT)
    assert kept.state == "sent"
    house.clock = house.restarted()
    assert await house.look(SEVEN + MINUTE) == []
