"""The evening's round by keyboard alone, without signal: nothing needs a pointer, and the Tab key never starts over."""

from datetime import timedelta

from journeys.home import Home
from journeys.household import EVENING, PASSPHRASE, Caller
from journeys.phones import make_ready_for_no_signal
from journeys.round_screen import sync_line
from playwright.sync_api import Page, expect

NAME_OF_FOCUSED = """() => {
  const one = document.activeElement;
  const labels = [...(one.labels ?? [])].map((label) => label.textContent).join(" ");
  return [one.localName, (one.ariaLabel || labels || one.textContent || "").trim()];
}"""
MOST_TABS = 20


def tab_to(page: Page, name: str, kind: str = "") -> None:
    """Press Tab until what has that name has the focus; fewer times than there are things to work on the page."""
    for _ in range(MOST_TABS):
        page.keyboard.press("Tab")
        tag, told = page.evaluate(NAME_OF_FOCUSED)
        if told.startswith(name) and kind in ("", tag):
            return
    raise AssertionError(f"{MOST_TABS} times Tab did not come to {name!r}")


def test_the_evenings_round_without_a_pointer(home: Home, keeper: Caller, new_phone) -> None:
    page = new_phone()
    page.goto("/")
    sign_in_by_keyboard(page)
    make_ready_for_no_signal(page)
    page.context.set_offline(True)
    home.clock.set(EVENING + timedelta(minutes=20))
    before = len(keeper.log())

    tab_to(page, "Done")
    page.keyboard.press("Enter")
    expect(sync_line(page)).to_have_text("1 waiting, no signal")
    expect(page.get_by_role("article", name="Buffer")).to_be_visible()

    tab_to(page, "KH", kind="input")
    page.keyboard.type("3,5")
    expect(page.get_by_text("Worked out from this reading.")).to_be_visible()
    tab_to(page, "Given")
    page.keyboard.press("Enter")
    expect(sync_line(page)).to_have_text("3 waiting, no signal")
    expect(page.get_by_role("article", name="Heater setting")).to_be_visible()

    tab_to(page, "take back: Buffer")
    page.keyboard.press("Enter")
    expect(sync_line(page)).to_have_text("4 waiting, no signal")

    page.context.set_offline(False)
    tab_to(page, "Round")
    page.keyboard.press("Enter")
    tab_to(page, "Tue 24 Nov")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Wed 25 Nov")).to_be_visible()
    tab_to(page, "Pond book")
    page.keyboard.press("Enter")
    expect(sync_line(page)).to_contain_text("All sent")
    kinds = [one["entry"]["kind"] for one in keeper.log()[before:]]
    assert kinds == ["tick", "reading", "tick", "take_back"]


def sign_in_by_keyboard(page: Page) -> None:
    """Name, passphrase, Enter."""
    expect(page.get_by_label("Your name")).to_be_visible()
    tab_to(page, "Your name")
    page.keyboard.type("Marit")
    tab_to(page, "Passphrase")
    page.keyboard.type(PASSPHRASE)
    page.keyboard.press("Enter")
    expect(sync_line(page)).to_contain_text("All sent")
