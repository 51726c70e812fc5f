"""Buffer given twice, over the wire: whoever gave it is told on their own phone, and the next dose counts both."""

from datetime import date, timedelta
from typing import Any

import httpx
import pytest
from helper_phone import JO, Writes, hand_over, make_link, pond_settings, use_phone

from evenwater.domain.people import Person
from evenwater.storage.people import add_person, begin_session
from evenwater.web.access.gate import COOKIE

DEVICE = "0a4d2c1e-6f5b-4c3d-8e9f-001122334455"
IVOS = "0c4d2c1e-6f5b-4c3d-8e9f-001122334455"
TODAY = date(2026, 11, 25)


def given(phone: Writes, at: Any, grams: float) -> dict[str, Any]:
    return phone.tick(at, "buffer", "dusk", amount_g=grams, substance="sodium_bicarbonate")


async def plan_of(phone: Writes, now: Any) -> dict[str, Any]:
    told = await phone.sync(now=now, want_plan=True)
    while told["plan"]["follows"]:
        told = await phone.sync(now=now, want_plan=True)
    return told["plan"]


def buffer_on(plan: dict[str, Any], on: date) -> dict[str, Any]:
    (day,) = [one for one in plan["days"] if one["date"] == on.isoformat()]
    (job,) = [one for one in day["jobs"] if one["standing_job"] == "buffer" and one["due_on"] == on.isoformat()]
    return job


@pytest.fixture
async def aki(household: Any, keeper: httpx.AsyncClient) -> Writes:
    """The keeper's phone; a pond that is tested each day, and a hand-over to Jo that began yesterday."""
    person = (await keeper.get("/api/start")).json()["person"]["id"]
    phone = Writes(keeper, person, DEVICE)
    at = household.now - timedelta(days=30)
    tests = [
        phone.entry("reading", household.now - timedelta(days=days), quantity="kh_dkh", value=4.5, step=0.5)
        for days in range(12, 0, -1)
    ]
    made = [*pond_settings(phone, at), *hand_over(phone, at, TODAY - timedelta(days=1)), *tests]
    assert set(await phone.verdicts(*made, now=household.now)) == {"accepted"}
    return phone


@pytest.fixture
async def ivo(household: Any, aki: Writes) -> Writes:
    """A family member with a sign-in of his own."""
    person = Person("0f1d2c1e-6f5b-4c3d-8e9f-001122334455", "Ivo", household.now)
    assert await add_person(household.database, person, "hash")
    await begin_session(household.database, person.id, IVOS, "Ivo's phone", "i" * 43, household.now, "ivos-session")
    caller = household.caller()
    caller.cookies.set(COOKIE, "i" * 43, domain="localhost.local", path="/")
    return Writes(caller, person.id, IVOS)


async def test_two_keepers_without_signal_are_both_told_when_the_second_comes_home(household, aki, ivo):
    first, second = household.now - timedelta(hours=2), household.now - timedelta(hours=1)
    assert (await plan_of(aki, household.now))["notices"] == []
    alone = await plan_of_after(aki, household, given(aki, first, 90))
    assert await ivo.verdicts(given(ivo, second, 75), now=household.now) == ["accepted"]
    for phone in (aki, ivo):
        plan = await plan_of(phone, household.now)
        (notice,) = plan["notices"]
        assert set(notice["people"]) == {aki.person, ivo.person}
        assert "Aki 90 g at 15:02, Ivo 75 g at 16:02" in notice["text"]
        tomorrow = buffer_on(plan, TODAY + timedelta(days=1))
        assert tomorrow["reason"].endswith("What was given twice is counted.")
        assert tomorrow["unrounded_g"] < buffer_on(alone, TODAY + timedelta(days=1))["unrounded_g"]


async def plan_of_after(phone: Writes, household: Any, *entries: dict[str, Any]) -> dict[str, Any]:
    assert set(await phone.verdicts(*entries, now=household.now)) == {"accepted"}
    return await plan_of(phone, household.now)


async def test_a_dose_taken_back_takes_the_notice_back_with_it(household, aki, ivo):
    at = household.now - timedelta(hours=1)
    second = given(ivo, at, 75)
    await aki.sync(given(aki, at, 90), now=household.now)
    await ivo.sync(second, now=household.now)
    assert len((await plan_of(aki, household.now))["notices"]) == 1
    await ivo.sync(ivo.entry("take_back", household.now, entry=second["id"]), now=household.now)
    assert (await plan_of(aki, household.now))["notices"] == []


@pytest.mark.parametrize("helper_first", [True, False])
async def test_a_neighbour_and_a_keeper_are_both_told_and_the_neighbour_s_next_bag_stays_shut(
    household, keeper, aki, helper_first
):
    jo = await use_phone(household.caller(), (await make_link(keeper))["secret"])
    assert (await plan_of(jo, household.now))["notices"] == []
    at = household.now - timedelta(minutes=50)
    ticks = [(jo, given(jo, at, 60)), (aki, given(aki, at + timedelta(minutes=20), 90))]
    for phone, tick in ticks if helper_first else reversed(ticks):
        assert await phone.verdicts(tick, now=household.now) == ["accepted"]
    for phone in (aki, jo):
        (notice,) = (await plan_of(phone, household.now))["notices"]
        assert set(notice["people"]) == {aki.person, JO}
        assert "Jo 60 g at 16:12, Aki 90 g at 16:32" in notice["text"]
    household.later(days=1)
    tomorrow = TODAY + timedelta(days=1)
    theirs = buffer_on(await plan_of(jo, household.now), tomorrow)
    assert theirs["state"] == "held_back" and "More than a bag was given on" in theirs["reason"]
    assert buffer_on(await plan_of(aki, household.now), tomorrow)["reason"].endswith("What was given twice is counted.")
