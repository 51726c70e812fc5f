"""Evenings that do not go by the list: held back, not needed, not done, another amount, trouble, a wrong clock."""

import json
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from journeys.home import Home
from journeys.household import CAPFUL_G, EVENING, POND, Caller
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.round_screen import SENT, card, press, sync_line, take_back_button
from playwright.sync_api import Page, expect

RECORD = """async ([pond, readings]) => {
  const { makeEntry, record } = (await import("/main.js")).modules["/record.js"];
  const of = (value) => makeEntry("reading", pond, { quantity: "kh_dkh", value, point: "pond" });
  await record(readings.map(of));
}"""


def test_a_dose_held_back_says_why_and_is_given_all_the_same_with_a_reason(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    buffer = card(phone, "Buffer")
    buffer.get_by_role("textbox", name="KH").fill("2")
    expect(buffer).to_contain_text("held back")
    expect(buffer).to_contain_text("KH is very low. First test ammonia (TAN) today")
    expect(buffer.get_by_role("button", name="Given")).to_have_count(0)
    press(buffer, "Do it all the same")
    buffer.get_by_role("textbox", name="Capfuls given").fill("0,5")
    press(buffer, "Save")
    expect(buffer.get_by_role("alert")).to_have_text("Please fill this in.")
    buffer.get_by_role("textbox", name="Why all the same?").fill("Ammonia is nothing on the strip.")
    press(buffer, "Save")
    expect(take_back_button(phone, "Buffer")).to_be_visible()
    expect(sync_line(phone)).to_have_text(SENT)
    dose = keeper.log("tick")[-1]["entry"]
    assert (dose["amount_g"], dose["override_reason"]) == (CAPFUL_G / 2, "Ammonia is nothing on the strip.")
    phone.get_by_role("link", name="Pond book").tap()
    expect(phone.get_by_text("(all the same: Ammonia is nothing on the strip.)")).to_be_visible()


def test_two_quick_taps_are_one_tick(keeper: Caller, phone: Page) -> None:
    before = len(keeper.log("tick"))
    sign_in(phone)
    done = card(phone, "Covers on").get_by_role("button", name="Done", exact=True)
    done.evaluate("(button) => { button.click(); button.click(); }")
    expect(take_back_button(phone, "Covers on")).to_have_count(1)
    expect(sync_line(phone)).to_have_text(SENT)
    assert len(keeper.log("tick")) == before + 1


def test_a_value_that_no_kit_shows_changes_no_amount_and_is_not_recorded(keeper: Caller, phone: Page) -> None:
    before = keeper.log()
    sign_in(phone)
    buffer = card(phone, "Buffer")
    planned = buffer.locator(".amount").inner_text()
    field = buffer.get_by_role("textbox", name="KH")
    field.fill("40")
    expect(buffer).to_contain_text("Between 0 and 25 °dKH.")
    expect(buffer.locator(".amount")).to_have_text(planned)
    field.press("Enter")
    press(buffer, "Given")
    press(buffer, "other amount")
    buffer.get_by_role("textbox", name="Capfuls given").fill("1")
    press(buffer, "Save")
    expect(buffer).to_contain_text("Between 0 and 25 °dKH.")
    assert keeper.log() == before
    field.fill("4")
    press(buffer, "Save")
    expect(take_back_button(phone, "Buffer")).to_be_visible()
    expect(sync_line(phone)).to_have_text(SENT)
    assert [one["entry"]["kind"] for one in keeper.log()[len(before) :]] == ["reading", "tick"]


def test_what_is_not_needed_is_one_tap_away_with_its_reason(home: Home, keeper: Caller, phone: Page) -> None:
    yesterday = home.clock() - timedelta(days=1)
    keeper.keep(keeper.tick("heater", "dusk", yesterday, setting_c=18.5))
    sign_in(phone)
    expect(phone.get_by_text("Heater setting")).to_be_hidden()
    phone.get_by_text("Stood down today: 1").tap()
    heater = phone.get_by_role("button", name="Heater setting to 18.5 °C")
    expect(heater).to_contain_text("not needed: Set to 18.5 °C on Mon 23 Nov.")
    heater.tap()
    press(phone.get_by_role("article", name="Heater setting"), "Do it all the same")
    phone.get_by_role("textbox", name="Why all the same?").fill("Somebody turned the knob.")
    press(phone, "Save")
    expect(take_back_button(phone, "Heater setting")).to_be_visible()
    expect(sync_line(phone)).to_have_text(SENT)
    assert keeper.log("tick")[-1]["entry"]["override_reason"] == "Somebody turned the knob."


def test_not_done_another_amount_a_note_and_all_well_are_kept_in_words(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    covers = card(phone, "Covers on")
    press(covers, "note")
    covers.get_by_role("textbox", name="Note").focus()
    phone.keyboard.insert_text("The north panel sticks. " * 100)  # pasted: longer than the server takes
    press(covers, "Save")
    press(covers, "not done")
    press(covers, "Save")
    expect(covers.get_by_role("alert")).to_have_text("Please fill this in.")
    press(covers, "could not")
    press(covers, "Save")
    buffer = card(phone, "Buffer")
    press(buffer, "other amount")
    much = buffer.get_by_role("textbox", name="Capfuls given")
    much.fill("40")
    expect(buffer).to_contain_text("in 24 hours is held back for the fish")
    much.fill("1,5")
    expect(much).to_have_accessible_description("60 g")
    press(buffer, "Save")
    phone.get_by_role("button", name="All well").tap()
    expect(phone.get_by_role("button", name="All well")).to_contain_text("Looked 16:45: all well")
    expect(sync_line(phone)).to_have_text(SENT)

    note, missed, dose, look = (one["entry"] for one in keeper.log()[-4:])
    assert note["text"].startswith("Covers on: The north panel sticks. The north")
    assert (missed["standing_job"], missed["reason"]) == ("cover", "could not")
    assert (dose["standing_job"], dose["amount_g"]) == ("buffer", 1.5 * CAPFUL_G)
    assert look["all_well"]
    covers_line = phone.get_by_role("listitem").filter(has_text="not done: could not · 16:45")
    expect(covers_line).to_be_visible()
    phone.get_by_role("link", name="Pond book").tap()
    for told in ("Covers on: The north panel sticks.", "Covers on: not done, could not", "Looked: all well"):
        expect(phone.get_by_role("main").get_by_text(told)).to_be_visible()
    expect(phone.get_by_text("Buffer: 1½ capfuls (60 g) given")).to_be_visible()


def test_something_wrong_without_signal_gives_first_steps_and_says_to_ring(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    make_ready_for_no_signal(phone)
    phone.context.set_offline(True)
    phone.goto("/")
    phone.get_by_role("link", name="Something is wrong").tap()
    expect(phone.get_by_role("heading", name="What is it?")).to_be_visible()
    trouble = keeper.plan()["troubles"][0]
    phone.get_by_role("link", name=trouble["title"]).tap()
    expect(phone.get_by_role("heading", name=trouble["title"])).to_be_visible()
    expect(phone.get_by_role("main").get_by_role("listitem")).to_have_text(trouble["steps"])
    assert len(trouble["steps"]) == 3
    expect(phone.get_by_role("link", name="Ring Tove")).to_have_attribute("href", "tel:+493023125001")
    press(phone, "Record it and tell the household")
    expect(phone.get_by_text("Recorded. Not sent: ring.")).to_be_visible()
    phone.context.set_offline(False)
    expect(phone.get_by_text("Recorded. Sent 16:4")).to_be_visible()
    look = keeper.log("look")[-1]["entry"]
    assert (look["all_well"], look["trouble"]) == (False, trouble["id"])


def test_what_the_server_refuses_is_set_aside_shown_and_can_be_taken_out(
    keeper: Caller, phone: Page, tmp_path: Path
) -> None:
    sign_in(phone)
    make_ready_for_no_signal(phone)
    phone.context.set_offline(True)
    # No form lets 400 through; an app with a fault, or older than the server's ranges, might.
    phone.evaluate(RECORD, [POND, [4.5, 400, 5]])
    phone.context.set_offline(False)
    expect(sync_line(phone)).to_have_text("1 set aside: look")
    assert [one["entry"]["value"] for one in keeper.log("reading")[-2:]] == [4.5, 5]
    phone.goto("/")
    sync_line(phone).tap()
    aside = phone.get_by_role("region", name="Set aside")
    expect(aside).to_contain_text("KH 400 °dKH")
    expect(aside).to_contain_text("Right would be")
    with phone.expect_download() as waited:
        press(aside, "Export as a file")
    waited.value.save_as(tmp_path / "aside.json")
    (one,) = json.loads((tmp_path / "aside.json").read_text(encoding="utf-8"))
    assert (one["entry"]["value"], one["code"], one["where"]) == (400, "out_of_range", "value")


def test_a_phone_that_woke_in_1970_is_believed_marked_and_asked(
    home: Home, keeper: Caller, new_phone: Callable[..., Page]
) -> None:
    phone = new_phone(now=lambda: datetime(1970, 1, 1, 0, 5, tzinfo=UTC))
    sign_in(phone)
    expect(phone.get_by_role("heading", name="Tonight's round")).to_be_visible()
    press(card(phone, "Covers on"), "Done")
    expect(take_back_button(phone, "Covers on")).to_be_visible()
    expect(sync_line(phone)).to_contain_text("All sent")
    (ticked,) = [one for one in keeper.log("tick") if one["time_doubtful"]]
    assert ticked["entry"]["happened_at"].startswith("1970-01-01")
    assert abs(datetime.fromisoformat(ticked["placed_at"]) - home.clock()) < timedelta(minutes=1)

    phone.goto("/book")
    expect(phone.get_by_text("Set this phone's clock right, then say here when this was.")).to_be_visible()
    expect(phone.get_by_role("button", name="That is when")).to_have_count(0)
    phone.clock.set_system_time(home.clock().timestamp())
    phone.goto("/book")
    expect(sync_line(phone)).to_have_text(SENT)
    expect(phone.get_by_text("The phone's clock was wrong. When was this?")).to_be_visible()
    phone.get_by_label("Time").fill("16:30")
    press(phone, "That is when")
    expect(phone.get_by_text("The phone's clock was wrong. When was this?")).to_have_count(0)
    expect(sync_line(phone)).to_have_text(SENT)
    gone, again = keeper.log()[-2:]
    assert gone["entry"]["entry"] == ticked["entry"]["id"]
    assert (again["entry"]["standing_job"], again["time_doubtful"]) == ("cover", False)
    assert datetime.fromisoformat(again["placed_at"]) == EVENING.replace(minute=30)
