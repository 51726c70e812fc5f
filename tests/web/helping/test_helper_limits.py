"""What a helper's phone may add: of its jobs, on its days, never above a ceiling; and who hears of what was refused."""

import asyncio
from datetime import UTC, datetime, timedelta

import pytest
from helper_phone import jobs_of, plan_of

BAG = {"amount_g": 60, "substance": "sodium_bicarbonate"}


async def test_the_keepers_hear_of_a_dose_that_was_refused(jo, household, writer):
    now = household.now
    too_much = jo.tick(now, "buffer", "dusk", **BAG | {"amount_g": 90})
    assert await jo.verdicts(too_much, now=now) == ["above_ceiling"]
    (notice,) = (await plan_of(writer, now))["notices"]
    assert notice["text"].startswith("What Jo recorded on Wed 25 Nov at 17:02 was not taken: 90 g of buffer is more")
    assert "ask, and record it yourself" in notice["text"]
    assert (await plan_of(jo, now))["notices"] == [], "Jo's own phone shows it set aside already"
    assert await jo.verdicts(too_much, now=now) == ["above_ceiling"]
    assert await jo.verdicts(jo.tick(now, "feed", feed_g=41), now=now) == ["above_ceiling"]
    (notice,) = (await plan_of(writer, now))["notices"]
    assert "41 g of feed" in notice["text"] and "1 more of the last days was not taken either" in notice["text"]
    household.later(days=4)
    assert (await plan_of(writer, household.now))["notices"] == []


async def test_a_trial_round_and_a_flood_tell_nobody_more_than_they_must(jo, household, writer):
    now = household.now
    for _ in range(3):
        ticks = [jo.tick(now, "feed", feed_g=500 + count) for count in range(100)]
        assert set(await jo.verdicts(*ticks, now=now)) == {"above_ceiling"}
    (notice,) = (await plan_of(writer, now))["notices"]
    assert "199 more of the last days were not taken either" in notice["text"]


async def test_a_link_in_wrong_hands_fills_no_disk(jo, household, writer):
    now = household.now
    for _ in range(2):
        notes = [jo.entry("note", now, text="x" * 50) for _ in range(300)]
        answers = await jo.verdicts(*notes, now=now)
    assert answers == ["accepted"] * 200 + ["too_many"] * 100
    assert await writer.verdicts(writer.entry("note", now, text="Kim is busy"), now=now) == ["accepted"]
    household.later(days=1, minutes=1)
    tomorrow = jo.entry("note", household.now, text="All quiet")
    assert await jo.verdicts(tomorrow, now=household.now) == ["accepted"]


async def test_what_belongs_to_the_round_is_taken(jo, household):
    now = household.now
    entries = [
        jo.tick(now, "cover", "on"),
        jo.tick(now, "buffer", "dusk", **BAG),
        jo.tick(now, "feed", feed_g=40),
        jo.entry("not_done", now, standing_job="cover", due_on=str(now.date()), slot="off", reason="Too windy"),
        jo.entry("look", now, all_well=True),
        jo.entry("look", now, all_well=False, wrong=["fish"], trouble="gasping", text="At the surface"),
        jo.entry("note", now, text="<b>Lovely</b> fish"),
        jo.entry("water_running", now, running=True),
        jo.entry("power", now, on=False),
        jo.entry("reading", now, quantity="kh_dkh", value=4.5),
    ]
    assert await jo.verdicts(*entries, now=now) == ["accepted"] * len(entries)


REFUSED = {
    "a setting": ("set", {"target": "pond", "field": "volume_l", "value": 100_000}, "not_for_helpers"),
    "their own ceilings": ("set", {"target": "hand-over/autumn", "field": "jobs", "value": []}, "not_for_helpers"),
    "a dose": ("dose", {"substance": "sodium_bicarbonate", "amount_g": 5}, "not_for_helpers"),
    "food": ("feed", {"feed_g": 5}, "not_for_helpers"),
    "salt": ("salt", {"salt_g": 1000}, "not_for_helpers"),
    "a change": ("change", {"text": "New pump"}, "not_for_helpers"),
    "a reading nobody asked for": ("reading", {"quantity": "ph", "value": 7.5}, "not_for_helpers"),
    "a look at another pond": ("look", {"all_well": True, "pond": "other"}, "not_for_helpers"),
    "a look at a pond there is not": ("look", {"all_well": True, "pond": "none"}, "not_for_helpers"),
}


@pytest.mark.parametrize("name", REFUSED)
async def test_what_is_the_keepers_is_refused_with_what_would_be_right(jo, household, name):
    kind, fields, code = REFUSED[name]
    told = await jo.sync(jo.entry(kind, household.now, **fields), now=household.now)
    (verdict,) = told["verdicts"]
    assert (verdict["verdict"], verdict["code"]) == ("refused", code)
    assert verdict["right"] and verdict["where"]


async def test_something_wrong_and_a_note_are_taken_though_every_job_is_at_another_pond(jo, household, writer):
    now = household.now
    elsewhere = writer.entry("set", now, target="hand-over/autumn", field="jobs", value=["other/cover"])
    await writer.sync(elsewhere, now=now)
    cry = jo.entry("look", now, all_well=False, trouble="gasping")
    note = jo.entry("note", now, text="The gate was open")
    water = jo.entry("water_running", now, running=True)
    assert await jo.verdicts(cry, note, water, now=now) == ["accepted", "accepted", "not_for_helpers"]


TICKS = {
    "another's job": ({"job": "heater", "slot": "dusk"}, "not_for_helpers"),
    "a job with another dose": ({"job": "salt"}, "not_for_helpers"),
    "more buffer than a bag": ({"job": "buffer", "slot": "dusk", **BAG, "amount_g": 60.5}, "above_ceiling"),
    "more food than a bag": ({"job": "feed", "feed_g": 41}, "above_ceiling"),
    "buffer at the covers": ({"job": "cover", "slot": "on", **BAG, "amount_g": 1}, "not_for_helpers"),
    "another substance": (
        {"job": "buffer", "slot": "dusk", "amount_g": 5, "substance": "potassium_bicarbonate"},
        "not_for_helpers",
    ),
    "what is held back": ({"job": "cover", "slot": "on", "override_reason": "It looked fine"}, "not_for_helpers"),
    "a setting at the covers": ({"job": "cover", "slot": "on", "setting_c": 30}, "not_for_helpers"),
}


@pytest.mark.parametrize("name", TICKS)
async def test_a_tick_stays_within_job_and_ceiling(jo, household, name):
    fields, code = TICKS[name]
    assert await jo.verdicts(jo.tick(household.now, **fields), now=household.now) == [code]


async def test_a_ceiling_is_a_days_sum_and_what_was_taken_back_does_not_count(jo, household):
    now = household.now
    first, second, third = (jo.tick(now, "feed", slot, feed_g=20) for slot in ("day", "noon", "dusk"))
    assert await jo.verdicts(first, second, third, now=now) == ["accepted", "accepted", "above_ceiling"]
    gone = jo.entry("take_back", now, entry=second["id"])
    again = jo.tick(now, "feed", "dusk", feed_g=20)
    assert await jo.verdicts(gone, again, now=now) == ["accepted", "accepted"]
    tomorrow = now + timedelta(days=1)
    household.now = tomorrow
    assert await jo.verdicts(jo.tick(tomorrow, "feed", feed_g=40), now=tomorrow) == ["accepted"]


async def test_a_bag_weighed_before_the_ceiling_was_lowered_counts_all_the_same(jo, household, writer):
    now = household.now
    bag = jo.tick(now - timedelta(hours=1), "buffer", "dusk", **BAG)  # without signal
    less = [{"pond": "main", "feed_g_per_day": 10, "buffer_g_per_day": 20}]
    await writer.sync(writer.entry("set", now, target="hand-over/autumn", field="ceilings", value=less), now=now)
    assert await jo.verdicts(bag, now=now) == ["accepted"]
    another = jo.tick(now, "buffer", "dusk", amount_g=20, substance="sodium_bicarbonate")
    assert await jo.verdicts(another, now=now) == ["above_ceiling"]
    tomorrow = jobs_of(await plan_of(jo, now), now.date() + timedelta(days=1))
    assert (tomorrow["buffer"]["amount_g"], tomorrow["buffer"]["limit_g_24h"]) == (20, 20)


async def test_the_same_tick_twice_in_a_call_is_one(jo, household):
    tick = jo.tick(household.now, "feed", feed_g=40)
    assert await jo.verdicts(tick, tick, now=household.now) == ["accepted", "already_here"]


async def test_what_was_taken_back_does_not_come_back_beside_another_bag(jo, household):
    now = household.now
    first = jo.tick(now, "feed", feed_g=40)
    gone = jo.entry("take_back", now, entry=first["id"])
    second = jo.tick(now, "feed", "dusk", feed_g=40)
    again = jo.entry("take_back", now, entry=gone["id"])
    assert await jo.verdicts(first, gone, second, again, now=now) == ["accepted"] * 3 + ["not_for_helpers"]
    later = jo.entry("take_back", now, entry=gone["id"])
    assert await jo.verdicts(later, now=now) == ["not_for_helpers"]


async def test_two_calls_at_once_do_not_give_a_bag_twice(jo, household):
    now = household.now
    ticks = [jo.tick(now, "feed", f"slot{n}", feed_g=40) for n in range(4)]
    answers = await asyncio.gather(*(jo.call(one, now=now) for one in ticks))
    told = sorted(one.json()["verdicts"][0]["verdict"] for one in answers)
    assert told == ["accepted", "refused", "refused", "refused"]


async def test_only_what_is_theirs_and_of_the_same_day_is_taken_back(jo, household, writer):
    now = household.now
    theirs = writer.tick(now, "cover", "off")
    await writer.sync(theirs, now=now)
    mine = jo.tick(now, "cover", "on")
    assert await jo.verdicts(mine, jo.entry("take_back", now, entry=theirs["id"]), now=now) == [
        "accepted",
        "not_for_helpers",
    ]
    tomorrow = household.now = now + timedelta(days=1)
    late = jo.entry("take_back", tomorrow, entry=mine["id"])
    assert await jo.verdicts(late, now=tomorrow) == ["not_for_helpers"]


async def test_entries_of_other_days_are_refused(jo, household):
    before = jo.tick(datetime(2026, 11, 23, 12, tzinfo=UTC), "cover", "on")
    assert await jo.verdicts(before, now=household.now) == ["rehearsal"]
    household.later(days=9)
    after = jo.tick(household.now, "cover", "on")
    assert await jo.verdicts(after, now=household.now) == ["over"]
