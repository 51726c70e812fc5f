"""Row 1.15: a hotel's network answers in home's place. Nothing it says counts, and none of its pages is kept.

Source of the status: RFC 6585, section 6 (511 Network Authentication Required).
"""

import pytest
from journeys.failures.device import come_into_sight, look, on_device
from journeys.line import answers, portal_page, portal_redirect, portal_status
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.waiting import until
from playwright.sync_api import Page, Route, expect

STRANGERS = {
    "a page": portal_page,
    "a redirect": portal_redirect,
    "511": portal_status,
    "no content": answers(204, "text/plain", ""),
    "JSON of its own": answers(200, "application/json", '{"status": "ok"}'),
    "a list": answers(200, "application/json", "[]"),
    "a page that says it is JSON": answers(200, "application/json", "<!doctype html>"),
    "verdicts about nothing": answers(
        200,
        "application/json",
        '{"epoch": "x", "cursor": 0, "entries": [], "verdicts": [null], "server_now": "x", "plan": null}',
    ),
}
PORTAL = "<!doctype html><title>Welcome</title><p>Accept our terms to go online.</p>"


@pytest.fixture
def page(keeper, phone) -> Page:
    """A phone with the app on it, signed in."""
    sign_in(phone)
    make_ready_for_no_signal(phone)
    return phone


@pytest.mark.parametrize("stranger", STRANGERS)
def test_a_stranger_who_answers_changes_nothing_on_the_phone(page, home, keeper, stranger):
    home.line.fail(STRANGERS[stranger])
    look(page)
    expect(page.get_by_text("1 waiting, no signal")).to_be_visible()
    before = on_device(page)
    assert len(before.outbox) == 1
    page.evaluate("dispatchEvent(new Event('online')) && true")
    calls = len(home.line.to("/api/sync"))
    until(lambda: len(home.line.to("/api/sync")) > calls, "it is tried again", page)
    expect(page.get_by_text("1 waiting, no signal")).to_be_visible()
    assert on_device(page).everything == before.everything
    home.line.clear()
    page.evaluate("dispatchEvent(new Event('online')) && true")
    expect(page.get_by_text("All sent")).to_be_visible()
    assert len(keeper.log("look")) == 1


@pytest.mark.parametrize("stranger", STRANGERS)
def test_a_stranger_asked_where_we_stand_signs_nobody_out(page, home, keeper, stranger):
    home.line.fail(STRANGERS[stranger], path="/api/start")
    calls = len(home.line.to("/api/start"))
    page.reload()
    until(lambda: len(home.line.to("/api/start")) > calls, "it was asked", page)
    look(page)
    until(lambda: keeper.log("look"), "home has it", page)
    expect(page.get_by_text("All sent")).to_be_visible()
    expect(page.get_by_text("sign in")).to_have_count(0)
    assert on_device(page).meta["person"]["name"] == "Marit"


def test_the_app_opens_from_the_phone_whatever_the_network_shows(page):
    def portal(route: Route) -> None:
        route.fulfill(status=200, content_type="text/html", body=PORTAL)

    page.context.route("**/*", portal)
    page.goto("/water")
    expect(page.get_by_role("heading", name="Water", exact=True)).to_be_visible()
    expect(page.get_by_text("no signal")).to_be_visible()


def test_a_new_version_fetched_through_a_portal_is_never_kept(page, site, home):
    asked: list[str] = []

    def portal(route: Route) -> None:
        asked.append(route.request.url)
        route.fulfill(status=200, content_type="text/javascript", body=PORTAL)

    site.deploy(words=('all_done: "all done"', 'all_done: "done"'))
    page.context.route("**/main.js", portal)
    come_into_sight(page)
    until(lambda: asked, "the new worker asks for the file", page)
    idle = "navigator.serviceWorker.getRegistration().then((it) => !it.installing && !it.waiting)"
    until(lambda: page.evaluate(idle), "the new worker has given up", page)
    kept = page.evaluate("""async () => {
      const texts = [];
      for (const name of await caches.keys()) {
        const cache = await caches.open(name);
        for (const request of await cache.keys()) texts.push(await (await cache.match(request)).text());
      }
      return texts;
    }""")
    assert len(kept) > 8
    assert not [text for text in kept if "Accept our terms" in text]
    page.context.unroute("**/main.js")
    page.context.set_offline(True)
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_be_visible()
