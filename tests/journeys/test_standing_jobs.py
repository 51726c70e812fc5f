"""Standing jobs set in the app: conditions in plain words, rules that cannot be, places moved, two keepers at one."""

import re
from collections.abc import Callable

import pytest
from journeys.failures.device import on_device
from journeys.home import Home
from journeys.household import Caller
from journeys.jobs_screen import open_group, open_job, section, summary
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.round_screen import SENT, press, sync_line
from journeys.waiting import until
from journeys.water_screen import settings
from playwright.sync_api import Locator, Page, expect


def saved(page: Page) -> None:
    """The form is gone; what it said is at home."""
    press(page, "Save")
    expect(page.get_by_role("heading", name="Jobs", exact=True)).to_be_visible()
    expect(sync_line(page)).to_have_text(SENT)


def group(page: Page, name: str) -> Locator:
    """A row of a list, or the fields of a section."""
    return page.get_by_role("group", name=name, exact=True)


def test_conditions_are_built_from_parts_and_read_back(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    open_job(phone, "agitate")
    section(phone, "Only if")
    for _ in range(3):
        press(phone, "Add a condition")
    first, second, third = (group(phone, f"Condition {n}") for n in (1, 2, 3))
    first.get_by_label("Reading", exact=True).select_option("total_chlorine_ug_per_l")
    first.get_by_label("Measured").select_option("after_carbon")
    first.get_by_label("Value").fill("20")
    second.get_by_label("Reading", exact=True).select_option("temperature_c")
    second.get_by_label("Is", exact=True).select_option("below")
    second.get_by_label("Value").fill("10")
    second.get_by_label("At every reading").fill("3")
    third.get_by_label("It depends on").select_option("happened")
    third.get_by_label("This", exact=True).select_option("start_up")
    third.get_by_label("Within days").fill("1")
    expect(first.get_by_role("status")).to_have_text("total chlorine after the carbon above 20 µg/L")
    expect(second.get_by_role("status")).to_have_text("water temperature below 10 °C for 3 days")
    expect(third.get_by_role("status")).to_have_text("membrane started, today or yesterday")
    expect(summary(phone, "Only if")).to_contain_text("above 20 µg/L and water temperature below 10 °C for 3 days")
    saved(phone)
    assert settings(keeper)["job/agitate", "only_if"] == [
        {
            "what": "reading",
            "quantity": "total_chlorine_ug_per_l",
            "side": "above",
            "value": 20,
            "point": "after_carbon",
        },
        {"what": "reading", "quantity": "temperature_c", "side": "below", "value": 10, "for_days": 3},
        {"what": "happened", "subject": "start_up", "within_days": 1},
    ]


def test_what_is_never_measured_there_is_told_at_the_field(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    open_job(phone, "agitate")
    section(phone, "Only if")
    press(phone, "Add a condition")
    condition = group(phone, "Condition 1")
    condition.get_by_label("Reading", exact=True).select_option("kh_dkh")
    condition.get_by_label("Measured").select_option("filter_house")
    condition.get_by_label("Value").fill("60")
    press(phone, "Save")
    expect(condition.get_by_role("alert")).to_have_text("Between 0 and 25 °dKH.")
    condition.get_by_label("Value").fill("6")
    press(phone, "Save")
    expect(condition.get_by_role("alert")).to_have_text("KH is not measured in the filter house.")
    expect(condition.get_by_label("Measured")).to_be_focused()
    assert ("job/agitate", "only_if") not in settings(keeper)


@pytest.mark.parametrize(
    ("rule", "told"),
    [
        ("FREQ=MINUTELY", "Finer than a day: a job has its time of day below."),
        ("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30", "No such day is in any year: this job would never come."),
        ("every saturday", "Parts such as FREQ=WEEKLY;BYDAY=SA, with ; between them."),
        ("FREQ=MONTHLY;BYDAY=6SA", "BYDAY=6SA is not possible."),
        ("FREQ=DAILY;COUNT=3;UNTIL=20270101", "COUNT or UNTIL, not both."),
    ],
)
def test_a_rule_that_cannot_be_is_told_before_it_is_saved(keeper: Caller, phone: Page, rule: str, told: str) -> None:
    sign_in(phone)
    open_job(phone, "agitate")
    when = section(phone, "When")
    when.get_by_label("It comes").select_option("rule")
    when.get_by_label("By the calendar").select_option("own")
    when.get_by_label("Rule, as in").fill(rule)
    press(phone, "Save")
    expect(when.get_by_role("alert")).to_have_text(told)
    assert settings(keeper)["job/agitate", "recur"]["every"] == "after_done"


def test_a_rule_in_plain_choices_is_the_rule_of_the_standard(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    open_job(phone, "agitate")
    when = section(phone, "When")
    when.get_by_label("It comes").select_option("rule")
    when.get_by_label("Every … months").fill("2")
    expect(summary(phone, "When")).to_contain_text("on the first Saturday of every 2 months")
    when.get_by_label("By the calendar").select_option("year_day")
    when.get_by_label("Month").first.select_option("2")
    when.get_by_label("Day of the month").fill("31")
    press(phone, "Save")
    expect(when.get_by_role("alert")).to_have_text("February has 29 days.")
    when.get_by_label("Day of the month").fill("28")
    saved(phone)
    assert settings(keeper)["job/agitate", "recur"] == {"every": "rule", "rule": "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=28"}
    open_job(phone, "agitate")
    expect(summary(phone, "When")).to_contain_text("each year on 28 February")


def test_jobs_that_wait_for_each_other_are_named(keeper: Caller, phone: Page) -> None:
    keeper.keep(keeper.entry("set", target="job/heater", field="after", value=["buffer"], effective_from=None))
    sign_in(phone)
    open_job(phone, "buffer")
    section(phone, "Comes after")
    press(phone, "Add what comes first")
    group(phone, "First 1").get_by_label("Job").select_option("heater")
    press(phone, "Save")
    expect(group(phone, "First 1").get_by_role("alert")).to_have_text(
        "These wait for each other: Buffer → Heater setting → Buffer."
    )


def test_a_job_of_ones_own_with_no_signal(home: Home, keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    make_ready_for_no_signal(phone)
    phone.goto("/jobs")
    expect(phone.get_by_role("link", name="+ own job")).to_be_visible()
    phone.context.set_offline(True)
    phone.goto("/jobs?new")
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("Please fill this in.")
    phone.get_by_label("What is to be done").fill("Wipe the skimmer")
    when = section(phone, "When")
    when.get_by_label("It comes").select_option("weekdays")
    press(phone, "Save")
    expect(when.get_by_role("alert")).to_have_text("Press at least one day.")
    press(when, "Tue")
    windows = section(phone, "Time of day")
    windows.get_by_label("Closes", exact=True).select_option("dusk_after")
    windows.get_by_label("Closes by").fill("02:00")
    waits = section(phone, "If it is missed")
    waits.get_by_label("May wait without harm").fill("1.5")
    press(phone, "Save")
    expect(waits.get_by_role("alert")).to_have_text("A whole number, such as 5.")
    waits.get_by_label("May wait without harm").fill("2")
    press(phone, "Save")
    own = open_group(phone, "Your own")
    expect(own).to_contain_text("every Tue · midday · At the water")
    phone.context.set_offline(False)
    expect(sync_line(phone)).to_have_text(SENT)
    assert keeper.job("wipe-the-skimmer", slot="day")["text"] == "Wipe the skimmer"


def test_a_group_and_a_job_are_switched_off_and_on(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    phone.goto("/jobs")
    daily = open_group(phone, "Every day")
    daily.get_by_role("checkbox", name="Buffer").uncheck()
    until(
        lambda: all(job["standing_job"] != "buffer" for job in keeper.plan()["days"][0]["jobs"]), "off at home", phone
    )
    daily.get_by_role("checkbox", name="Buffer").check()
    expect(daily.get_by_role("link", name="Set Buffer")).to_be_visible()
    winter = open_group(phone, "Winter")
    press(winter, "Switch all on: Winter")
    expect(winter.locator("summary")).to_contain_text(re.compile(r"^Winter\s*5 of 5 on"))
    winter_jobs = next(one["jobs"] for one in keeper.plan()["starter_groups"] if one["title"] == "Winter")
    asked = {(f"job/{job['id']}", "text") for job in winter_jobs}
    until(lambda: asked <= settings(keeper).keys(), "all of the winter is at home", phone)
    assert settings(keeper)["job/buffer", "active"] is True


def test_places_are_moved_by_keyboard_and_renamed(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    phone.goto("/jobs?places")
    phone.get_by_role("button", name="Filter house: one up").focus()
    phone.keyboard.press("Enter")
    expect(phone.get_by_label("Place 1")).to_have_value("Filter house")
    expect(phone.get_by_role("button", name="Filter house: one down")).to_be_focused()
    press(phone, "Add a place")
    phone.get_by_label("Place 3").fill("filter house ")
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("That place stands here already.")
    phone.get_by_label("Place 3").fill("Indoors")
    phone.get_by_label("Place 2").fill("At the pond")
    saved(phone)
    told = settings(keeper)
    assert told["pond", "places"] == ["Filter house", "At the pond", "Indoors"]
    assert told["job/cover", "place"] == "At the pond"


def test_two_keepers_set_one_job_and_each_sees_the_other(
    home: Home, keeper: Caller, new_phone: Callable[..., Page]
) -> None:
    home.add_person("Mia")
    marits, mias = new_phone(), new_phone()
    sign_in(marits)
    sign_in(mias, "Mia")
    for page, days in ((mias, "14"), (marits, "10")):
        make_ready_for_no_signal(page)
        page.context.set_offline(True)
        open_job(page, "agitate")
        section(page, "When").get_by_label("Days after it was done").fill(days)
        press(page, "Save")
        expect(page.get_by_role("heading", name="Jobs", exact=True)).to_be_visible()
    for page in (mias, marits):
        page.context.set_offline(False)
        fetch(page, keeper)
    assert settings(keeper)["job/agitate", "recur"]["days"] == 10
    open_job(marits, "agitate")
    expect(section(marits, "When")).to_contain_text(
        re.compile("Mia set this to 14 days .*, 16:4\\d; the one you see came")
    )
    fetch(mias, keeper)
    open_job(mias, "agitate")
    expect(section(mias, "When")).to_contain_text(re.compile(r"Marit set this to 10 days .*, 16:4\d\."))


def fetch(page: Page, keeper: Caller) -> None:
    """Send what waits and fetch what others sent."""
    page.goto("/device")
    press(page, "Send and fetch now")
    until(lambda: not on_device(page).outbox, "what waited is home", page)
    at_home = {one["entry"]["id"] for one in keeper.log("set") if one["entry"]["target"] == "job/agitate"}
    until(lambda: at_home <= set(on_device(page).entries), "what others set is here", page)


def test_what_home_refuses_stays_in_sight(home: Home, keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    phone.goto("/jobs")
    expect(phone.get_by_role("heading", name="Jobs", exact=True)).to_be_visible()
    phone.evaluate("""async () => {
      const { makeEntry, record } = (await import("/main.js")).modules["/record.js"];
      await record([makeEntry("set", "long-pond", { target: "job/agitate", field: "recur", effective_from: null,
        value: { every: "rule", rule: "FREQ=MONTHLY;BYMONTHDAY=31;BYMONTH=4" } })]);
    }""")
    expect(phone.get_by_text("Home could not take this; it stays on this device")).to_be_visible()
    open_job(phone, "agitate")
    expect(phone.get_by_text("Home could not take this; it stays on this device")).to_be_visible()
    expect(summary(phone, "When")).to_contain_text("9 days after it was done")
