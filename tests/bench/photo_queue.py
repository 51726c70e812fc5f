"""Gate 9: 300 photos of 300 kB taken without signal, on a phone four times slower than this machine.

A person feels a page hang from a tenth of a second on (Miller 1968, as quoted by Nielsen 1993, Usability Engineering,
chapter 5; from memory). What is measured is the page's longest task while a note after the other gets its six photos
through the app's own form, and then while they are sent.
The slow-down holds for the page's own thread, where everything is that a person would feel. On a machine that is busy
with other things a task lasts as long as these let it; so the processor's time it took stands beside it, without that
of clearing up memory, which the browser does when it likes and with the help of other cores.
"""

import io
import json
from pathlib import Path
from typing import Any

import numpy as np
from browser import Line, chromium, open_round, phone_page, slow_down
from figures import Report
from household import Keeper, serving
from PIL import Image
from playwright.sync_api import Page

PHOTOS, EACH = 300, 6
SLOWER = 4
LONG_MS = 1_200_000
SCRIPT = Path(__file__).with_name("photo_page.js").read_text(encoding="utf-8")
_WAITING = """() => import("/main.js").then(({ modules }) => {
  const all = [...modules["/store.js"].get().photos.values()];
  const of = (state) => all.filter((one) => one.state === state);
  return { waiting: of("waiting").length, home: of("home").length,
    kb: of("waiting").reduce((sum, one) => sum + one.size, 0) / 1000 };
})"""


def measure(report: Report, folder: Path, rounds: int) -> None:
    """Add gate 9 to the report; a round takes minutes, so at most three.

    Source of the limit: our own, of what is felt.
    """
    files = shots(folder / "shots")
    taking, own, sending, sizes = [], [], [], []
    with chromium() as browser:
        for number in range(min(rounds, 3)):
            with serving(folder / f"photos-{number}") as (port, _), phone_page(browser, Keeper(port), port) as page:
                page.add_init_script(SCRIPT)
                open_round(page, port)
                browser.start_tracing(page=page, categories=["toplevel", "v8"])
                taking.append(_take(page, port, files))
                own.append(_busiest_ms(browser.stop_tracing()))
                sizes.append(page.evaluate(_WAITING)["kb"] / PHOTOS)
                sending.append(_send(page))
    words = f"{PHOTOS} photos, {SLOWER}x slower"
    report.add(9, f"longest task while {words} are taken", taking, "ms", limit=100, digits=0)
    report.add(9, "the same by the processor's time, but for memory", own, "ms", limit=100, digits=0)
    report.add(9, "longest task while they are sent", sending, "ms", digits=0)
    report.add(9, "a photo as it is queued", sizes, "kB", digits=0)


def shots(folder: Path) -> list[Path]:
    """Photos of a pond as phones take them: 1,600 x 1,200, some 570 kB before the app reduces them, no two alike."""
    folder.mkdir()
    chance = np.random.default_rng(20261126)
    coarse = Image.fromarray(chance.integers(0, 255, (150, 200, 3), dtype=np.uint8)).resize((1600, 1200))
    fine = np.asarray(coarse, dtype=np.int16) + chance.integers(-7, 7, (1200, 1600, 1), dtype=np.int16)
    whole = Image.fromarray(fine.clip(0, 255).astype(np.uint8))
    found = [folder / f"IMG_{number:04}.jpg" for number in range(PHOTOS)]
    for number, file in enumerate(found):
        for bit in range(9):  # its number, in black and white, so that no two become the same file
            whole.paste((255 * (number >> bit & 1),) * 3, (64 * bit, 0, 64 * bit + 64, 64))
        out = io.BytesIO()
        whole.save(out, "JPEG", quality=85)
        file.write_bytes(out.getvalue())
    return found


def _take(page: Page, port: int, files: list[Path]) -> float:
    page.goto(f"http://127.0.0.1:{port}/book")
    page.get_by_role("button", name="Write a note").wait_for()
    page.evaluate("() => { bench.input(); }")
    page.set_input_files("#bench-files", files)
    page.wait_for_function("() => true")  # what the driver puts into the page is there before anything is timed
    Line(page).cut()
    slow_down(page, SLOWER)
    page.evaluate("() => { bench.again(); }")
    with page.expect_console_message(lambda said: said.text.startswith("photos_queued"), timeout=LONG_MS):
        page.evaluate(f"() => {{ bench.queue({EACH}); }}")
    _until(page, "waiting")
    return page.evaluate("() => bench.longest()")


def _busiest_ms(trace: bytes) -> float:
    """The processor's time of the page's longest task [ms]; those that clear up memory do not count."""
    events: list[dict[str, Any]] = json.loads(trace)["traceEvents"]
    pages = {(one["pid"], one["tid"]) for one in events if one.get("args", {}).get("name") == "CrRendererMain"}
    of_page = [one for one in events if one.get("ph") == "X" and (one["pid"], one["tid"]) in pages and "tdur" in one]
    clearing = [(one["pid"], one["ts"]) for one in of_page if one["name"] == "MajorGC"]
    tasks = [one for one in of_page if one["name"].endswith("RunTask")]

    def clears(task: dict[str, Any]) -> bool:
        return any(pid == task["pid"] and 0 <= at - task["ts"] <= task["dur"] for pid, at in clearing)

    return max((one["tdur"] for one in tasks if not clears(one)), default=0) / 1000


def _send(page: Page) -> float:
    page.evaluate("() => { bench.again(); }")
    Line(page).restore()
    _until(page, "home")
    return page.evaluate("() => bench.longest()")


def _until(page: Page, state: str) -> None:
    page.wait_for_function(f"({_WAITING})().then((now) => now.{state} === {PHOTOS})", timeout=LONG_MS, polling=1000)
