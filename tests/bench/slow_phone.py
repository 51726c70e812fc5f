"""Gate 3: the app on a phone four times slower than this machine, without signal.

Tap to durable: real taps on "All well" on the Round, from the moment the browser gave the tap to the completion of the
transaction (durability "strict") that put the entry and its place in the outbox. Usable offline: the page is opened
again with the network cut and the service worker in charge, from the start of the navigation to the painted round.
The slow-down holds for the page; the browser's own processes and the worker's thread run at full speed.
"""

from pathlib import Path

from browser import chromium, open_round, phone_page, slow_down
from figures import Report, percentile
from household import Keeper, serving
from playwright.sync_api import Page

SLOWER = 4
TAPS = 60
OPENINGS = 7
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
    page.reload()
    page.locator("main.round ol.path").first.wait_for()
    took: float = page.evaluate(
        """async () => {
            while (!globalThis.round_ms) await new Promise((on) => setTimeout(on, 10));
            return globalThis.round_ms;
        }"""
    )
    cut_off = "() => navigator.serviceWorker.controller && fetch('/health').then(() => false, () => true)"
    if not page.evaluate(cut_off):
        raise RuntimeError("the page was not opened without network, by its service worker")
    return took


def _tap(page: Page) -> list[float]:
    button = page.locator(".look-row")
    for number in range(TAPS):
        button.tap()
        page.evaluate(
            "async (n) => { while (globalThis.taps.length < n) await new Promise((on) => setTimeout(on, 10)); }",
            number + 1,
        )
        page.wait_for_timeout(BETWEEN_TAPS_MS)
    taken: list[float] = page.evaluate("() => globalThis.taps")
    return taken
