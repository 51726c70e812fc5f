"""Pages that home writes itself, beside the app: once the app is kept on a phone, they still come from home."""

import pytest
from journeys.home import Home
from journeys.household import Caller
from journeys.phones import make_ready_for_no_signal, sign_in
from playwright.sync_api import Page, expect


@pytest.fixture
def phone_with_the_app(keeper: Caller, phone: Page) -> Page:
    """A phone that the app's worker looks after."""
    sign_in(phone)
    make_ready_for_no_signal(phone)
    return phone


@pytest.mark.parametrize("path", ["/print", "/unsubscribe/of-a-message", "/on-it/of-a-message"])
def test_what_a_message_links_to_is_home_s_page_and_not_the_app(
    phone_with_the_app: Page, home: Home, path: str
) -> None:
    answer = phone_with_the_app.goto(path)
    assert answer is not None
    assert not answer.from_service_worker
    expect(phone_with_the_app.locator("#app")).to_have_count(0)
    phone_with_the_app.goto("/round")
    expect(phone_with_the_app.get_by_role("navigation", name="Main")).to_be_visible()
