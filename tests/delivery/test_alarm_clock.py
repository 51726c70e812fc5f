"""Alarms through a real mail server: who hears of what, in which order, and when no more."""

from datetime import UTC, datetime

import pytest
from house_by_post import ALARMS, BASE, HOUR, MARIT, MINUTE, SEVEN, TOVE, House
from kept_log import write_entry
from post_office import html_of, link_of, text_of
from written_log import starter

from evenwater.domain.rounds.standing_jobs import as_settings
from evenwater.storage.alarms import open_alarms, take_on
from evenwater.storage.messages import way_out


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
