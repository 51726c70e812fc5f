"""Every screen of the app by name, and how a keeper gets there.

Those of KEEPERS are for somebody signed in at the example's pond, those of NEWCOMERS for a server with nobody in it.
"""

from collections.abc import Callable
from datetime import timedelta

from journeys.away_screens import (
    AWAY,
    a_hand_over_with_slips,
    a_link_shown_once,
    coming_home_so_far,
    the_sheet_before_it_is_printed,
)
from journeys.book_screens import BOOK
from journeys.fish_screens import FISH, FISH_LAYOUTS
from journeys.household import EVENING, PASSPHRASE
from journeys.jobs_screens import JOBS, a_job_with_everything_wrong, places_in_order, the_jobs, unfold
from journeys.reach_screens import REACH, a_list_by_mail_that_cannot_be
from journeys.report_screens import REPORT
from journeys.round_screen import card, press
from journeys.round_screens import GOING_ON, the_year
from journeys.start_screens import START, a_pond_by_its_measures, a_pond_by_salt_later, all_that_is_not_known
from journeys.warmth_screens import (
    WARMTH,
    a_key_for_a_logger,
    empty_warmth,
    everything_on_the_warmth_page,
    windows_that_overlap,
)
from playwright.sync_api import Page, expect

Screen = Callable[[Page], None]


def the_round(page: Page) -> None:
    page.goto("/round")
    expect(page.get_by_role("heading", name="Tonight's round")).to_be_visible()
    expect(page.get_by_role("article")).to_be_visible()


def a_dose_with_its_workings(page: Page) -> None:
    the_round(page)
    card(page, "Buffer").get_by_text("Workings").click()
    expect(page.get_by_text("Source:")).to_be_visible()


def a_dose_by_reading(page: Page) -> None:
    the_round(page)
    card(page, "Buffer").get_by_role("textbox", name="KH").fill("4,5")
    expect(page.get_by_text("Worked out from this reading.")).to_be_visible()


def a_reading_that_cannot_be(page: Page) -> None:
    the_round(page)
    card(page, "Buffer").get_by_role("textbox", name="KH").fill("400")
    expect(page.get_by_role("alert")).to_be_visible()


def a_dose_held_back(page: Page) -> None:
    the_round(page)
    buffer = card(page, "Buffer")
    buffer.get_by_role("textbox", name="KH").fill("1")
    expect(buffer).to_contain_text("held back")
    press(buffer, "Do it all the same")
    press(buffer, "Save")
    expect(buffer.get_by_role("alert")).to_be_visible()


def another_amount(page: Page) -> None:
    the_round(page)
    press(card(page, "Buffer"), "other amount")
    expect(page.get_by_role("textbox", name="Capfuls given")).to_be_visible()


def why_not_done(page: Page) -> None:
    the_round(page)
    press(card(page, "Covers on"), "not done")
    press(page, "could not")


def a_note(page: Page) -> None:
    the_round(page)
    press(card(page, "Covers on"), "note")
    expect(page.get_by_role("textbox", name="Note")).to_be_visible()


def a_day_gone_by(page: Page) -> None:
    page.goto("/round?day=2026-11-16")
    expect(page.get_by_role("heading", name="Mon 16 Nov")).to_be_visible()
    expect(page.get_by_role("main").get_by_role("listitem").first).to_be_visible()


def a_day_to_come(page: Page) -> None:
    page.goto("/round?day=2026-11-26")
    expect(page.get_by_role("heading", name="Thu 26 Nov")).to_be_visible()
    expect(page.get_by_text("Covers on")).to_be_visible()


def a_day_beyond_the_plan(page: Page) -> None:
    page.goto("/round?day=2026-12-31")
    expect(page.get_by_text("No round for this day on this phone yet.")).to_be_visible()


def what_is_wrong(page: Page) -> None:
    page.goto("/round?wrong")
    expect(page.get_by_role("heading", name="What is it?")).to_be_visible()


def first_steps(page: Page) -> None:
    what_is_wrong(page)
    page.get_by_role("main").get_by_role("listitem").first.get_by_role("link").click()
    expect(page.get_by_role("heading", name="Then ring")).to_be_visible()


def water(page: Page) -> None:
    page.goto("/water")
    expect(page.get_by_role("region", name="Latest readings")).to_be_visible()


def new_readings(page: Page) -> None:
    page.goto("/water?add")
    page.get_by_role("textbox", name="KH").fill("400")
    press(page, "Save readings")
    expect(page.get_by_text("Between 0 and 25 °dKH.")).to_be_visible()


def readings_asked_about(page: Page) -> None:
    page.goto("/water?add")
    page.get_by_text("More to measure").click()
    page.get_by_text("My test kit on this device").click()
    page.get_by_role("textbox", name="KH °dKH").fill("89")
    page.get_by_role("textbox", name="GH °dGH").fill("89")
    press(page, "Save readings")
    expect(page.get_by_text("89 looks like mg/L as CaCO₃").first).to_be_visible()


def everything_on_the_water_page(page: Page) -> None:
    water(page)
    page.evaluate("document.querySelectorAll('main details').forEach((one) => { one.open = true; })")
    expect(page.get_by_role("heading", name="Buffer, the week ahead")).to_be_visible()


def source_water_and_kit(page: Page) -> None:
    page.goto("/water?kit")
    page.get_by_label("The trickle is to have a certain").select_option("gh_dgh")
    press(page, "Save")
    expect(page.get_by_role("alert")).to_have_text("Please fill this in.")


def units(page: Page) -> None:
    page.goto("/water?units")
    expect(page.get_by_label("Volumes")).to_be_visible()


def the_membrane_started(page: Page) -> None:
    page.goto("/water?record=start_up")
    press(page, "Save")
    expect(page.get_by_role("alert").first).to_be_visible()


def salt_put_in(page: Page) -> None:
    page.goto("/water?record=salt")
    expect(page.get_by_text("Dissolve it first")).to_be_visible()


def the_past_to_bring_in(page: Page) -> None:
    page.goto("/past")
    page.get_by_text("Or paste rows").click()
    expect(page.get_by_role("link", name="Everything as CSV")).to_be_visible()


def a_table_as_it_was_understood(page: Page) -> None:
    page.goto("/past")
    table = "Date;KH;NO3;Weather\n3.11.2026;5,5;12;mild\n4.11.2026;=B2;10;mild\n4.11.2026;6;10;\n4.11.2026;5;10;\n"
    file = {"name": "pond.csv", "mimeType": "text/csv", "buffer": table.encode()}
    page.get_by_label("Your file").set_input_files([file])  # type: ignore[list-item]
    expect(page.get_by_role("heading", name="This is what I understood")).to_be_visible()
    page.evaluate("document.querySelectorAll('main details').forEach((one) => { one.open = true; })")
    expect(page.get_by_role("button", name="Keep 5 readings")).to_be_enabled()


def the_book(page: Page) -> None:
    page.goto("/book")
    expect(page.get_by_role("heading", name="Tue 24 Nov")).to_be_visible()
    doubtful = page.get_by_text("The phone's clock was wrong. When was this?").first
    while doubtful.count() == 0:
        press(page, "Show earlier ones")
    expect(doubtful).to_be_visible()


def this_device(page: Page) -> None:
    page.goto("/device")
    expect(page.get_by_text("this one")).to_be_visible()


def words_and_limits(page: Page) -> None:
    this_device(page)
    page.context.set_offline(True)
    page.get_by_role("link", name="Words and limits").click()
    expect(page.get_by_role("heading", name="What this tool does not know")).to_be_visible()


def pond_settings(page: Page) -> None:
    page.goto("/pond")
    page.get_by_label("Volume").fill("some")
    press(page, "Save")
    expect(page.get_by_role("alert").first).to_be_visible()


def days_later_without_signal(page: Page, days: int) -> None:
    """The phone was shut, and is opened out of reach of home."""
    page.goto("about:blank")  # a call that is under way while the clock jumps would take the jump for the clock's error
    page.context.set_offline(True)
    page.clock.set_system_time((EVENING + timedelta(days=days)).timestamp())
    page.goto("/round")


def a_plan_of_yesterday(page: Page) -> None:
    days_later_without_signal(page, 1)
    expect(page.get_by_text("worked out Tue")).to_be_visible()


def a_plan_that_has_ended(page: Page) -> None:
    days_later_without_signal(page, 9)
    expect(page.get_by_text("The plan on this phone ended")).to_be_visible()


def trouble_not_sent(page: Page) -> None:
    page.context.set_offline(True)
    first_steps(page)
    press(page, "Record it and tell the household")
    expect(page.get_by_text("Not sent: ring.")).to_be_visible()


def set_aside(page: Page) -> None:
    page.goto("/book")
    expect(page.get_by_role("heading", name="Tue 24 Nov")).to_be_visible()
    page.evaluate("""async () => {
      const { makeEntry, record } = (await import("/main.js")).modules["/record.js"];
      await record([makeEntry("reading", "main", { quantity: "kh_dkh", value: 400, point: "pond" })]);
    }""")
    expect(page.get_by_role("region", name="Set aside")).to_be_visible()


def signed_out_elsewhere(page: Page) -> None:
    page.context.clear_cookies()
    page.goto("/sign-in")
    expect(page.get_by_role("button", name="Sign in")).to_be_visible()


def home_does_not_answer(page: Page) -> None:
    page.route("**/api/start", lambda route: route.abort())
    page.goto("/")
    expect(page.get_by_role("alert")).to_contain_text("Home does not answer.")
    page.unroute_all()


def first_start(page: Page) -> None:
    page.goto("/")
    press(page, "Begin")
    expect(page.get_by_role("alert")).to_have_count(2)


def your_pond(page: Page) -> None:
    page.goto("/")
    page.get_by_label("Your name").fill("Marit")
    page.get_by_label("Passphrase").fill(PASSPHRASE)
    press(page, "Begin")
    expect(page.get_by_role("heading", name="Your pond")).to_be_visible()


def starter_jobs(page: Page) -> None:
    page.get_by_role("textbox", name="Name", exact=True).fill("Long pond")
    page.get_by_label("Volume").fill("16000")
    press(page, "Go on")
    expect(page.get_by_role("checkbox").first).to_be_visible()
    unfold(page)


def a_round_without_readings(page: Page) -> None:
    press(page, "Begin the round")
    expect(card(page, "Buffer")).to_contain_text("No KH has been measured yet")


def empty_water(page: Page) -> None:
    page.get_by_role("link", name="Water", exact=True).click()
    expect(page.get_by_text("No readings yet.")).to_be_visible()


KEEPERS: list[Screen] = [
    the_round,
    a_dose_with_its_workings,
    a_dose_by_reading,
    a_reading_that_cannot_be,
    a_dose_held_back,
    another_amount,
    why_not_done,
    a_note,
    a_day_gone_by,
    a_day_to_come,
    a_day_beyond_the_plan,
    what_is_wrong,
    first_steps,
    water,
    new_readings,
    readings_asked_about,
    everything_on_the_water_page,
    source_water_and_kit,
    units,
    the_membrane_started,
    salt_put_in,
    *WARMTH,
    *FISH,
    *JOBS,
    *AWAY,
    *REACH,
    the_past_to_bring_in,
    a_table_as_it_was_understood,
    the_book,
    *BOOK,
    *REPORT,
    this_device,
    words_and_limits,
    pond_settings,
    *START,
    *GOING_ON,
    a_plan_of_yesterday,
    a_plan_that_has_ended,
    trouble_not_sent,
    set_aside,
    signed_out_elsewhere,
]
"""In this order: the last ones leave the phone changed."""

LAYOUTS: list[Screen] = [
    the_round,
    a_dose_by_reading,
    another_amount,
    a_day_gone_by,
    first_steps,
    the_year,
    water,
    new_readings,
    everything_on_the_water_page,
    source_water_and_kit,
    everything_on_the_warmth_page,
    windows_that_overlap,
    a_key_for_a_logger,
    *FISH_LAYOUTS,
    the_jobs,
    a_job_with_everything_wrong,
    places_in_order,
    a_list_by_mail_that_cannot_be,
    a_hand_over_with_slips,
    a_link_shown_once,
    the_sheet_before_it_is_printed,
    coming_home_so_far,
    a_table_as_it_was_understood,
    the_book,
    *BOOK,
    *REPORT,
    this_device,
    pond_settings,
    *START,
]
"""One of each way a page of KEEPERS is laid out."""

NEWCOMERS: list[Screen] = [
    home_does_not_answer,
    first_start,
    your_pond,
    a_pond_by_its_measures,
    a_pond_by_salt_later,
    starter_jobs,
    a_round_without_readings,
    all_that_is_not_known,
    empty_water,
    empty_warmth,
]
"""In this order: each goes on from the one before."""
