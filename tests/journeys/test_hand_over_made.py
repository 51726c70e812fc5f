"""A keeper hands over for ten days on the phone, part of it without signal; prints the sheet; reads on coming home."""

import json
import re
from collections.abc import Callable
from datetime import date, datetime, timedelta

import msgspec
import pytest
from journeys.hand_over_screen import (
    exported,
    fold,
    hand_over_made,
    helper_of,
    name_helper,
    other_hand_over,
    pages_of,
    ready_to_leave,
    setting,
    show_thing,
    told,
)
from journeys.home import Home
from journeys.household import EVENING, ZONE, Caller
from journeys.jobs_screen import Taps
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.photo_phone import photos_at
from journeys.round_screen import press, sync_line
from journeys.test_every_screen import AXE, RUN_AXE, check_narrow
from journeys.waiting import until
from playwright.sync_api import Page, expect

from evenwater.delivery.render.link_code import link_code
from evenwater.domain.away.hand_over import HandOver
from evenwater.domain.away.plain_troubles import PLAIN_TROUBLES

FIRST, LAST = date(2026, 11, 26), date(2026, 12, 5)


@pytest.fixture
def page(keeper: Caller, phone: Page) -> Page:
    """A phone that is signed in and ready for no signal, at a pond with food and buffer to give."""
    ready_to_leave(keeper)
    sign_in(phone)
    make_ready_for_no_signal(phone)
    return phone


def anybody_can_read_it(page: Page) -> None:
    """axe finds nothing, and nothing stands out to the side of a narrow phone."""
    page.evaluate(AXE.read_text(encoding="utf-8"))
    assert page.evaluate(RUN_AXE) == []
    check_narrow(page)


def at_home_on(home: Home, page: Page, now: datetime) -> None:
    """That moment, at home and on the phone."""
    home.clock.set(now)
    page.clock.set_system_time(now.timestamp())


def test_ten_days_are_handed_over_in_few_taps_without_signal(page: Page, keeper: Caller) -> None:
    page.goto("/book")
    taps = Taps(page)
    page.context.set_offline(True)
    taps.link("Hand-overs")
    taps.link("+ hand-over")
    name_helper(page, "Anna", "+49 30 23125 002")
    taps.on(page.get_by_text("Yes: this amount"))
    taps.button("Save")
    assert taps.count == 4
    main = page.get_by_role("main")
    expect(main).to_contain_text("begins in 2 days · Thu 26 Nov to Sat 5 Dec · 10 days · with Anna")
    expect(main).to_contain_text("at most 60 g of food a day")
    expect(main).to_contain_text(re.compile(r"capfuls? · \d+ g of buffer a day from KH 5 °dKH, confirmed 24 Nov"))
    expect(main).to_contain_text("Covers off, Covers on")
    expect(main).not_to_contain_text("Test KH")
    expect(main).to_contain_text("The hand-over has not reached home yet.")
    expect(page.get_by_role("button", name="Make the link")).to_be_disabled()
    page.context.set_offline(False)
    expect(sync_line(page)).to_contain_text("All sent")
    made = told(keeper)
    assert (made["begins_on"], made["ends_on"]) == (FIRST.isoformat(), LAST.isoformat())
    assert made["helpers"][0]["name"] == "Anna" and len(made["helpers"][0]["id"]) == 36
    assert set(made["jobs"]) == {f"long-pond/{one}" for one in ("cover", "heater", "feed", "buffer")}
    (ceiling,) = made["ceilings"]
    planned = keeper.job("buffer", day=1)["amount_g"]
    assert (ceiling["feed_g_per_day"], ceiling["buffer_g_per_day"]) == (60, planned)
    assert (ceiling["buffer_kh_dkh"], ceiling["confirmed_on"]) == (5, "2026-11-24")
    expect(page.get_by_role("button", name="Make the link")).to_be_enabled()


def test_things_are_shown_by_photo_without_signal_and_arrive(page: Page, keeper: Caller, home: Home) -> None:
    page.goto("/hand-overs?new")
    page.context.set_offline(True)
    name_helper(page, "Anna")
    page.get_by_text("Yes: this amount").tap()
    show_thing(page, 1, "grey box beside the door")
    press(page, "Save")
    expect(page.get_by_role("heading", name="What they are given")).to_be_visible()
    page.context.set_offline(False)
    until(lambda: len(photos_at(home)) == 1, "the photo is at home", page)
    until(lambda: told(keeper).get("shown"), "so is what it shows, by a lane of its own", page)
    shown = told(keeper)["shown"]
    assert shown[0]["where"] == "grey box beside the door"
    assert [shown[0]["photo"]] == photos_at(home)
    expect(page.get_by_role("main")).to_contain_text("No photo yet: stopcock of the water, food.")


def test_the_link_is_made_shown_once_printed_and_ended(page: Page, keeper: Caller) -> None:
    hand_over = hand_over_made(page)
    press(page, "Make the link")
    code = page.get_by_role("img", name="Code to scan: the link of Anna")
    expect(code).to_be_visible()
    url = page.locator("code.secret").inner_text()
    assert re.fullmatch(rf"{re.escape(keeper.url)}/h#[\w-]{{22,}}", url)
    assert code.locator("path").get_attribute("d") == link_code(url).path
    expect(page.get_by_text("Once opened it works without signal")).to_be_visible()
    page.get_by_role("link", name="Print the sheet").tap()
    sheet = page.get_by_role("article", name="The printed sheet")
    expect(sheet).to_contain_text("For Anna, from Marit · Thu 26 Nov to Sat 5 Dec, 10 days")
    expect(sheet).to_contain_text("In doubt: do nothing, and ring.")
    expect(sheet).to_contain_text("+49 30 23125 001")
    expect(sheet).to_contain_text(url)
    expect(sheet).to_contain_text("The food bag with the day's number, never more")
    expect(sheet.get_by_role("row")).to_have_count(11)
    expect(sheet.get_by_role("row", name=re.compile("^Sat 5 Dec"))).to_contain_text("10 (60 g)")
    expect(sheet.get_by_role("heading", name="Power is out")).to_be_visible()
    for paper in ("A4", "Letter"):
        assert 1 <= pages_of(page.pdf(format=paper)) <= 2, paper
    page.emulate_media(media="print")
    expect(page.get_by_role("button", name="Print")).to_be_hidden()
    expect(page.get_by_role("navigation", name="Main")).to_be_hidden()
    expect(sheet.get_by_role("img", name="This sheet on your phone")).to_be_visible()
    page.emulate_media(media="screen")
    helper = helper_of(keeper, url)
    page.goto(f"/hand-overs?of={hand_over}")
    expect(page.get_by_text("Anna's phone, since")).to_be_visible()
    expect(page.locator("code.secret")).to_have_count(0)
    page.goto(f"/hand-overs?sheet={hand_over}")
    expect(page.get_by_text("The code can be printed only while the link is new.")).to_be_visible()
    page.goto(f"/hand-overs?of={hand_over}")
    press(page, "Let it move to another phone")
    expect(page.get_by_text("The code may be used on one more phone.")).to_be_visible()
    page.get_by_role("button", name="End it now: Anna").tap()
    expect(page.get_by_text("no link yet")).to_be_visible()
    assert helper.http.get("/api/start").json()["state"] != "signed_in"
    helper.close()


def test_a_sheet_without_a_feed_job_says_to_give_no_food(page: Page, keeper: Caller) -> None:
    hand_over = hand_over_made(page)
    expect(sync_line(page)).to_contain_text("All sent")
    page.goto(f"/hand-overs?sheet={hand_over}")
    sheet = page.get_by_role("article", name="The printed sheet")
    expect(sheet).to_contain_text("The food bag with the day's number, never more")
    expect(sheet).not_to_contain_text("Give no food, however they beg.")
    setting(keeper, hand_over, jobs=["long-pond/cover"])
    page.reload()
    expect(sheet).to_contain_text("Give no food, however they beg.")


def test_a_link_is_not_made_without_signal(page: Page) -> None:
    hand_over_made(page)
    expect(page.get_by_text("no link yet")).to_be_visible()
    page.context.set_offline(True)
    press(page, "Make the link")
    expect(page.get_by_role("alert")).to_contain_text("Links need signal")


def test_coming_home_tells_what_the_helper_did(page: Page, keeper: Caller, home: Home) -> None:
    hand_over = hand_over_made(page)
    press(page, "Make the link")
    expect(page.locator("code.secret")).to_be_visible()
    url = page.locator("code.secret").inner_text()
    page.goto(f"/hand-overs?home={hand_over}")
    expect(page.get_by_text("It has not begun.")).to_be_visible()
    at_home_on(home, page, datetime(2026, 11, 26, 17, 0, tzinfo=ZONE))
    helper = helper_of(keeper, url)
    dose = told(keeper)["ceilings"][0]["buffer_g_per_day"]
    evening = home.clock()
    helper.keep(
        helper.tick("cover", "on", evening),
        helper.tick("feed", "morning", evening, feed_g=60),
        helper.tick("buffer", "dusk", evening, amount_g=dose, substance="sodium_bicarbonate"),
        helper.entry("note", text="A heron stood at the edge."),
        helper.entry("look", all_well=False, wrong=["air"], trouble="gasping"),
        helper.entry("not_done", standing_job="heater", due_on="2026-11-26", slot="dusk", reason="the door was locked"),
    )
    helper.close()
    at_home_on(home, page, datetime(2026, 11, 28, 9, 0, tzinfo=ZONE))
    page.goto(f"/hand-overs?home={hand_over}")
    main = page.get_by_role("main")
    expect(main).to_contain_text("So far: day 3 of 10.")
    glance = page.locator("section").filter(has=page.get_by_role("heading", name="At a glance"))
    expect(glance).to_contain_text("Thu 26 Nov3 of 5")
    expect(glance).to_contain_text("Fri 27 Nov0 of 5")
    expect(main).to_contain_text("60 g of at most 180 g")
    expect(main).to_contain_text("A heron stood at the edge.")
    expect(main).to_contain_text("Fish gasping at the surface, air")
    expect(main).to_contain_text("Heater setting: the door was locked")
    expect(main).to_contain_text("by Anna")
    missed = page.locator("section").filter(has=page.get_by_role("heading", name="Missed"))
    expect(missed.get_by_role("listitem").filter(has_text="Covers off")).to_contain_text("Thu 26 Nov, Fri 27 Nov")
    assert 1 <= pages_of(page.pdf(format="A4")) <= 2
    page.context.set_offline(True)
    page.reload()
    expect(page.get_by_role("alert")).to_contain_text("needs signal")


def test_a_day_longer_or_shorter_and_calling_it_off_are_one_tap(page: Page, keeper: Caller) -> None:
    hand_over_made(page)
    main = page.get_by_role("main")
    press(page, "One day longer")
    expect(main).to_contain_text("Sun 6 Dec · 11 days")
    press(page, "One day shorter")
    press(page, "One day shorter")
    expect(main).to_contain_text("Fri 4 Dec · 9 days")
    press(page, "Call it off")
    expect(main).to_contain_text("called off")
    expect(page.get_by_role("heading", name="Links")).to_have_count(0)
    expect(sync_line(page)).to_contain_text("All sent")
    assert (told(keeper)["ends_on"], told(keeper)["called_off"]) == ("2026-12-04", True)
    press(page, "It is on after all")
    expect(main).to_contain_text("begins in 2 days")


def test_slips_in_the_form_are_said_where_they_are(page: Page) -> None:
    page.goto("/hand-overs?new")
    alert = page.get_by_role("alert")
    press(page, "Save")
    expect(alert).to_have_text("Please fill this in.")
    name_helper(page, "Anna", "ask me")
    press(page, "Save")
    expect(alert).to_have_text("A telephone number, such as +49 170 1234567.")
    name_helper(page, "Anna")
    page.get_by_label("Last day").fill("2026-11-01")
    press(page, "Save")
    expect(alert).to_have_text("The last day is not before the first.")
    page.get_by_label("First day").fill("2026-10-01")
    page.get_by_label("Last day").fill("2026-10-10")
    press(page, "Save")
    expect(alert).to_have_text("That day has gone by.")
    page.get_by_label("First day").fill("2026-11-26")
    page.get_by_label("Last day").fill("2026-12-05")
    page.get_by_label("Rehearsal on").fill("2026-11-27")
    press(page, "Save")
    expect(alert).to_have_text("The rehearsal is before the first day.")
    page.get_by_label("Rehearsal on").fill("")
    press(page, "Save")
    expect(alert).to_have_text("Confirm the amount, or leave it empty.")
    page.get_by_label("The same every day").fill("900")
    press(page, "Save")
    expect(alert).to_contain_text("in a day is held back for the fish.")
    page.get_by_label("The same every day").fill("")
    page.get_by_label("At most, a day").fill("")
    chosen = fold(page, "What they do").get_by_role("checkbox", checked=True)
    while chosen.count() > 0:
        chosen.first.uncheck()
    press(page, "Save")
    expect(alert).to_have_text("Choose at least one job.")


def test_the_last_day_goes_along_with_the_first_and_another_amount_wants_confirming(page: Page) -> None:
    page.goto("/hand-overs?new")
    page.get_by_label("First day").fill("2026-12-10")
    expect(page.get_by_text("Thu 10 Dec to Sat 19 Dec · 10 days")).to_be_visible()
    confirmed = page.get_by_role("checkbox", name="Yes: this amount")
    confirmed.check()
    page.get_by_label("The same every day").fill("40")
    expect(confirmed).not_to_be_checked()
    expect(page.get_by_text("Weigh 10 bags, numbered 1 to 10, 1 capful · 40 g each: 400 g.")).to_be_visible()


def test_another_amount_says_what_the_bags_that_were_weighed_still_hold(page: Page) -> None:
    page.goto(f"/hand-overs?edit={hand_over_made(page)}")
    renumbered = page.get_by_text("Those weighed already want new numbers.")
    expect(renumbered).to_have_count(0)
    first_day = page.get_by_label("First day")
    before = first_day.input_value()
    first_day.fill("2026-12-24")
    expect(renumbered).to_be_visible()
    first_day.fill(before)
    expect(renumbered).to_have_count(0)
    said = page.get_by_text("Bags weighed before still hold")
    expect(said).to_have_count(0)
    fold(page, "Buffer").get_by_label("The same every day").fill("20")
    expect(said).to_have_count(1)
    fold(page, "Food").get_by_label("At most, a day").fill("20")
    expect(said).to_have_count(2)


def test_a_job_that_comes_by_a_bare_rule_is_told_in_words(page: Page, keeper: Caller) -> None:
    rule = {"every": "rule", "rule": "FREQ=YEARLY"}
    keeper.keep(keeper.entry("set", target="job/agitate", field="recur", value=rule, effective_from=None))
    page.goto("/hand-overs?new")
    fold(page, "What they do")
    expect(page.get_by_text("once a year")).to_be_visible()


def test_an_old_kh_is_no_ground_for_ten_days_of_buffer(
    keeper: Caller, home: Home, new_phone: Callable[..., Page]
) -> None:
    ready_to_leave(keeper)
    home.clock.set(EVENING + timedelta(days=9))
    phone = new_phone()
    sign_in(phone)
    phone.goto("/hand-overs?new")
    phone.get_by_label("The same every day").fill("40")
    expect(phone.get_by_text("The last KH is of 24 Nov. Measure it again first").first).to_be_visible()
    expect(phone.get_by_role("checkbox", name="Yes: this amount")).to_have_count(0)


def test_two_hand_overs_with_one_job_on_one_day_are_warned_of(page: Page, keeper: Caller) -> None:
    other_hand_over(keeper)
    hand_over_made(page)
    warned = page.get_by_text('Covers also stands in "Summer" on the same days: both would do it.')
    expect(warned).to_be_visible()
    setting(keeper, "other", called_off=True)
    page.reload()
    expect(warned).to_be_hidden()


def test_the_next_one_begins_with_the_people_of_the_last(page: Page) -> None:
    hand_over_made(page)
    page.goto("/hand-overs?new")
    expect(page.get_by_role("group", name="Helper 1").get_by_label("Name")).to_have_value("Anna")


def test_what_was_changed_is_one_entry_for_each_field(page: Page, keeper: Caller) -> None:
    hand_over = hand_over_made(page)
    expect(sync_line(page)).to_contain_text("All sent")
    before = len(keeper.log("set"))
    page.goto(f"/hand-overs?edit={hand_over}")
    page.get_by_label("What it is called").fill("In the mountains")
    press(page, "Save")
    expect(page.get_by_role("heading", name="In the mountains", level=1)).to_be_visible()
    expect(sync_line(page)).to_contain_text("All sent")
    (changed,) = [one["entry"] for one in keeper.log("set")[before:]]
    assert (changed["field"], changed["value"]) == ("name", "In the mountains")
    page.goto("/book")
    page.get_by_text("settings set in one go").first.tap()
    expect(page.get_by_text("Hand-over: name set to In the mountains")).to_be_visible()


def test_who_is_on_duty_is_put_in_order(page: Page, keeper: Caller, home: Home) -> None:
    page.goto("/pond")
    expect(page.get_by_role("button", name="Save", exact=True)).to_be_visible()
    expect(page.get_by_role("heading", name="On duty")).to_have_count(0)
    home.add_person("Jon")
    page.goto("/device")
    press(page, "Send and fetch now")
    page.goto("/pond")
    press(page, "Put Marit on duty")
    press(page, "Put Jon on duty")
    press(page, "Jon earlier")
    anybody_can_read_it(page)
    duty = page.get_by_role("region", name="On duty").get_by_role("listitem")
    expect(duty.first).to_contain_text("Jon")
    expect(sync_line(page)).to_contain_text("All sent")
    names = keeper.plan()["person_names"]
    assert [names[one] for one in keeper.plan()["ponds"][0]["on_duty"]] == ["Jon", "Marit"]
    press(page, "Jon off duty")
    expect(duty).to_have_count(1)


def test_a_double_dose_stands_on_the_round_until_it_is_read_here(
    page: Page, keeper: Caller, home: Home, new_phone: Callable[..., Page]
) -> None:
    dose = {"amount_g": 80.0, "substance": "sodium_bicarbonate"}
    keeper.keep(keeper.tick("buffer", "dusk", home.clock(), **dose))
    home.add_person("Jon")
    jon = Caller(home.url, home.clock).sign_in("Jon")
    jon.keep(jon.tick("buffer", "dusk", home.clock(), **dose))
    jon.close()
    page.goto("/round")
    notice = page.get_by_role("region", name="To know").get_by_role("listitem")
    expect(notice).to_contain_text("given twice")
    anybody_can_read_it(page)
    notice.get_by_role("button", name="Read: ").tap()
    expect(notice).to_have_count(0)
    page.reload()
    expect(page.get_by_role("heading", name="Tonight's round")).to_be_visible()
    expect(notice).to_have_count(0)
    other = new_phone()
    sign_in(other)
    expect(other.get_by_role("region", name="To know")).to_be_visible()


def test_the_device_and_home_take_the_same_for_granted(page: Page) -> None:
    page.goto("/hand-overs")
    expect(page.get_by_role("heading", name="Hand-overs", level=1)).to_be_visible()
    plain = {one.encode_name: one.default for one in msgspec.structs.fields(HandOver) if not one.required}
    assert exported(page, "/domain/hand-overs.js", "PLAIN_HAND_OVER") == msgspec.json.decode(msgspec.json.encode(plain))


def test_the_printed_sheet_and_a_helpers_phone_say_the_same_of_trouble(page: Page) -> None:
    page.goto("/hand-overs")
    expect(page.get_by_role("heading", name="Hand-overs", level=1)).to_be_visible()
    assert exported(page, "/plain-troubles.js", "plainTroubles") == json.loads(msgspec.json.encode(PLAIN_TROUBLES))
