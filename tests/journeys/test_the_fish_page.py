"""The register of the fish, their moves, and what was seen on them; each with its slips, and without signal."""

from typing import Any

from journeys.household import POND, Caller
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.round_screen import press, sync_line
from journeys.waiting import until
from journeys.water_screen import field, settings
from playwright.sync_api import Page, expect


def add(page: Page, name: str, count: str = "1") -> None:
    page.get_by_role("link", name="+ fish").click()
    field(page, "Own name").fill(name)
    field(page, "How many").fill(count)
    press(page, "Save")
    expect(page.get_by_role("article", name=name)).to_be_visible()


def newest(keeper: Caller, kind: str) -> dict[str, Any]:
    return keeper.log(kind)[-1]["entry"]


def opened(page: Page) -> None:
    """The Fish page, on a phone that then loses its signal."""
    sign_in(page)
    make_ready_for_no_signal(page)
    page.goto("/fish")
    expect(page.get_by_text("No fish is in the register of this pond yet.")).to_be_visible()


def test_fish_added_without_signal_stand_there_at_once_and_come_home(keeper: Caller, phone: Page) -> None:
    opened(phone)
    phone.context.set_offline(True)
    add(phone, "Yuki")
    add(phone, "The small ones", "12")
    expect(phone.get_by_role("article", name="The small ones")).to_contain_text("12 not told apart")
    phone.get_by_role("link", name="+ fish").click()
    field(phone, "Own name").fill("yuki")
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("Another fish has that name.")
    phone.context.set_offline(False)
    until(lambda: len(keeper.plan()["fish"][0]["fish"]) == 2, "home has both", phone)
    told = {(name, value) for (target, name), value in settings(keeper).items() if target.startswith("fish/")}
    assert {("name", "Yuki"), ("name", "The small ones"), ("count", 12)} <= told


def test_a_fish_saved_with_two_taps_has_come_once(keeper: Caller, phone: Page) -> None:
    opened(phone)
    phone.get_by_role("link", name="+ fish").click()
    field(phone, "Own name").fill("Bruno")
    phone.get_by_label("It", exact=True).select_option("new")
    phone.get_by_role("button", name="Save").evaluate("(save) => { save.click(); save.click(); }")
    expect(phone.get_by_role("article", name="Bruno")).to_be_visible()
    expect(sync_line(phone)).to_contain_text("All sent")
    assert len(keeper.log("fish_move")) == 1


def test_a_fish_that_has_just_come_is_in_quarantine(keeper: Caller, phone: Page) -> None:
    opened(phone)
    phone.get_by_role("link", name="+ fish").click()
    field(phone, "Own name").fill("Bruno")
    phone.get_by_label("It", exact=True).select_option("new")
    press(phone, "Save")
    expect(phone.get_by_role("article", name="Bruno")).to_contain_text("in quarantine")
    expect(sync_line(phone)).to_contain_text("All sent")
    move = newest(keeper, "fish_move")
    assert (move["to_pond"], move["how"], move["quarantine"], move["count"]) == (POND, "new", True, 1)


def test_of_a_group_some_are_given_away_and_a_fish_that_died_is_no_longer_here(keeper: Caller, phone: Page) -> None:
    opened(phone)
    phone.context.set_offline(True)
    add(phone, "Yuki")
    add(phone, "The small ones", "12")
    phone.get_by_role("link", name="All about it: The small ones").click()
    phone.get_by_role("link", name="Moved or gone").click()
    phone.get_by_label("What happened").select_option("given")
    field(phone, "How many of them").fill("13")
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("No more than 12 are here.")
    field(phone, "How many of them").fill("5")
    press(phone, "Save")
    expect(phone.get_by_role("article", name="The small ones")).to_contain_text("7 of 12 are here")
    phone.get_by_role("link", name="All about it: Yuki").click()
    phone.get_by_role("link", name="Moved or gone").click()
    phone.get_by_label("What happened").select_option("died")
    press(phone, "Save")
    expect(phone.get_by_text("No longer here (1)")).to_be_visible()
    expect(phone.get_by_role("article", name="Yuki")).to_have_count(0)
    phone.context.set_offline(False)
    expect(sync_line(phone)).to_contain_text("All sent")
    phone.reload()
    expect(phone.get_by_text("No longer here (1)")).to_be_visible()
    expect(phone.get_by_role("article", name="The small ones")).to_contain_text("7 of 12 are here")
    assert (newest(keeper, "fish_move")["how"], newest(keeper, "fish_move")["from_pond"]) == ("died", POND)


def test_a_fish_set_up_by_mistake_is_off_the_list_with_its_past_and_can_be_put_back(
    keeper: Caller, phone: Page
) -> None:
    told = keeper.entry("fish_measure", fish="yuki-1", length_cm=54, length_is="total")
    keeper.keep(keeper.entry("set", target="fish/yuki-1", field="name", value="Yuki", effective_from=None), told)
    sign_in(phone)
    make_ready_for_no_signal(phone)
    phone.goto("/fish")
    phone.get_by_role("link", name="All about it: Yuki").click()
    phone.get_by_role("link", name="Change", exact=True).click()
    expect(phone.get_by_text("It was measured or seen 1 time.")).to_be_visible()
    press(phone, "Set up by mistake")
    expect(phone.get_by_text("what was recorded of it (1 time) stays in the Pond book").first).to_be_attached()
    expect(phone.get_by_text("No fish is in the register of this pond yet.")).to_be_visible()
    until(lambda: not keeper.plan()["fish"][0]["fish"], "home agrees", phone)
    assert keeper.plan()["fish"][0]["closed"] == [{"id": "yuki-1", "name": "Yuki"}]
    phone.get_by_role("link", name="Pond book").click()
    expect(phone.get_by_text("Yuki: 54 cm total length")).to_be_visible()
    phone.context.set_offline(True)
    phone.get_by_role("link", name="Fish", exact=True).click()
    phone.get_by_text("Off the list (1)").click()
    press(phone, "Put back: Yuki")
    expect(phone.get_by_role("article", name="Yuki")).to_contain_text("54 cm total")
    expect(phone.get_by_text("Off the list")).to_have_count(0)
    phone.context.set_offline(False)
    until(lambda: len(keeper.plan()["fish"][0]["fish"]) == 1, "home has it back", phone)


def test_what_was_seen_is_followed_by_first_aid_and_whom_to_ring(keeper: Caller, phone: Page) -> None:
    opened(phone)
    add(phone, "Yuki")
    phone.context.set_offline(True)
    phone.get_by_role("link", name="Seen on the fish").click()
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("Something seen, a few words or a photo first.")
    press(phone, "gasping at the surface")
    press(phone, "Yuki")
    press(phone, "Save")
    expect(phone.get_by_role("heading", name="First, whatever it is")).to_be_visible()
    expect(phone.get_by_text("More air: every stone and pump on.")).to_be_visible()
    expect(phone.get_by_role("link", name="Ring Tove")).to_be_visible()
    phone.get_by_role("link", name="Back to the fish").click()
    expect(phone.get_by_role("region", name="Seen lately")).to_contain_text("Seen on Yuki: gasping")
    phone.context.set_offline(False)
    expect(phone.get_by_role("region", name="What the sightings share")).to_contain_text("Gasping")
    assert newest(keeper, "fish_seen")["signs"] == ["gasping"]
