"""From an empty folder to one's own pond: tonight's dose within twenty taps, a reason for the covers within sixty."""

import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from journeys.home import Home
from journeys.household import PASSPHRASE, Caller
from journeys.jobs_screen import Taps
from journeys.phones import sign_in
from journeys.round_screen import card, press, sync_line
from playwright.sync_api import Page, expect

from evenwater.domain.fish.rough_mass import rough_mass_g
from evenwater.domain.water.basin import BASIN_SD_FRACTION, basin_volume_l

TAPS_TO_A_DOSE, TAPS_TO_ALL = 20, 60
HOME_AT = {"latitude": 52.52065, "longitude": 13.40941}
RECKONED = """async ([basins, fish]) => {
  await import("/later.js");
  const { modules } = await import("/main.js");
  const { basinVolumeL, BASIN_SD_FRACTION } = modules["/domain/basin.js"];
  return [basins.map((one) => basinVolumeL(...one)), BASIN_SD_FRACTION,
    fish.map((one) => modules["/domain/rough-fish.js"].roughMassG(...one))];
}"""


@pytest.fixture
def witness(home: Home, phone: Page) -> Iterator[Callable[[], Caller]]:
    """Somebody who reads what home has, once the household is begun."""
    made: list[Caller] = []

    def see() -> Caller:
        made.append(Caller(home.url, home.clock).sign_in())
        return made[-1]

    yield see
    for one in made:
        one.close()


def settings(keeper: Caller) -> dict[str, Any]:
    """The pond's settings, the last of each."""
    told = [one["entry"] for one in keeper.log("set")]
    return {one["field"]: one["value"] for one in told if one["target"] == "pond"}


def begin(page: Page, taps: Taps) -> None:
    page.goto("/")
    taps.type("Your name", "Marit")
    taps.type("Passphrase", PASSPHRASE)
    taps.button("Begin")
    expect(page.get_by_role("heading", name="Your pond")).to_be_visible()


def test_a_new_user_has_a_dose_in_twenty_taps_and_a_reason_for_the_covers_in_sixty(
    phone: Page, witness: Callable[[], Caller]
) -> None:
    taps = Taps(phone)
    begin(phone, taps)
    tell_three_things(phone, taps)
    taps.button("Begin the round")
    give_the_dose(phone, taps)
    assert taps.count <= TAPS_TO_A_DOSE, taps.count
    tell_the_rest(phone, taps)
    taps.link("Round")
    taps.on(phone.get_by_role("button", name="Covers on").first)
    expect(card(phone, "Covers on")).to_contain_text("Open, the water would lose")
    assert taps.count <= TAPS_TO_ALL, taps.count
    check(settings(witness()))


def tell_three_things(page: Page, taps: Taps) -> None:
    """Its measures, in centimetres first; what comes in; a capful."""
    taps.button("by its measures")
    expect(page.get_by_role("img", name="A pond from above")).to_be_visible()
    for label, text in {"A: length": "420", "B: width": "2,6", "C: depth": "1.4"}.items():
        taps.type(label, text)
    taps.type("KH of the incoming water", "0,5")
    taps.type("Weight of one capful", "40")
    taps.button("Go on")
    length = page.get_by_label("A: length")
    expect(length).to_have_accessible_description("Between 0.1 and 100 m.")
    expect(length).to_be_focused()
    length.fill("4,2")
    expect(page.get_by_text("That is 15,300 L, give or take 1,000 L.")).to_be_visible()
    taps.button("Go on")
    expect(page.get_by_role("heading", name="Your year")).to_be_visible()


def give_the_dose(page: Page, taps: Taps) -> None:
    taps.on(page.get_by_role("button", name="Buffer"))
    buffer = card(page, "Buffer")
    taps.on(buffer.get_by_role("textbox", name="KH"))
    buffer.get_by_role("textbox", name="KH").fill("4,5")
    expect(buffer.locator(".amount")).to_contain_text("capfuls")
    taps.on(buffer.get_by_role("button", name="Given"))
    expect(sync_line(page)).to_contain_text("All sent")


def tell_the_rest(page: Page, taps: Taps) -> None:
    """Each from the list, in any order, and back there; what this pond has not is left."""
    taps.link("10 things I do not know yet")
    tell(page, taps, "Where the pond is", lambda: put_it_on_the_map(page, taps))
    tell(page, taps, "The cover", lambda: choose(page, taps, "There is a cover", "yes"))
    tell(page, taps, "How warm the water is", lambda: taps.type("Water temperature", "12"))
    tell(
        page,
        taps,
        "The heater",
        lambda: (choose(page, taps, "The water is heated", "yes"), taps.type("Heat it gives", "3000")),
    )
    tell(page, taps, "The tariff", lambda: taps.type("Rate otherwise", "0,31"))
    tell(page, taps, "The fish", lambda: (taps.type("Fish", "9"), taps.type("Each is about", "55")))
    tell(
        page,
        taps,
        "How warm it should be",
        lambda: (taps.type("Water not below", "18"), taps.type("Water not above", "21")),
    )
    tell(page, taps, "Filters and pumps", lambda: taps.type("Name", "Main pump"))
    tell(page, taps, "The order you walk", lambda: None)
    tell(page, taps, "Whom to ring", lambda: somebody_to_ring(page, taps))
    taps.on(page.get_by_role("button", name="Leave it: Walls"))
    expect(page.get_by_role("link", name="Walls and floor")).to_have_count(0)
    expect(page.get_by_text("Left for now: 1")).to_be_visible()
    taps.link("Tonight's air")
    low = page.get_by_label("Low")
    taps.on(low)
    low.fill("-2")
    taps.on(page.get_by_role("form", name="Tonight's forecast").get_by_role("button", name="Save"))
    expect(sync_line(page)).to_contain_text("All sent")


def tell(page: Page, taps: Taps, what: str, fill: Callable[[], object]) -> None:
    """Open what the list names, fill it in, and be back on the list without it."""
    taps.link(what)
    fill()
    taps.on(page.locator("form").get_by_role("button", name="Save").last)
    expect(page.get_by_role("heading", name="What I do not know yet")).to_be_visible()
    expect(page.get_by_role("link", name=re.compile(f"^{what}"))).to_have_count(0)


def put_it_on_the_map(page: Page, taps: Taps) -> None:
    """By what the phone says, no finer than some ten kilometres."""
    page.context.grant_permissions(["geolocation"])
    page.context.set_geolocation(HOME_AT)
    taps.button("Use where this phone is")
    expect(page.get_by_label("Latitude")).to_have_value("52.5")


def choose(page: Page, taps: Taps, label: str, value: str) -> None:
    """A list opened and one of it picked: two taps."""
    page.get_by_label(label).select_option(value)
    taps.count += 2


def somebody_to_ring(page: Page, taps: Taps) -> None:
    taps.button("Add somebody")
    taps.type("Whom to ring: name", "Tove")
    taps.type("Whom to ring: number", "call me")
    press(page, "Save")
    expect(page.get_by_role("alert")).to_have_text("A telephone number, such as +49 170 1234567.")
    page.get_by_label("Whom to ring: number").fill("+49 30 23125 001")


def check(pond: dict[str, Any]) -> None:
    """Home has what was meant, and nothing finer of the place."""
    assert (pond["volume_l"], pond["source_kh_dkh"], pond["capful_g"]) == (15_300, 0.5, 40)
    assert pond["shell"] == {"shape": "rectangle", "length_m": 4.2, "width_m": 2.6, "depth_m": 1.4}
    assert (pond["latitude"], pond["longitude"], pond["zone"]) == (52.5, 13.4, "Europe/Berlin")
    assert (pond["cover"]["kind"], pond["heater"]["power_w"], pond["tariff"]["otherwise_rate_per_kwh"]) == (
        "multiwall",
        3000,
        0.31,
    )
    assert (pond["fish_count"], pond["left_untold"]) == (9, ["walls"])
    assert pond["fish_mass_g"] == pytest.approx(rough_mass_g(9, 55), rel=0.05)
    assert (pond["warm_low_c"], pond["warm_high_c"]) == (18, 21)
    assert pond["places"][0] == "At the water"
    assert pond["ring"] == [{"name": "Tove", "tel": "+49 30 23125 001"}]


def test_gallons_feet_and_fahrenheit_are_offered_where_people_read_them(
    new_phone: Callable[..., Page], home: Home
) -> None:
    page = new_phone(locale="en-US", timezone_id="America/Chicago")
    taps = Taps(page)
    begin(page, taps)
    expect(page.get_by_text("US gal, ft, °F, °dKH")).to_be_visible()
    page.get_by_label("Volume").fill("5,000")
    press(page, "Go on")
    two = "5,000 could be two numbers. Right would be: 5000 or 5."
    expect(page.get_by_label("Volume")).to_have_accessible_description(two)
    press(page, "by its measures")
    press(page, "round")
    page.get_by_label("A: diameter").fill("15")
    page.get_by_label("C: depth").fill("4.5")
    expect(page.get_by_text("That is 5,950 US gal")).to_be_visible()
    press(page, "Go on")
    expect(page.get_by_role("heading", name="Your year")).to_be_visible()
    expect(sync_line(page)).to_contain_text("All sent")
    keeper = Caller(home.url, home.clock).sign_in()
    pond = settings(keeper)
    keeper.close()
    assert pond["volume_l"] == pytest.approx(basin_volume_l("round", 15 * 0.3048, 15 * 0.3048, 4.5 * 0.3048), rel=5e-3)
    assert pond["units"] == {
        "volume": "US gal",
        "length": "ft",
        "temperature_c": "°F",
        "air_temperature_c": "°F",
    }


def test_a_new_volume_asks_since_when_and_the_past_stands_unless_told_otherwise(phone: Page, keeper: Caller) -> None:
    sign_in(phone)
    for answer, since in (("", "2026-11-24"), ("it was always so", None)):
        phone.goto("/pond")
        expect(phone.get_by_text("Since when")).to_have_count(0)
        phone.get_by_label("Volume").fill("1" if since else "18000")
        if since:
            press(phone, "Save")
            expect(phone.get_by_role("alert")).to_contain_text("bath")
            phone.get_by_label("Volume").fill("20 000")
        if answer:
            phone.get_by_role("button", name=answer).tap()
        press(phone, "Save")
        expect(phone.get_by_role("heading", name="Pond book", level=1)).to_be_visible()
        expect(sync_line(phone)).to_contain_text("All sent")
        told = keeper.log("set")[-1]["entry"]
        assert (told["field"], told["effective_from"]) == ("volume_l", since)


def test_another_shape_keeps_the_walls_and_nothing_of_the_old_outline(phone: Page, keeper: Caller) -> None:
    foam = {"material": "xps", "thickness_m": 0.05, "conductivity_w_per_m_k": 0.034}
    walls = {"walls": [foam], "floor": [], "below_ground_fraction": 0.3}
    oval = {"shape": "other", "surface_m2": 30, "depth_m": 1.6}
    keeper.keep(keeper.entry("set", target="pond", field="shell", value=oval | walls))
    sign_in(phone)
    phone.goto("/pond")
    press(phone, "by its measures")
    for label, text in {"A: length": "5", "B: width": "3", "C: depth": "1.4"}.items():
        phone.get_by_label(label).fill(text)
    press(phone, "Save")
    expect(phone.get_by_role("heading", name="Pond book", level=1)).to_be_visible()
    expect(sync_line(phone)).to_contain_text("All sent")
    told = keeper.log("set")[-1]["entry"]["value"]
    assert told == walls | {"shape": "rectangle", "length_m": 5, "width_m": 3, "depth_m": 1.4}


def test_what_a_pond_has_not_is_asked_no_more_and_its_jobs_rest(phone: Page, keeper: Caller) -> None:
    sign_in(phone)
    phone.goto("/to-tell")
    press(phone, "There is none: The cover")
    expect(phone.get_by_role("link", name="The cover")).to_have_count(0)
    expect(sync_line(phone)).to_contain_text("All sent")
    told = [(one["entry"]["target"], one["entry"]["field"], one["entry"]["value"]) for one in keeper.log("set")[-2:]]
    assert told == [("pond", "left_untold", ["cover"]), ("job/cover", "active", False)]
    phone.get_by_text("Left for now: 1").tap()
    expect(phone.get_by_role("link", name="Its jobs are switched off: see Jobs")).to_be_visible()
    press(phone, "Ask again: The cover")
    expect(phone.get_by_role("link", name="The cover")).to_be_visible()


def test_the_browser_reckons_a_basin_and_the_fish_in_it_as_home_does(phone: Page) -> None:
    phone.goto("/")
    basins = [("rectangle", 4.2, 2.6, 1.4, 0), ("round", 3, 3, 1.2, 250), ("oval", 5, 3.5, 1.6, 600)]
    fish = [(1, 12), (9, 55), (30, 80)]
    volumes, off, masses = phone.evaluate(RECKONED, [basins, fish])
    assert volumes == pytest.approx([basin_volume_l(*one) for one in basins], rel=1e-12)
    assert off == pytest.approx(BASIN_SD_FRACTION, rel=1e-12)
    assert masses == pytest.approx([rough_mass_g(*one) for one in fish], rel=1e-12)
