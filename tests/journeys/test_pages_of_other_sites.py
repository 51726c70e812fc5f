"""A page of another site, in the keeper's own browser, tries what such pages can. Our own, on plain http, works."""

import json
from collections.abc import Callable, Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread

import pytest
from chromium_flags import FLAGS
from journeys.home import Home
from journeys.household import EVENING, PASSPHRASE, Caller
from journeys.line import App, Message, Receive, Scope, Send
from journeys.phones import BROWSER
from playwright.sync_api import BrowserContext, Page, Playwright, expect

NAME = "teich.example"
OTHER_DEVICE = "0b4d2c1e-6f5b-4c3d-8e9f-001122334455"
TOLD = {"name": "Marit", "passphrase": PASSPHRASE, "device": OTHER_DEVICE, "device_label": "planted"}

OpenPage = Callable[[str, str], Page]


@pytest.fixture
def home(tmp_path: Path) -> Iterator[Home]:
    """Marit's server, which the household also knows by a name."""
    server = Home(tmp_path / "home", EVENING, public_names=(NAME,))
    server.start()
    caller = Caller(server.url, server.clock).begin()
    caller.close()
    yield server
    server.stop()


@pytest.fixture
def context(playwright: Playwright) -> Iterator[BrowserContext]:
    """A browser in which both names lead to this machine."""
    names = f"--host-resolver-rules=MAP {NAME} 127.0.0.1, MAP evil.example 127.0.0.1"
    browser = playwright.chromium.launch(executable_path=BROWSER, args=[*FLAGS, names])
    yield browser.new_context()
    browser.close()


def ours(home: Home) -> str:
    return home.url.replace("localhost", NAME)


@pytest.fixture
def open_page_of(context: BrowserContext) -> Iterator[OpenPage]:
    """`open_page_of(name, html)`: a page that another server on this machine serves, under that name, opened."""
    shown: list[str] = []

    class Site(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.end_headers()
            self.wfile.write(shown[-1].encode())

        def log_message(self, *_: object) -> None:
            pass

    def open_page(name: str, html: str) -> Page:
        shown.append(html)
        page = context.new_page()
        page.goto(f"http://{name}:{server.server_port}/")
        return page

    server = ThreadingHTTPServer(("127.0.0.1", 0), Site)
    thread = Thread(target=server.serve_forever)
    thread.start()
    yield open_page
    server.shutdown()
    thread.join()
    server.server_close()


def sign_in(context: BrowserContext, home: Home) -> Page:
    """By the page without script, on plain http, as an old phone does it."""
    page = context.new_page()
    page.goto(f"{ours(home)}/print")
    page.get_by_label("Name").fill("Marit")
    page.get_by_label("Passphrase").fill(PASSPHRASE)
    page.get_by_role("button", name="Show the round").click()
    expect(page.get_by_label("Passphrase")).to_have_count(0)
    return page


def has_session(context: BrowserContext) -> bool:
    return any(cookie["name"] == "evenwater_session" for cookie in context.cookies())


def overhear(home: Home, path: str) -> list[tuple[bool, int]]:
    """Of each call of a path from now on: whether it carried a session, and the status it was answered with."""
    heard: list[tuple[bool, int]] = []

    async def listen(app: App, scope: Scope, receive: Receive, send: Send) -> None:
        async def hear(message: Message) -> None:
            if message["type"] == "http.response.start":
                heard.append((b"evenwater_session" in dict(scope["headers"]).get(b"cookie", b""), message["status"]))
            await send(message)

        await app(scope, receive, hear)

    home.line.fail(listen, path=path)
    return heard


def devices(own_page: Page) -> list[str]:
    """The devices signed in, asked by a page of our own."""
    ask = "() => fetch('/api/devices').then(answer => answer.json()).then(all => all.map(one => one.label))"
    return sorted(own_page.evaluate(ask))


def test_our_own_page_signs_in_by_its_form_on_plain_http(home: Home, context: BrowserContext) -> None:
    page = sign_in(context, home)
    assert has_session(context)
    assert "printable page" in devices(page)


@pytest.mark.parametrize("site", ["evil.example", NAME])
def test_a_form_of_another_site_signs_nobody_in(
    home: Home, context: BrowserContext, open_page_of: OpenPage, site: str
) -> None:
    # As text/plain a form's field is sent "name=value"; so its name can be the start of a JSON body.
    start, end = json.dumps(TOLD).rsplit("planted", 1)
    html = (
        f"<form method=post enctype=text/plain action='{ours(home)}/api/sign-in'>"
        f"<input name='{start}' value='{end}'><button>Win a koi</button></form>"
    )
    page = open_page_of(site, html)
    with page.expect_navigation() as gone:
        page.get_by_role("button").click()
    answer = gone.value
    assert answer and answer.status == 403 and answer.json()["code"] == "forbidden_origin"
    sent = answer.request.post_data
    assert sent and json.loads(sent)["name"] == "Marit"
    assert not has_session(context)


# To another site the browser sends no cookie (SameSite); to another port of our own host it does.
@pytest.mark.parametrize(("site", "heard"), [("evil.example", (False, 401)), (NAME, (True, 403))])
def test_a_script_of_another_site_ends_no_session(
    home: Home, context: BrowserContext, open_page_of: OpenPage, site: str, heard: tuple[bool, int]
) -> None:
    own = sign_in(context, home)
    before = devices(own)
    answers = overhear(home, "/api/sign-out")
    page = open_page_of(site, "<h1>Win a koi</h1>")
    page.evaluate(
        "address => fetch(address, {method: 'POST', mode: 'no-cors', credentials: 'include'}).catch(() => null)",
        f"{ours(home)}/api/sign-out",
    )
    assert answers == [heard]
    assert devices(own) == before


def test_another_name_that_leads_to_this_server_shows_nothing(home: Home, context: BrowserContext) -> None:
    page = context.new_page()
    answer = page.goto(home.url.replace("localhost", "evil.example"))
    assert answer and answer.status == 400
    assert answer.json()["code"] == "unknown_host"


def test_another_site_cannot_show_us_in_a_frame(home: Home, context: BrowserContext, open_page_of: OpenPage) -> None:
    sign_in(context, home)
    page = open_page_of(NAME, f"<iframe src='{ours(home)}/print'></iframe>")
    expect(page.locator("iframe")).to_have_count(1)
    frame = page.frames[1]
    frame.wait_for_load_state()
    assert frame.url.startswith("chrome-error:")
