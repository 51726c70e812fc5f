"""Row 1.3: a new version arrives while pages of the old one are open.

A worker that takes over unasked runs new files under an old page; one that never does leaves it stuck.
"""

import shutil
from urllib.parse import urlsplit

import pytest
from journeys.failures.device import come_into_sight, look, note, on_device
from journeys.line import drops_the_call
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.waiting import until
from playwright.sync_api import Locator, Page, Route, expect

READY = "A new version is ready"
NEW = {"words": ('today: "Today\'s round"', 'today: "Today\'s walk"')}
OLD_WORD, NEW_WORD = "Today's round", "Today's walk"


@pytest.fixture
def first_tab(keeper, site, home, new_phone) -> Page:
    """A page of the old version, on a phone that works without signal."""
    home.clock.set(home.clock().replace(hour=9))  # by day the round is called today's
    site.deploy()
    page = new_phone()
    sign_in(page)
    make_ready_for_no_signal(page)
    expect(page.get_by_role("heading", name=OLD_WORD)).to_be_visible()
    return page


@pytest.fixture
def second_tab(first_tab) -> Page:
    """Another page of it on the same phone."""
    page = first_tab.context.new_page()
    page.goto("/round")
    expect(page.get_by_role("heading", name=OLD_WORD)).to_be_visible()
    return page


def test_it_waits_until_it_is_accepted_even_over_a_reload(first_tab, second_tab, site):
    site.deploy(**NEW)
    come_into_sight(first_tab)
    expect(first_tab.get_by_text(READY)).to_be_visible()
    expect(second_tab.get_by_text(READY)).to_be_visible()
    first_tab.reload()
    expect(first_tab.get_by_text(READY)).to_be_visible()
    expect(first_tab.get_by_role("heading", name=OLD_WORD)).to_be_visible()


def test_a_first_worker_that_the_line_kept_from_coming_is_asked_for_again_and_nothing_comes_twice(keeper, new_phone):
    page = new_phone()
    asked: list[str] = []
    page.context.on("request", lambda one: one.service_worker and asked.append(urlsplit(one.url).path))
    page.context.route("**/later.js", lambda one: one.abort() if one.request.service_worker else one.continue_())
    sign_in(page)
    gone = "navigator.serviceWorker.getRegistration().then((it) => !it)"
    until(lambda: "/later.js" in asked and page.evaluate(gone), "it has given up", page)
    names = "caches.keys().then(async ([name]) => (await (await caches.open(name)).keys()).map((one) => one.url))"
    kept = {urlsplit(url).path for url in page.evaluate(names)}
    assert "/main.js" in kept and "/later.js" not in kept
    page.context.unroute("**/later.js")
    asked.clear()
    page.context.set_offline(True)
    page.context.set_offline(False)
    make_ready_for_no_signal(page)
    assert set(asked) - {"/sw.js", "/sw-push.js"} == {"/later.js"}, "the worker's own scripts, and what is missing"
    page.context.set_offline(True)
    page.reload()
    expect(page.get_by_role("heading", name="Tonight's round")).to_be_visible()


def test_a_page_that_no_worker_took_asks_the_one_there_is(first_tab):
    past_the_worker = first_tab.context.new_cdp_session(first_tab)
    with first_tab.expect_navigation():
        past_the_worker.send("Page.reload", {"ignoreCache": True})
    expect(first_tab.get_by_role("heading", name=OLD_WORD)).to_be_visible()
    make_ready_for_no_signal(first_tab)
    first_tab.context.set_offline(True)
    first_tab.reload()
    expect(first_tab.get_by_role("heading", name=OLD_WORD)).to_be_visible()


def test_accepted_it_sends_first_and_then_every_tab_runs_it(first_tab, second_tab, site, home, keeper):
    site.deploy(**NEW)
    come_into_sight(first_tab)
    home.line.fail(drops_the_call)
    look(first_tab)
    expect(first_tab.get_by_text("1 waiting, no signal")).to_be_visible()
    home.line.clear()
    reloads = count_loads(second_tab)
    first_tab.get_by_role("button", name="Use it now").click()
    for tab in (first_tab, second_tab):
        expect(tab.get_by_role("heading", name=NEW_WORD)).to_be_visible()
        expect(tab.get_by_text(READY)).to_have_count(0)
        expect(tab.get_by_text("All sent")).to_be_visible()
    assert len(reloads) == 1
    assert len(keeper.log("look")) == 1
    assert on_device(first_tab).outbox == []


def test_accepted_with_no_signal_what_waits_is_kept_and_sent_by_the_new_version(first_tab, site, home, keeper):
    site.deploy(**NEW)
    come_into_sight(first_tab)
    expect(first_tab.get_by_text(READY)).to_be_visible()
    first_tab.context.set_offline(True)
    look(first_tab)
    expect(first_tab.get_by_text("1 waiting, no signal")).to_be_visible()
    written = on_device(first_tab).entries
    first_tab.get_by_role("button", name="Use it now").click()
    expect(first_tab.get_by_role("heading", name=NEW_WORD)).to_be_visible()
    expect(first_tab.get_by_text("1 waiting, no signal")).to_be_visible()
    assert on_device(first_tab).entries == written, "the new version rewrites nothing"
    first_tab.context.set_offline(False)
    expect(first_tab.get_by_text("All sent")).to_be_visible()
    assert len(keeper.log("look")) == 1


def test_a_tab_with_something_half_typed_is_left_alone_and_still_works(first_tab, second_tab, site, keeper):
    second_tab.goto("/water?add")
    field(second_tab).fill("5.5")
    site.deploy(**NEW)
    come_into_sight(first_tab)
    first_tab.get_by_role("button", name="Use it now").click()
    expect(first_tab.get_by_role("heading", name=NEW_WORD)).to_be_visible()
    expect(field(second_tab)).to_have_value("5.5")
    second_tab.get_by_role("button", name="Save readings").click()
    until(lambda: keeper.log("reading")[-1]["entry"]["value"] == 5.5, "home has it", second_tab)
    expect(second_tab.get_by_text("All sent")).to_be_visible()
    second_tab.get_by_role("button", name="Use it now").click()
    second_tab.goto("/round")
    expect(second_tab.get_by_role("heading", name=NEW_WORD)).to_be_visible()


def test_a_version_that_was_on_its_way_when_the_page_was_opened_is_announced(first_tab, site):
    asked: list[Route] = []
    first_tab.context.route("**/main.js", lambda route: asked.append(route))
    site.deploy(**NEW)
    come_into_sight(first_tab)
    until(lambda: asked, "the new worker asks for the file", first_tab)
    first_tab.reload()
    expect(first_tab.get_by_text("All sent")).to_be_visible()
    assert first_tab.evaluate("navigator.serviceWorker.getRegistration().then((it) => Boolean(it.installing))")
    asked[0].continue_()
    expect(first_tab.get_by_text(READY)).to_be_visible()


def test_a_version_that_does_not_arrive_whole_is_not_taken(first_tab, site):
    tried: list[str] = []
    first_tab.context.route("**/main.js", lambda route: (tried.append(route.request.url), route.abort()))
    site.deploy(**NEW)
    come_into_sight(first_tab)
    until(lambda: tried, "the new worker asks for the file", first_tab)
    idle = "navigator.serviceWorker.getRegistration().then((it) => !it.installing && !it.waiting)"
    until(lambda: first_tab.evaluate(idle), "the new worker has given up", first_tab)
    expect(first_tab.get_by_text(READY)).to_have_count(0)
    first_tab.context.set_offline(True)
    first_tab.reload()
    expect(first_tab.get_by_role("heading", name=OLD_WORD)).to_be_visible()


def test_a_worker_that_retires_itself_leaves_a_page_that_works(first_tab, site, keeper):
    shutil.copy(site.folder / "sw-retire.js", site.folder / "sw.js")
    site.deploy()
    with first_tab.expect_event("load"):  # the leaving worker loads the open pages anew
        come_into_sight(first_tab)
    gone = "navigator.serviceWorker.getRegistrations().then((all) => all.length === 0)"
    until(lambda: first_tab.evaluate(gone), "the worker is gone", first_tab)
    first_tab.goto("/round")
    expect(first_tab.get_by_role("heading", name=OLD_WORD)).to_be_visible()
    note(first_tab, "after the worker")
    expect(first_tab.get_by_text("All sent")).to_be_visible()
    assert len(keeper.log("note")) == 1


def count_loads(page: Page) -> list[object]:
    """Grows by one each time the page loads."""
    loads: list[object] = []
    page.on("load", lambda loaded: loads.append(loaded))
    return loads


def field(page: Page) -> Locator:
    """Where a KH reading is typed."""
    return page.get_by_role("textbox", name="KH °dKH")
