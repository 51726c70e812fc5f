"""Every screen, held to what anybody needs: axe finds nothing in either theme, the Tab key reaches all there is, by
name and in sight, and neither a narrow phone nor text of double size makes it scroll sideways.

With EVENWATER_SCREENSHOTS=<folder> each screen is also drawn there, on a phone and on a desk, light and dark:
`python3 tests --screenshots` does that into .screenshots.
"""

import hashlib
import os
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from journeys.home import Home
from journeys.household import EVENING
from journeys.phones import launch, make_ready_for_no_signal, phone_in
from journeys.round_screen import press, sync_line
from journeys.screens import KEEPERS, LAYOUTS, NEWCOMERS, Screen
from playwright.sync_api import Browser, Page, Playwright, expect

VENDOR = Path(__file__).with_name("vendor")
AXE = VENDOR / "axe.min.js"
RUN_AXE = """async (options) => {
  const { violations } = await axe.run(document, options ?? {});
  return violations.map(({ id, help, nodes }) => `${id}: ${help}: ${nodes.map(({ html }) => html).join(" ")}`);
}"""
# The second theme draws the same elements in other colours, and only rules about colour can answer otherwise.
RULES = {"light": {"rules": {"target-size": {"enabled": True}}}, "dark": {"runOnly": ["cat.color"]}}
# What can be worked, of which a group of radio buttons is one stop. Each is noted as Tab comes to it.
WATCH_TAB = """() => {
  const worked = "a[href], button:enabled:not([tabindex='-1']), input:enabled, select, textarea, summary";
  const oneOfGroup = (element) => element.type !== "radio" || element.checked;
  const all = [...document.querySelectorAll(worked)].filter((one) => one.checkVisibility() && oneOfGroup(one));
  const unreached = new Set(all);
  const stops = [];
  const note = ({ target }) => {
    if (!unreached.delete(target)) return;
    const labels = [...(target.labels ?? [])].map((one) => one.textContent).join(" ");
    const { outlineStyle, outlineWidth } = getComputedStyle(target);
    stops.push({ name: (target.ariaLabel || labels || target.textContent).trim(), is: target.outerHTML.slice(0, 200),
      seen: outlineStyle !== "none" && parseFloat(outlineWidth) >= 2 });
  };
  document.addEventListener("focusin", note);
  window.tabbed = { unreached, stops, end: () => document.removeEventListener("focusin", note) };
  return all.length;
}"""
TABS_LEFT = "() => window.tabbed.unreached.size"
TABBED = """() => {
  const { unreached, stops, end } = window.tabbed;
  end();
  return [[...unreached].map((one) => one.outerHTML.slice(0, 200)), stops];
}"""
AT_ONCE = 8
# The strip of days scrolls by itself.
SIDEWAYS = """() => {
  const width = document.documentElement.clientWidth;
  const out = (one) => one.getBoundingClientRect().right > width + 0.5 && !one.closest(".day-strip");
  const found = [...document.body.querySelectorAll("*")].filter(out).map((one) => one.outerHTML.slice(0, 200));
  return document.documentElement.scrollWidth > width ? ["the page", ...found] : found;
}"""


def name_of(screen: Screen) -> str:
    return screen.__name__


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Home]:
    """The example's pond, on the evening of the story."""
    home = Home(tmp_path_factory.mktemp("example"), EVENING, example=True)
    home.start()
    yield home
    home.stop()


@pytest.fixture(scope="module")
def keepers_phone(browser: Browser, example: Home) -> Iterator[Page]:
    """A phone at the example's pond."""
    page = opened(browser, example)
    yield page
    page.context.close()


@pytest.fixture(scope="module")
def phone_with_large_text(playwright: Playwright, example: Home) -> Iterator[Page]:
    """A phone whose owner set text to double size in the browser."""
    browser = launch(playwright, "--blink-settings=defaultFontSize=32")
    yield opened(browser, example)
    browser.close()


def opened(browser: Browser, example: Home) -> Page:
    """The example, opened on a new phone and ready for no signal."""
    page = phone_in(browser, example.url, example.clock)
    page.on("dialog", lambda dialog: dialog.accept())
    page.goto("/")
    press(page, "Open the example")
    expect(sync_line(page)).to_contain_text("All sent")
    make_ready_for_no_signal(page)
    return page


@pytest.fixture(scope="module")
def newcomers_phone(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """A phone at a server with nobody in it."""
    home = Home(tmp_path_factory.mktemp("empty"), EVENING)
    home.start()
    page = phone_in(browser, home.url, home.clock)
    yield page
    page.context.close()
    home.stop()


def test_the_checker_is_the_one_the_table_names() -> None:
    table = (VENDOR / "README.md").read_text(encoding="utf-8")
    assert re.findall(r"\| ([0-9a-f]{64}) \|", table) == [hashlib.sha256(AXE.read_bytes()).hexdigest()]


@pytest.mark.parametrize("screen", KEEPERS, ids=name_of)
def test_anybody_can_read_and_work_what_a_keeper_sees(keepers_phone: Page, screen: Screen) -> None:
    keepers_phone.goto("about:blank")
    keepers_phone.context.set_offline(False)
    keepers_phone.clock.set_system_time(EVENING.timestamp())
    screen(keepers_phone)
    check_everything(keepers_phone, screen)


@pytest.mark.parametrize("screen", NEWCOMERS, ids=name_of)
def test_anybody_can_read_and_work_what_a_newcomer_sees(newcomers_phone: Page, screen: Screen) -> None:
    screen(newcomers_phone)
    check_everything(newcomers_phone, screen)


@pytest.mark.parametrize("screen", LAYOUTS, ids=name_of)
def test_text_of_double_size_still_fits(phone_with_large_text: Page, screen: Screen) -> None:
    screen(phone_with_large_text)
    assert phone_with_large_text.evaluate("getComputedStyle(document.documentElement).fontSize") == "32px"
    assert phone_with_large_text.evaluate(SIDEWAYS) == []


def check_everything(page: Page, screen: Screen) -> None:
    check_axe(page, screen)
    check_tab_key(page)
    check_narrow(page)


def check_axe(page: Page, screen: Screen) -> None:
    """No violation of any of axe's rules, by day and by night."""
    page.evaluate(AXE.read_text(encoding="utf-8"))
    for theme in ("light", "dark"):
        page.emulate_media(color_scheme=theme)
        assert page.evaluate(RUN_AXE, RULES[theme]) == [], theme
        draw(page, f"{name_of(screen)}-{theme}")


def draw(page: Page, name: str) -> None:
    """The screen as a picture at each width, where somebody wants to look at them."""
    if folder := os.environ.get("EVENWATER_SCREENSHOTS"):
        for width, height in ((1280, 800), (390, 844)):  # a phone's last, as it was
            page.set_viewport_size({"width": width, "height": height})
            page.screenshot(path=Path(folder) / f"{name}-{width}.png", full_page=True)


def check_tab_key(page: Page) -> None:
    """Going round once, Tab reaches everything that can be worked, each with its name, and shows where it is."""
    # The page is a stop too, so is the browser around it, and a field for a date has one for each of its parts.
    most = 2 * page.evaluate(WATCH_TAB)
    for count in range(1, most + 1):
        page.keyboard.press("Tab")
        if count % AT_ONCE == 0 and page.evaluate(TABS_LEFT) == 0:
            break
    unreached, stops = page.evaluate(TABBED)
    assert unreached == []
    assert [stop for stop in stops if not (stop["name"] and stop["seen"])] == []


def check_narrow(page: Page) -> None:
    """320 px wide: nothing stands out to the side."""
    page.set_viewport_size({"width": 320, "height": 568})
    assert page.evaluate(SIDEWAYS) == []
    page.set_viewport_size({"width": 390, "height": 844})
