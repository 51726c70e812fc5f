"""`python3 tests …`: makes .venv with the test extra, makes sure there is a browser, runs pytest with the rest.

`--no-browser` leaves the browser journeys out and says so. A whole run uses every core, up to four; a choice of tests,
or `-s` for the tables that simulations print, stays in one process. `--screenshots` draws every screen into
.screenshots, on a phone and on a desk, light and dark, and checks it on the way.
"""

import os
import shutil
import subprocess
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.dirname(os.path.abspath(__file__))), "backend"))

import bootstrap

ROOT = bootstrap.ROOT


def find_browser(python):
    """The system's Chromium, or Playwright's own."""
    for name in ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable"):
        if shutil.which(name):
            return shutil.which(name)
    code = (
        "import os; from playwright.sync_api import sync_playwright\n"
        "with sync_playwright() as p: path = p.chromium.executable_path\n"
        "print(path if os.path.exists(path) else '')"
    )
    return subprocess.run([python, "-c", code], capture_output=True, text=True).stdout.strip()


def get_browser(python):
    found = find_browser(python)
    if not found:
        bootstrap.say("no browser yet: asking Playwright for its Chromium …")
        subprocess.call([python, "-m", "playwright", "install", "chromium"])
        found = find_browser(python)
    if not found:
        bootstrap.stop(
            "the browser tests need Chromium: install it (Debian, Ubuntu: apt install chromium) and try again,"
            " or leave them out with --no-browser."
        )
    return found


def spread(arguments):
    """Options that spread a whole run over the cores, file by file: files share what they set up once."""
    cores = min(4, os.cpu_count() or 1)
    narrowed = any(not one.startswith("--") for one in arguments)
    return [] if cores < 2 or narrowed else ["-n", str(cores), "--dist", "loadfile", "--no-loadscope-reorder"]


def draw_screens():
    folder = os.path.join(ROOT, ".screenshots")
    os.makedirs(folder, exist_ok=True)
    os.environ["EVENWATER_SCREENSHOTS"] = folder
    bootstrap.say(f"drawing every screen into {folder} …")
    journeys = os.path.join("tests", "journeys")
    return [os.path.join(journeys, name) for name in ("test_every_screen.py", "test_every_helper_screen.py")]


def main(arguments):
    python = bootstrap.ensure(["test"])
    options = spread(arguments)
    if "--no-browser" in arguments:
        arguments = [one for one in arguments if one != "--no-browser"]
        bootstrap.say("without a browser: tests/journeys were not run.")
        arguments += ["--ignore", os.path.join(ROOT, "tests", "journeys")]
    else:
        if "--screenshots" in arguments:
            arguments = [one for one in arguments if one != "--screenshots"] + draw_screens()
        os.environ["EVENWATER_BROWSER"] = get_browser(python)
    os.chdir(ROOT)
    bootstrap.step_into([python, "-m", "pytest", *options, *arguments])


if __name__ == "__main__":
    main(sys.argv[1:])
