"""`python3 tests …`: makes .venv with the test extra, makes sure there is a browser, runs pytest with the rest.

`--no-browser` leaves the browser journeys out and says so.
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


def main(arguments):
    python = bootstrap.ensure(["test"])
    if "--no-browser" in arguments:
        arguments = [one for one in arguments if one != "--no-browser"]
        bootstrap.say("without a browser: tests/journeys were not run.")
        arguments += ["--ignore", os.path.join(ROOT, "tests", "journeys")]
    else:
        os.environ["EVENWATER_BROWSER"] = get_browser(python)
    os.chdir(ROOT)
    bootstrap.step_into([python, "-m", "pytest", *arguments])


if __name__ == "__main__":
    main(sys.argv[1:])
