"""The daily list through a real mail server: who gets it, when, and how often."""

from datetime import UTC, datetime
from uuid import UUID

import pytest
from house_by_post import ALARMS, DAY, HOUR, MARIT, MINUTE, SEVEN, TOVE, House
from post_office import html_of, text_of

from evenwater.storage.messages import messages_of


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
