"""Gate 3: the app on a phone four times slower than this machine, without signal.

Tap to durable: real taps on "All well" on the Round, from the moment the browser gave the tap to the completion of the
transaction (durability "strict") that put the entry and its place in the outbox. Usable offline: the page is opened
again with the network cut and the service worker in charge, from the start of the navigation to the painted round.
The slow-down holds for the page; the browser's own processes and the worker's thread run at full speed. It would hold
for a test driver's scripts in the page too, so none run there meanwhile: fingers are the browser's own touch events,
and the page says through its console what it measured.
"""

from collections.abc import Callable
from pathlib import Path

from browser import chromium, open_round, phone_page, slow_down
from figures import Report, percentile
from household import Keeper, serving
from playwright.sync_api import ConsoleMessage, Page

SLOWER = 4
TAPS = 60
OPENINGS = 7
# A finger rests on the glass for some 80 ms (common practice, no source). Up at once after down, it would wait for the
# frame that draws the button pressed, which no finger does.
FINGER_RESTS_MS = 80
BETWEEN_TAPS_MS = 200
WATCH = Path(__file__).with_name("page_watch.js").read_text(encoding="utf-8")


def measure(report: Report, folder: Path, rounds: int) -> None:
    """Add gate 3 to the report.

    Source of the limits: 50 ms is half of the 0.1 s that feel instantaneous (Miller 1968, as quoted by Nielsen 1993,
    Usability Engineering, chapter 5; from memory), so that the other half is left for the screen; 500 ms is our own.
    """
    taps, openings = [], []
    with chromium() as browser:
        for number in range(rounds):
            with serving(folder / f"slow-{number}") as (port, _), phone_page(browser, Keeper(port), port) as page:
                page.add_init_script(WATCH)
                open_round(page, port)
                page.context.set_offline(True)
                slow_down(page, SLOWER)
                openings.append(percentile([_open_again(page) for _ in range(OPENINGS)], 50))
                taps.append(percentile(_tap(page), 95))
    report.add(3, f"tap to durable, {SLOWER}x slower, 95th percentile of {TAPS}", taps, "ms", limit=50, digits=1)
    report.add(3, f"usable offline, {SLOWER}x slower, median of {OPENINGS}", openings, "ms", limit=500, digits=0)


def _open_again(page: Page) -> float:
    with page.expect_console_message(_says("round_ms")) as said:
        page.reload()
    cut_off = "() => navigator.serviceWorker.controller && fetch('/health').then(() => false, () => true)"
    if not page.evaluate(cut_off):
        raise RuntimeError("the page was not opened without network, by its service worker")
    return _number(said.value)


def _tap(page: Page) -> list[float]:
    button = page.locator(".look-row")
    button.scroll_into_view_if_needed()
    box = button.bounding_box()
    assert box is not None
    finger = {"x": box["x"] + box["width"] / 2, "y": box["y"] + box["height"] / 2}
    touch = page.context.new_cdp_session(page)
    taken: list[float] = []
    for _ in range(TAPS):
        with page.expect_console_message(_says("tap_ms")) as said:
            touch.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [finger]})
            page.wait_for_timeout(FINGER_RESTS_MS)
            touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
        taken.append(_number(said.value))
        page.wait_for_timeout(BETWEEN_TAPS_MS)
    return taken


def _says(name: str) -> Callable[[ConsoleMessage], bool]:
    return lambda message: message.text.startswith(f"{name} ")


def _number(message: ConsoleMessage) -> float:
    return float(message.text.split()[1])
