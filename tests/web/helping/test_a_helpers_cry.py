"""A helper says that something is wrong: the keeper has it by mail, in quiet hours too, with who says it; and a day on
which a helper records nothing is told as well. Through the helper's own link and a real mail server."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import httpx
import pytest
from helper_phone import Writes, hand_over, make_link, pond_settings, use_phone
from post_office import PostOffice, html_of, text_of

from evenwater.delivery.clock import DeliveryClock
from evenwater.delivery.send.email import email_carrier
from evenwater.settings import Smtp

DEVICE = "0a4d2c1e-6f5b-4c3d-8e9f-001122334455"
DAY = timedelta(days=1)


@pytest.fixture
def office() -> Iterator[PostOffice]:
    with PostOffice().open() as opened:
        yield opened


@pytest.fixture
def clock(household: Any, office: PostOffice) -> DeliveryClock:
    smtp = Smtp(host="127.0.0.1", port=office.port, security="none", sender="pond@example.org")
    carriers: Any = {"email": email_carrier(smtp, lambda: None, "https://pond.example.org")}
    planner = household.app.state.planner
    return DeliveryClock(household.database, planner.plan_and_facts, carriers, lambda: household.now)


@pytest.fixture
async def jo(household: Any, keeper: httpx.AsyncClient) -> Writes:
    """Jo's phone, bound by the link of a hand-over that runs today; Aki is away, asleep, and reached by e-mail."""
    aki = Writes(keeper, (await keeper.get("/api/start")).json()["person"]["id"], DEVICE)
    made = [*pond_settings(aki, household.now), *hand_over(aki, household.now, household.now.date())]
    assert set(await aki.verdicts(*made, now=household.now)) == {"accepted"}
    reach = {"zone": "UTC", "email": "aki@pond.example", "quiet_from": "12:00", "quiet_to": "23:59"}
    assert (await keeper.put("/api/reach", json=reach)).status_code == 200
    link = await make_link(keeper)
    return await use_phone(household.caller(peer="10.0.0.9"), link["secret"])


async def test_a_helpers_cry_reaches_the_keeper_at_once_though_asleep(household, clock, office, jo):
    woken: list[bool] = []
    household.app.state.wake_delivery = lambda: woken.append(True)
    await jo.verdicts(jo.entry("look", household.now, all_well=True), now=household.now)
    assert woken == []
    cry = jo.entry("look", household.now, all_well=False, trouble="gasping", text="<b>All</b> of them\r\nBcc: x@y.z")
    assert await jo.verdicts(cry, now=household.now) == ["accepted"]
    assert woken == [True]
    await clock.look()
    (letter,) = office.taken
    assert (letter["To"], letter["Subject"]) == ("aki@pond.example", "Fish gasping at the surface")
    assert "Jo says so, at 17:02." in text_of(letter) and "More air at once" in text_of(letter)
    assert "&lt;b&gt;All&lt;/b&gt;" in html_of(letter) and letter["Bcc"] is None
    household.later(hours=2)
    await clock.look()
    assert len(office.taken) == 1


async def test_a_day_without_a_word_is_told_and_one_with_a_note_is_not(household, clock, office, jo, keeper):
    awake = {"zone": "UTC", "email": "aki@pond.example"}
    assert (await keeper.put("/api/reach", json=awake)).status_code == 200
    household.now = household.now.replace(hour=20, minute=30)
    await clock.look()
    silent = [one for one in office.taken if "Nothing recorded today" in text_of(one)]
    assert len(silent) == 1 and "Ring Jo: 0123 456" in text_of(silent[0])
    household.now += DAY
    note = jo.entry("note", household.now - timedelta(hours=9), text="All well")
    assert await jo.verdicts(note, now=household.now) == ["accepted"]
    await clock.look()
    assert len([one for one in office.taken if "Nothing recorded today" in text_of(one)]) == 1
