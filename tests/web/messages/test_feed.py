"""The private calendar: made, read by its address alone, quiet while nothing changes, ended."""

from datetime import UTC, datetime

import pytest
from icalendar import Calendar
from kept_log import settle_pond, write_entry

from evenwater.domain.people import Person
from evenwater.storage.people import add_person, begin_session
from evenwater.web.access.gate import COOKIE
from evenwater.web.messages.feed_desk import READS_AT_ONCE, WRONG_AT_ONCE

COVERS = {
    "text": "Covers on",
    "windows": {"on": {"part": "dusk", "opens": "16:00", "closes": "17:40"}},
    "serious": True,
}


@pytest.fixture
async def pond(household):
    await settle_pond(household.database, zone="Europe/Berlin", name="The long pond")
    for number, (field, value) in enumerate(COVERS.items(), 200):
        await write_entry(household.database, number, target="job/cover", field=field, value=value)


@pytest.fixture
async def address(household, keeper, pond):
    """Its path, as a calendar program asks for it."""
    made = await keeper.post("/api/reach/feed", json={"rings": "serious"})
    assert made.status_code == 201, made.text
    return made.json()["url"].removeprefix("http://localhost")


@pytest.fixture
def program(household):
    """A calendar program: no session, no page of ours."""
    caller = household.caller(peer="192.0.2.7")
    del caller.headers["Origin"]
    return caller


async def test_a_calendar_is_shown_once_and_read_without_a_session(keeper, program, address):
    shown = (await keeper.get("/api/reach/feed")).json()["feed"]
    assert (shown["rings"], shown["last_read_at"]) == ("serious", None)
    assert address.startswith("/feed/") and address.endswith(".ics") and len(address) > 45
    answer = await program.get(address)
    assert (answer.status_code, answer.headers["content-type"]) == (200, "text/calendar; charset=utf-8")
    events = Calendar.from_ical(answer.content).walk("VEVENT")
    assert len(events) == 14
    assert {str(one["SUMMARY"]).removeprefix("Late: ") for one in events} == {"Covers on"}
    assert events[1].decoded("DTSTART") == datetime(2026, 11, 26, 15, tzinfo=UTC)
    assert (await keeper.get("/api/reach/feed")).json()["feed"]["last_read_at"] is not None


async def test_nobody_without_the_address_reads_it(program, keeper, address):
    for path in ("/feed/.ics", "/feed/none.ics", address.removesuffix(".ics"), address[:-5] + "x.ics", "/feed/a/b.ics"):
        answer = await program.get(path)
        assert answer.status_code == 404, path
    assert (await keeper.get("/feed/none.ics")).status_code == 404


async def test_what_has_not_changed_is_not_sent_again(household, program, address):
    first = await program.get(address)
    household.later(minutes=5)
    again = await program.get(address)
    assert (again.content, again.headers["etag"]) == (first.content, first.headers["etag"])
    asked = {"If-None-Match": f'"other", {first.headers["etag"]}'}
    same = await program.get(address, headers=asked)
    assert (same.status_code, same.content, same.headers["etag"]) == (304, b"", first.headers["etag"])


async def test_a_job_that_changes_changes_the_calendar_and_when_it_says_it_did(household, program, address):
    first = await program.get(address)
    household.later(minutes=5)
    await write_entry(household.database, 300, target="job/cover", field="text", value="Lids on")
    after = await program.get(address, headers={"If-None-Match": first.headers["etag"]})
    assert after.status_code == 200
    event = Calendar.from_ical(after.content).walk("VEVENT")[1]
    assert str(event["SUMMARY"]) == "Lids on"
    assert event.decoded("DTSTAMP") == household.now.replace(microsecond=0)


async def test_a_program_that_asks_every_minute_is_answered_and_one_that_never_stops_is_told_to_wait(
    household, program, address
):
    for _ in range(60):
        household.later(minutes=1)
        assert (await program.get(address)).status_code == 200
    household.later(minutes=10)
    statuses = [(await program.get(address)).status_code for _ in range(READS_AT_ONCE + 2)]
    assert statuses == [200] * READS_AT_ONCE + [429] * 2
    answer = await program.get(address)
    household.later(seconds=int(answer.headers["retry-after"]))
    assert (await program.get(address)).status_code == 200


async def test_guessing_is_slowed_down_and_keeps_nobody_else_out(household, program, address):
    statuses = [(await program.get(f"/feed/guess{number}.ics")).status_code for number in range(WRONG_AT_ONCE + 1)]
    assert statuses == [404] * WRONG_AT_ONCE + [429]
    assert (await program.get(address)).status_code == 200


async def test_a_new_address_ends_the_old_and_an_ended_one_opens_nothing(keeper, program, address):
    made = (await keeper.post("/api/reach/feed", json={})).json()["url"].removeprefix("http://localhost")
    assert ((await program.get(address)).status_code, (await program.get(made)).status_code) == (404, 200)
    assert (await keeper.delete("/api/reach/feed")).status_code == 204
    assert (await program.get(made)).status_code == 404
    assert (await keeper.get("/api/reach/feed")).json() == {"feed": None}
    assert (await keeper.delete("/api/reach/feed")).status_code == 404
    assert (await keeper.put("/api/reach/feed", json={"rings": "none"})).status_code == 404


async def test_what_rings_can_be_changed_without_a_new_address(keeper, program, address):
    rings = {}
    for which in ("none", "each", "serious"):
        assert (await keeper.put("/api/reach/feed", json={"rings": which})).json()["feed"]["rings"] == which
        calendar = Calendar.from_ical((await program.get(address)).content)
        rings[which] = len(calendar.walk("VALARM"))
    assert rings["none"] == 0 < rings["each"] == rings["serious"]


async def test_each_person_has_a_calendar_of_their_own(household, keeper, address):
    ivo = Person("0f1d2c1e-6f5b-4c3d-8e9f-001122334455", "Ivo", household.now)
    assert await add_person(household.database, ivo, "hash")
    await begin_session(household.database, ivo.id, "ivos", "Ivo's phone", "i" * 43, household.now, "ivos-session")
    caller = household.caller()
    caller.cookies.set(COOKIE, "i" * 43, domain="localhost.local", path="/")
    assert (await caller.get("/api/reach/feed")).json() == {"feed": None}
    made = (await caller.post("/api/reach/feed", json={})).json()["url"].removeprefix("http://localhost")
    assert ivo.id.encode() in (await caller.get(made)).content
    assert (await keeper.get(address)).status_code == 200


@pytest.mark.parametrize("wrong", [{"rings": "all"}, {"rings": None}, {"more": 1}, [], "x"])
async def test_what_cannot_be_asked_for_is_refused(keeper, wrong):
    answer = await keeper.post("/api/reach/feed", json=wrong)
    assert (answer.status_code, answer.json()["code"]) == (400, "not_right")


async def test_links_and_addresses_say_the_public_name_when_there_is_one(make_household):
    household = await make_household(public_url="https://pond.example/", public_names=("pond.example",))
    keeper = await household.settle()
    await settle_pond(household.database, zone="Europe/Berlin")
    made = (await keeper.post("/api/reach/feed", json={})).json()
    assert made["url"].startswith("https://pond.example/feed/") and made["from_anywhere"]


async def test_a_calendar_made_at_the_servers_own_screen_has_an_address_phones_can_reach(make_household):
    household = await make_household(public_names=("koi.example",))
    keeper = await household.settle()
    await settle_pond(household.database, zone="Europe/Berlin")
    made = (await keeper.post("/api/reach/feed", json={})).json()
    assert made["url"].startswith("http://koi.example:8420/feed/")
