"""Every screen of a helper's phone, held to what anybody needs, as every screen of a keeper's is."""

from collections.abc import Iterator

import pytest
from journeys.helper_screens import HELPERS, HelperScreen, Helping
from journeys.home import Home
from journeys.household import EVENING, Caller
from journeys.neighbour import hand_over_to_kim, link_for_kim
from journeys.phones import launch, phone_in
from journeys.test_every_screen import SIDEWAYS, check_everything
from playwright.sync_api import Browser, Page, Playwright


def name_of(screen: HelperScreen) -> str:
    return screen.__name__


@pytest.fixture(scope="module", params=["", "--blink-settings=defaultFontSize=32"], ids=["as usual", "double text"])
def large_text(request: pytest.FixtureRequest) -> str:
    """What the browser is started with besides."""
    return request.param


@pytest.fixture(scope="module")
def helping(tmp_path_factory: pytest.TempPathFactory, large_text: str) -> Iterator[Helping]:
    """A household away for ten days from this evening on."""
    home = Home(tmp_path_factory.mktemp("away"), EVENING)
    home.start()
    keeper = Caller(home.url, home.clock).begin()
    keeper.set_up()
    keeper.live_three_weeks()
    hand_over_to_kim(keeper, EVENING.date(), EVENING.date().replace(month=12, day=3))
    yield Helping(home, keeper, link_for_kim(keeper))
    keeper.close()
    home.stop()


@pytest.fixture(scope="module")
def helpers_phone(playwright: Playwright, helping: Helping, large_text: str) -> Iterator[Page]:
    """The neighbour's own phone, with nothing on it."""
    browser: Browser = launch(playwright, *[large_text][: bool(large_text)])
    page = phone_in(browser, helping.home.url, helping.home.clock)
    page.on("dialog", lambda dialog: dialog.accept())
    yield page
    browser.close()


@pytest.mark.parametrize("screen", HELPERS, ids=name_of)
def test_anybody_can_read_and_work_what_a_helper_sees(
    helpers_phone: Page, helping: Helping, screen: HelperScreen, large_text: str
) -> None:
    screen(helpers_phone, helping)
    if large_text:
        assert helpers_phone.evaluate(SIDEWAYS) == []
    else:
        check_everything(helpers_phone, screen)  # type: ignore[arg-type]
