"""What a helper's phone is given back, and when: its jobs, its days, its bags, and nothing else."""

from datetime import UTC, date, datetime, timedelta

from helper_phone import JO, KIM, hand_over, jobs_of, make_link, plan_of, use_phone

from evenwater.storage.helper_log import late_entries

FIRST = date(2026, 11, 24)  # the household's clock says 25 November, 17:02 UTC
BAG = {"amount_g": 60, "substance": "sodium_bicarbonate"}


async def test_the_plan_holds_the_days_that_are_left_and_their_jobs(jo, household):
    plan = await plan_of(jo, household.now)
    assert plan["dates"] == [str(FIRST + timedelta(days=day)) for day in range(1, 10)]
    today = jobs_of(plan, household.now.date())
    assert set(today) == {"cover", "feed", "buffer", "test-kh"}  # no salt: other doses are off
    assert (today["buffer"]["amount_g"], today["buffer"]["bag"], today["buffer"]["reason"]) == (60, 2, "Bag 2 of 10")
    assert (today["feed"]["feed_g"], today["feed"]["bag"]) == (40, 2)
    assert jobs_of(plan, FIRST + timedelta(days=9))["buffer"]["reason"] == "Bag 10 of 10"
    assert today["buffer"]["chart"] is None and today["buffer"]["workings"] is None


async def test_the_plan_names_nothing_of_the_household_that_is_not_needed(jo, household, writer):
    content = (await jo.call(now=household.now, want_plan=True)).text
    for word in ("Quarantine", '"other"', "0123 456", 'capful_g":27', '"volume_l":2', 'starter_groups":[{'):
        assert word not in content, content[max(0, content.find(word) - 80) : content.find(word) + 40]
    plan = await plan_of(jo, household.now)
    assert plan["person_names"] == {JO: "Jo"}
    for empty in ("water", "warmth", "book", "fish", "back", "starter", "starter_groups"):
        assert plan[empty] == [], empty
    assert [one["quantity"] for one in plan["quantities"]] == ["kh_dkh"]
    assert [one["name"] for one in plan["ring"]] == ["Marit"]


async def test_other_doses_come_when_the_keeper_switches_them_on(jo, household, writer):
    on = writer.entry("set", household.now, target="hand-over/autumn", field="other_doses", value=True)
    await writer.sync(on, now=household.now)
    assert "salt" in jobs_of(await plan_of(jo, household.now), household.now.date())


async def test_no_ceiling_is_no_food_and_no_buffer(jo, household, writer):
    none = writer.entry("set", household.now, target="hand-over/autumn", field="ceilings", value=[])
    await writer.sync(none, now=household.now)
    assert set(jobs_of(await plan_of(jo, household.now), household.now.date())) == {"cover", "test-kh"}
    more = jo.tick(household.now, "buffer", "dusk", amount_g=60.5, substance="sodium_bicarbonate")
    assert await jo.verdicts(more, now=household.now) == ["above_ceiling"]


async def test_a_helpers_cursor_beyond_the_log_begins_no_new_one(jo, household, writer):
    before = (await writer.sync(now=household.now))["epoch"]
    await jo.sync(now=household.now)
    beyond = await jo.sync(now=household.now, cursor=10_000_000)
    assert beyond["epoch"] == (await writer.sync(now=household.now))["epoch"] == before


async def test_what_is_here_already_is_answered_so_whatever_the_keeper_changed_since(jo, household, writer):
    now = household.now
    tick = jo.tick(now, "buffer", "dusk", **BAG)
    assert await jo.verdicts(tick, now=now) == ["accepted"]
    fewer = writer.entry("set", now, target="hand-over/autumn", field="jobs", value=["main/cover"])
    await writer.sync(fewer, now=now)
    assert await jo.verdicts(tick, now=now) == ["already_here"]


async def test_a_phone_whose_clock_is_a_day_wrong_is_placed_by_the_servers(jo, household):
    for wrong in (timedelta(days=1), timedelta(days=-1)):
        theirs = household.now + wrong
        told = await jo.sync(jo.tick(theirs, "cover", "on"), now=theirs)
        (verdict,) = told["verdicts"]
        assert (verdict["verdict"], verdict["placed_on"]) == ("accepted", "2026-11-25")
    household.later(days=9)  # over; a clock set back must not open it again
    theirs = household.now - timedelta(days=5)
    assert await jo.verdicts(jo.tick(theirs, "cover", "on"), now=theirs) == ["over"]


async def test_what_waited_on_the_phone_is_taken_for_a_week_and_marked(jo, household):
    at = household.now + timedelta(days=1)
    waited = [jo.tick(at, "cover", "on"), jo.tick(at, "buffer", "dusk", **BAG)]
    household.later(days=15)  # 10 December: seven days after the last
    assert await jo.verdicts(*waited, now=household.now) == ["accepted", "accepted"]
    assert await late_entries(household.database, "autumn") == sorted(one["id"] for one in waited)
    assert await jo.verdicts(waited[0], now=household.now) == ["already_here"]
    household.later(days=1)
    assert (await jo.call(jo.tick(at, "cover", "off"), now=household.now)).status_code == 401


async def test_a_keeper_revokes_while_the_phone_is_offline(jo, household, keeper):
    waited = jo.tick(household.now, "cover", "on")
    (link,) = (await keeper.get("/api/hand-overs/autumn/links")).json()
    await keeper.delete(f"/api/hand-overs/autumn/links/{link['id']}")
    refused = await jo.call(waited, now=household.now)
    assert (refused.status_code, refused.json()["code"]) == (401, "revoked")
    assert "stays on this phone" in refused.json()["right"]
    (count,) = next(
        iter(await household.database.reader.execute_fetchall("SELECT count(*) FROM entry WHERE kind = 'tick'"))
    )
    assert count == 0


async def test_an_entry_of_a_newer_app_is_not_kept_unjudged(jo, household):
    newer = {**jo.entry("note", household.now, text="x"), "v": 2, "more": 1}
    assert await jo.verdicts(newer, now=household.now) == ["not_for_helpers"]
    assert list(await household.database.reader.execute_fetchall("SELECT id FROM deferred_entry")) == []


async def test_an_entry_in_a_keepers_name_is_refused(jo, household, writer):
    forged = {**jo.tick(household.now, "cover", "on"), "author": writer.person}
    assert await jo.verdicts(forged, now=household.now) == ["not_sender"]


async def test_what_others_did_there_comes_back_and_nothing_else(jo, household, writer):
    now, day_before = household.now, datetime(2026, 11, 23, 12, tzinfo=UTC)
    shown = [
        writer.tick(now, "cover", "off"),
        writer.tick(now, "buffer", "dusk", **BAG),
        writer.entry("dose", now, amount_g=20, substance="sodium_bicarbonate"),
        writer.entry("feed", now, feed_g=10),
        writer.entry("look", now, all_well=True),
        writer.entry("water_running", day_before, running=True),
        writer.entry("power", now, pond="other", on=False),
    ]
    hidden = [
        writer.tick(now, "agitate", "midday"),
        writer.tick(day_before, "cover", "off"),
        writer.entry("look", now, pond="other", all_well=True),
        writer.entry("note", now, text="The key is under the pot"),
        writer.entry("reading", now, quantity="ph", value=7.4),
        writer.entry("change", now, text="New pump"),
        writer.tick(now, "cover", "off", pond="other"),
    ]
    back = writer.entry("take_back", now, entry=shown[0]["id"])
    hidden_back = writer.entry("take_back", now, entry=hidden[3]["id"])
    again = writer.entry("take_back", now, entry=back["id"])
    await writer.sync(*shown, *hidden, back, hidden_back, again, now=now)
    told = await jo.sync(now=now)
    assert {one["entry"]["id"] for one in told["entries"]} == {one["id"] for one in (*shown, back, again)}
    plan = await plan_of(jo, now)
    assert plan["person_names"] == {JO: "Jo", writer.person: "Aki"}
    assert (await jo.sync(now=now))["entries"] == []


async def test_their_own_notes_come_back_on_the_phone_the_link_moved_to(jo, household, keeper):
    note = jo.entry("note", household.now, text="One fish hides")
    await jo.sync(note, now=household.now)
    link = await make_link(keeper)
    fresh = await use_phone(household.caller(), link["secret"])
    told = await fresh.sync(now=household.now)
    assert [one["entry"]["id"] for one in told["entries"]] == [note["id"]]


async def test_the_keepers_are_told_who_helped(jo, household, writer):
    await jo.sync(jo.tick(household.now, "cover", "on"), now=household.now)
    plan = await plan_of(writer, household.now)
    assert plan["person_names"][JO] == "Jo"
    told = await writer.sync(now=household.now, cursor=0)
    assert JO in {one["entry"]["author"] for one in told["entries"]}


async def test_what_a_keeper_gave_today_holds_the_bag_back_on_the_phone_and_the_surplus_the_next(jo, household, writer):
    now = household.now
    await jo.sync(jo.tick(now, "buffer", "dusk", **BAG), now=now)
    extra = {"amount_g": 60, "substance": "sodium_bicarbonate"}
    await writer.sync(writer.entry("dose", now, **extra), now=now)
    household.later(days=1)
    buffer = jobs_of(await plan_of(jo, household.now), household.now.date())["buffer"]
    assert buffer["state"] == "held_back"
    assert buffer["reason"] == "More than a bag was given on Wed 25 Nov: this one stays shut."
    assert buffer["amount_g"] is None
    household.later(days=1)
    assert jobs_of(await plan_of(jo, household.now), household.now.date())["buffer"]["state"] == "open"


async def test_before_the_first_day_the_phone_has_the_trial_round_and_what_comes(household, writer, keeper):
    later = hand_over(writer, household.now, date(2026, 11, 26), 3, name="short", helpers=[{"id": KIM, "name": "Kim"}])
    await writer.sync(*later, now=household.now)
    kim = await use_phone(household.caller(), (await make_link(keeper, KIM, "short"))["secret"])
    plan = await plan_of(kim, household.now)
    assert plan["dates"] == ["2026-11-25", "2026-11-26", "2026-11-27", "2026-11-28"]
    assert jobs_of(plan, date(2026, 11, 26))["buffer"]["bag"] == 1
    assert await kim.verdicts(kim.tick(household.now, "cover", "on"), now=household.now) == ["rehearsal"]


async def test_a_day_only_the_helper_looked_at_is_kept_as_it_was_shown(jo, household, writer, keeper):
    household.later(days=2)
    await plan_of(jo, household.now)
    household.later(days=1)
    back = (await plan_of(writer, household.now))["back"]
    assert [day["date"] for day in back] == ["2026-11-27"]
    assert "cover" in {job["standing_job"] for job in back[0]["jobs"]}


async def test_weeks_before_the_first_day_the_phone_has_today_and_nothing_to_do(household, writer, keeper):
    later = hand_over(writer, household.now, date(2026, 12, 24), 3, name="winter")
    await writer.sync(*later, now=household.now)
    early = await use_phone(household.caller(), (await make_link(keeper, JO, "winter"))["secret"])
    plan = await plan_of(early, household.now)
    assert plan["dates"] == ["2026-11-25"] and plan["days"][0]["jobs"] == []
    assert plan["hand_overs"][0]["begins_on"] == "2026-12-24"


async def test_a_pond_that_is_closed_opens_nothing(jo, household, writer):
    gone = writer.entry("set", household.now, target="pond", field="closed", value=True)
    await writer.sync(gone, now=household.now)
    plan = await plan_of(jo, household.now)
    assert all(day["jobs"] == [] for day in plan["days"]) and plan["ponds"] == []
    assert await jo.verdicts(jo.tick(household.now, "cover", "on"), now=household.now) == ["not_for_helpers"]


async def test_the_printable_round_is_the_helpers_own(jo, household):
    page = (await jo.client.get("/print")).text
    assert "Covers" in page and "Heater setting" not in page and "Quarantine" not in page
    household.later(days=9)
    assert "type=password" in (await jo.client.get("/print")).text
