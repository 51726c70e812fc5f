"""The screens of jobs, kit, changes and track record, and how a keeper gets there; screens.py puts them in order."""

from journeys.jobs_screen import open_job
from journeys.round_screen import press
from playwright.sync_api import Page, expect


def unfold(page: Page) -> None:
    """Everything that is folded, open."""
    page.evaluate("document.querySelectorAll('main details').forEach((one) => { one.open = true; })")


def the_jobs(page: Page) -> None:
    page.goto("/jobs")
    expect(page.get_by_role("heading", name="Jobs", level=1)).to_be_visible()
    unfold(page)


def a_job_with_everything_wrong(page: Page) -> None:
    open_job(page, "agitate")
    unfold(page)
    page.get_by_label("It comes").select_option("rule")
    page.get_by_label("By the calendar").select_option("own")
    page.get_by_label("Rule, as in").fill("FREQ=HOURLY")
    for button in ("Add a condition", "Add what comes first", "Add a time of day", "Add a caution"):
        press(page, button)
    page.get_by_label("Only in a season").select_option("yes")
    press(page, "Save")
    expect(page.get_by_role("alert").first).to_be_visible()


def places_in_order(page: Page) -> None:
    page.goto("/jobs?places")
    press(page, "Add a place")
    press(page, "Save")
    expect(page.get_by_role("alert")).to_have_text("Please fill this in.")


def the_kit(page: Page) -> None:
    page.goto("/kit")
    expect(page.get_by_role("heading", name="Kit", level=1)).to_be_visible()
    unfold(page)


def a_piece_of_kit(page: Page) -> None:
    page.goto("/kit?new")
    press(page, "Save")
    expect(page.get_by_role("alert")).to_be_visible()


def the_changes(page: Page) -> None:
    page.goto("/changes")
    expect(page.get_by_role("heading", name="Changes", level=1)).to_be_visible()
    unfold(page)


def a_change(page: Page) -> None:
    page.goto("/changes?new")
    press(page, "Save")
    expect(page.get_by_role("alert")).to_be_visible()


def fish_that_came(page: Page) -> None:
    page.goto("/changes?fish")
    press(page, "Save")
    expect(page.get_by_role("alert")).to_be_visible()


def fish_and_food(page: Page) -> None:
    page.goto("/changes?stock")
    page.get_by_label("Feed in steps").select_option("yes")
    press(page, "Save")
    expect(page.get_by_role("alert").first).to_be_visible()


def the_track_record(page: Page) -> None:
    page.goto("/scores")
    expect(page.get_by_role("heading", name="Track record", level=1)).to_be_visible()
    unfold(page)


JOBS = [
    the_jobs,
    a_job_with_everything_wrong,
    places_in_order,
    the_kit,
    a_piece_of_kit,
    the_changes,
    a_change,
    fish_that_came,
    fish_and_food,
    the_track_record,
]
"""Those of somebody signed in at the example's pond."""
