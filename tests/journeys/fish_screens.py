"""The screens of the Fish page and of its forms, and how a keeper gets there; screens.py puts them in order."""

import re

from journeys.round_screen import press, sync_line
from journeys.waiting import until
from playwright.sync_api import Page, expect

_STOCKED = """async () => {
  const { modules } = await import("/main.js");
  const { get } = modules["/store.js"];
  const { makeEntry, record } = modules["/record.js"];
  const known = get().plan.fish.flatMap((page) => page.fish).some(({ id }) => id === "yuki");
  if (known || [...get().seen.values()].some(({ entry }) => entry.target === "fish/yuki")) return;
  const set = (id, field, value) => makeEntry("set", "main", { target: `fish/${id}`, field, value,
    effective_from: null });
  const measured = (fish, length_cm, days, more = {}) => makeEntry("fish_measure", "main",
    { fish, length_cm, length_is: "total", ...more }, Date.now() - days * 86400000);
  await record([
    set("yuki", "name", "Yuki"), set("yuki", "variety", "white with one red cap"), set("yuki", "born_year", 2019),
    set("yuki", "sex", "female"), set("bruno", "name", "Bruno"), set("bruno", "variety", "brown, scaled"),
    set("small-ones", "name", "The small ones"), set("small-ones", "count", 8),
    measured("yuki", 50, 650), measured("yuki", 54, 400, { weight_g: 2600 }), measured("yuki", 56, 200),
    measured("yuki", 57.5, 30, { weight_g: 3100 }),
    measured("bruno", 49, 400), measured("bruno", 49, 30), measured("bruno", 41, 12),
  ]);
}"""


_KNOWN_AT_HOME = """async () => {
  const { get } = (await import("/main.js")).modules["/store.js"];
  return get().plan.fish.flatMap((page) => page.fish).some(({ id }) => id === "small-ones");
}"""


def stocked(page: Page) -> None:
    """Two fish with a past and a group, once."""
    page.goto("/fish")
    expect(page.get_by_role("heading", name="Fish", level=1)).to_be_visible()
    expect(page.get_by_role("region", name="Feed today")).to_be_visible()
    page.evaluate(_STOCKED)
    expect(page.get_by_role("article", name="Yuki")).to_be_visible()
    expect(sync_line(page)).to_contain_text("All sent")
    # Until then they stand below the others, as this phone has them.
    until(lambda: page.evaluate(_KNOWN_AT_HOME), "home has spoken of them", page)


def the_fish(page: Page) -> None:
    stocked(page)
    expect(page.get_by_role("article", name="Yuki")).to_contain_text("57.5 cm total")
    expect(page.get_by_role("region", name="Feed today")).to_be_visible()


def all_about_a_fish(page: Page) -> None:
    stocked(page)
    page.get_by_role("link", name="All about it: Yuki").click()
    expect(page.get_by_role("heading", name="Measured")).to_be_visible()
    expect(page.get_by_role("img", name="Yuki: total length from 50.0 cm")).to_be_visible()


def a_new_fish(page: Page) -> None:
    page.goto("/fish?add")
    page.get_by_label("It", exact=True).select_option("new")
    press(page, "Save")
    expect(page.get_by_role("alert")).to_have_text("Please fill this in.")


def a_fish_that_left(page: Page) -> None:
    stocked(page)
    page.get_by_role("link", name="All about it: The small ones").click()
    page.get_by_role("link", name="Moved or gone").click()
    page.get_by_label("What happened").select_option("died")
    page.get_by_role("textbox", name="How many of them").fill("9")
    press(page, "Save")
    expect(page.get_by_role("alert")).to_have_text("No more than 8 are here.")


def a_bowling_begun(page: Page) -> None:
    stocked(page)
    page.goto("/fish?bowl")
    begin = page.get_by_role("button", name="Begin")
    end = page.get_by_role("button", name="End this session")
    expect(begin.or_(end)).to_be_visible()
    if end.is_visible():
        end.click()
    page.get_by_role("textbox", name="Water in the bowl now").fill("120")
    press(page, "Begin")
    expect(page.get_by_role("alert")).to_be_visible()


def whom_to_lift_next(page: Page) -> None:
    a_bowling_begun(page)
    page.get_by_role("textbox", name="Water in the bowl now").fill("12")
    press(page, "Begin")
    expect(page.get_by_role("region", name="Not done yet")).to_be_visible()


def a_length_asked_about(page: Page) -> None:
    whom_to_lift_next(page)
    page.get_by_role("button", name=re.compile("^Yuki")).click()
    page.get_by_role("textbox", name="Length").fill("5.6")
    page.get_by_role("button", name="gills").click()
    press(page, "Done, next fish")
    expect(page.get_by_role("button", name="It is 56 cm")).to_be_visible()


def food_that_came(page: Page) -> None:
    page.goto("/fish?food")
    page.get_by_role("textbox", name="Paid for it").fill("5 x")
    press(page, "Save")
    expect(page.get_by_role("alert").first).to_have_text("Please fill this in.")


def a_dose_by_its_label(page: Page) -> None:
    page.goto("/fish?label")
    page.get_by_role("textbox", name="The label says").fill("3")
    page.get_by_role("textbox", name="Given").fill("2000")
    expect(page.get_by_text("What was given is more than the label asks for")).to_be_visible()


def seen_on_the_fish(page: Page) -> None:
    stocked(page)
    page.goto("/fish?seen")
    press(page, "Save")
    expect(page.get_by_role("alert")).to_have_text("Something seen, a few words or a photo first.")


def first_aid(page: Page) -> None:
    seen_on_the_fish(page)
    press(page, "gasping at the surface")
    press(page, "Yuki")
    press(page, "Save")
    expect(page.get_by_role("heading", name="First, whatever it is")).to_be_visible()


def what_the_sightings_share(page: Page) -> None:
    first_aid(page)
    page.get_by_role("link", name="Back to the fish").click()
    expect(page.get_by_role("region", name="What the sightings share")).to_be_visible()


FISH = [
    the_fish,
    all_about_a_fish,
    a_new_fish,
    a_fish_that_left,
    a_bowling_begun,
    whom_to_lift_next,
    a_length_asked_about,
    food_that_came,
    a_dose_by_its_label,
    seen_on_the_fish,
    first_aid,
    what_the_sightings_share,
]
FISH_LAYOUTS = [the_fish, all_about_a_fish, a_new_fish, whom_to_lift_next, a_length_asked_about]
