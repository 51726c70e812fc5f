"""Gate 4: what a first visit costs, what Lighthouse says, what axe finds.

Bytes are those of the network, headers and compression as they came, in a browser that has seen nothing yet, counted
until the network has been still for half a second. The service worker's own fill of the shell comes after the page and
is told apart. Lighthouse and axe look at the Round of the invented pond, signed in.
"""

import json
import os
import subprocess
from pathlib import Path

from browser import chromium, executable, open_round, phone_page
from figures import Report
from household import Keeper, serving
from peers import AUDITING, NoPeer, installed
from playwright.sync_api import Browser, Page

CATEGORIES = ("performance", "accessibility", "best-practices", "seo")
PAGES = ("/round", "/water", "/book")
LIGHTHOUSE_RUNS = 3


def measure(report: Report, folder: Path, rounds: int) -> None:
    """Add gate 4 to the report.

    Source of the limits: our own; Lighthouse counts a category green from 90, we ask for 95 and aim at 100.
    """
    with serving(folder / "first") as (port, _), chromium() as browser:
        for words, keeper in (("nobody signed in", None), ("signed in, with the round's data", Keeper(port))):
            loads = [_bytes_of_first_load(browser, port, keeper) for _ in range(rounds)]
            report.add(4, f"first load, {words}", [page / 1000 for page, _ in loads], "kB", limit=60, digits=1)
        report.add(4, "and the worker's copy of the shell", [worker / 1000 for _, worker in loads], "kB", digits=1)
        try:
            audits = installed(AUDITING)
        except NoPeer as reason:
            report.remark(f"gate 4 lacks Lighthouse and axe: {reason}")
            return
        _add_axe(report, browser, port, audits)
        _add_lighthouse(report, folder, port, audits)


def _bytes_of_first_load(browser: Browser, port: int, keeper: Keeper | None) -> tuple[int, int]:
    """(bytes for the page, bytes for its service worker)."""
    with phone_page(browser, keeper, port) as page:
        seen = {"page": 0, "worker": 0}
        cdp = page.context.new_cdp_session(page)
        cdp.send("Network.enable")

        def count(event: dict[str, float]) -> None:
            seen["page"] += int(event["encodedDataLength"])

        cdp.on("Network.loadingFinished", count)
        from_worker = []
        page.context.on("requestfinished", lambda request: request.service_worker and from_worker.append(request))
        page.goto(f"http://127.0.0.1:{port}/round")
        page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
        page.wait_for_load_state("networkidle")
        for request in from_worker:
            sizes = request.sizes()
            seen["worker"] += sizes["responseBodySize"] + sizes["responseHeadersSize"]
    return seen["page"], seen["worker"]


def _add_axe(report: Report, browser: Browser, port: int, audits: Path) -> None:
    """Violations on each page in each theme; the script is evaluated, since the content policy admits no other file."""
    axe = (audits / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")
    for theme in ("light", "dark"):
        with phone_page(browser, Keeper(port), port, color_scheme=theme) as page:
            open_round(page, port)
            page.evaluate(axe)
            for path in PAGES:
                page.locator(f'nav a[href="{path}"]').click()
                page.locator(f'nav a[href="{path}"][aria-current="page"]').wait_for()
                found = _violations(page)
                report.add(4, f"axe violations, {path}, {theme}", [len(found)], "", limit=0, digits=0)
                for one in found:
                    report.remark(f"axe on {path}, {theme}: {one}")


def _violations(page: Page) -> list[str]:
    found = page.evaluate(
        "async () => (await axe.run()).violations.map(({ id, nodes }) => [id, nodes.map((one) => one.html)])"
    )
    return [f"{name}: {' | '.join(html)[:300]}" for name, html in found]


def _add_lighthouse(report: Report, folder: Path, port: int, audits: Path) -> None:
    scores: dict[str, list[float]] = {name: [] for name in CATEGORIES}
    for number in range(LIGHTHOUSE_RUNS):
        told = _lighthouse(folder / f"lighthouse-{number}.json", port, audits)
        for name in CATEGORIES:
            category = told["categories"][name]
            scores[name].append(100 * (category["score"] or 0))
            if number == 0:
                for audit in category["auditRefs"]:
                    result = told["audits"][audit["id"]]
                    if audit["weight"] and result["score"] is not None and result["score"] < 0.9:
                        report.remark(f"Lighthouse {name}: {result['title']} {result.get('displayValue', '')}".rstrip())
    for name, values in scores.items():
        report.add(4, f"Lighthouse {name}, the Round, signed in", values, "", limit=95, at_least=True, digits=0)


def _lighthouse(answer: Path, port: int, audits: Path) -> dict[str, dict[str, dict[str, float]]]:
    command = ["node", str(audits / "node_modules" / "lighthouse" / "cli" / "index.js")]
    command += [f"http://127.0.0.1:{port}/round", "--quiet", "--output=json", f"--output-path={answer}"]
    command += [
        f"--only-categories={','.join(CATEGORIES)}",
        f"--extra-headers={json.dumps({'Cookie': Keeper(port).cookie})}",
    ]
    command += ["--chrome-flags=--headless=new --no-sandbox --disable-background-networking"]
    subprocess.run(
        command, check=True, env=os.environ | {"CHROME_PATH": executable()}, capture_output=True, timeout=180
    )
    told: dict[str, dict[str, dict[str, float]]] = json.loads(answer.read_text(encoding="utf-8"))
    return told
