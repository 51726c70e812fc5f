"""Growth drawn with photos beside it, food that came into store, a label's words: on one phone of one household."""

import hashlib
from collections.abc import Iterator
from datetime import timedelta

import pytest
from journeys.home import Home
from journeys.household import EVENING, Caller
from journeys.phones import make_ready_for_no_signal, phone_in, sign_in
from journeys.round_screen import press, sync_line
from journeys.water_screen import field, settings
from pictures import grainy, jpeg
from playwright.sync_api import Browser, Page, expect


@pytest.fixture(scope="module")
def shared_home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Home]:
    home = Home(tmp_path_factory.mktemp("home"), EVENING)
    home.start()
    yield home
    home.stop()


@pytest.fixture(scope="module")
def keeper(shared_home: Home) -> Iterator[Caller]:
    caller = Caller(shared_home.url, shared_home.clock).begin()
    caller.set_up()
    yield caller
    caller.close()


@pytest.fixture(scope="module")
def shared_phone(browser: Browser, shared_home: Home, keeper: Caller) -> Iterator[Page]:
    page = phone_in(browser, shared_home.url, shared_home.clock)
    sign_in(page)
    make_ready_for_no_signal(page)
    yield page
    page.context.close()


@pytest.fixture
def phone(shared_phone: Page) -> Page:
    """The phone, with signal again."""
    shared_phone.context.set_offline(False)
    return shared_phone


def test_growth_is_drawn_and_two_photos_stand_side_by_side_without_signal(keeper: Caller, phone: Page) -> None:
    days_cm = ((700, 40), (520, 44), (340, 47), (20, 50))
    told = [
        keeper.entry("fish_measure", EVENING - timedelta(days=days), fish="yuki", length_cm=cm, length_is="total")
        for days, cm in days_cm
    ]
    pictures = [jpeg(grainy(seed)) for seed in (1, 2)]
    for picture, entry in zip(pictures, (told[0], told[-1]), strict=True):
        photo = hashlib.sha256(picture).hexdigest()
        keeper.http.put(f"/api/photos/{photo}", content=picture).raise_for_status()
        entry["photos"] = [photo]
    keeper.keep(keeper.entry("set", target="fish/yuki", field="name", value="Yuki", effective_from=None), *told)
    phone.goto("/fish")
    phone.get_by_role("link", name="All about it: Yuki").click()
    phone.get_by_role("button", name="Photo 2 of 2, 24 Dec 2024: show large").click()
    phone.get_by_role("button", name="Photo 1 of 2").click()
    large = phone.get_by_role("figure")
    expect(large.get_by_role("img")).to_have_count(2)
    phone.context.set_offline(True)
    chart = phone.get_by_role("img", name="Yuki: total length from 40.0 cm on 24 Dec 2024 to 50.0 cm on 4 Nov 2026.")
    expect(chart).to_be_visible()
    expect(phone.get_by_role("paragraph").filter(has_text="By its earlier lengths it would measure")).to_be_visible()
    phone.get_by_text("The lengths in numbers").click()
    expect(phone.get_by_role("row", name="24 Dec 2024 40.0")).to_be_visible()
    expect(large).to_have_text(["24 Dec 2024 · 40 cm total", "4 Nov 2026 · 50 cm total"])
    expect(large.first.get_by_role("img", name="Yuki, 24 Dec 2024 · 40 cm total")).to_be_visible()
    phone.get_by_role("button", name="Photo 2 of 2").click()
    expect(large).to_have_text(["4 Nov 2026 · 50 cm total"])


def test_food_that_came_is_added_to_what_is_left_without_signal(keeper: Caller, phone: Page) -> None:
    counted = {"stock_g": 2500, "counted_on": "2026-11-23", "name": "Wheat germ", "price_per_kg": 6}
    keeper.keep(keeper.entry("set", target="pond", field="food", value=counted, effective_from=None))
    keeper.keep(keeper.entry("feed", feed_g=100))
    phone.goto("/fish")
    food = phone.get_by_role("region", name="Food left")
    expect(food).to_contain_text("2.40 kg")
    phone.context.set_offline(True)
    food.get_by_role("link", name="Food came, or counted").click()
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("Please fill this in.")
    field(phone, "How much").fill("15")
    field(phone, "Paid for it").fill("79,50")
    expect(phone.get_by_text("With the 2.40 kg left that makes 17.4 kg. € 5.30 a kg.")).to_be_visible()
    press(phone, "Save")
    expect(food).to_contain_text("17.4 kg")
    phone.context.set_offline(False)
    expect(food).to_contain_text("Wheat germ: at the rate of the last days")
    told = settings(keeper)["pond", "food"]
    assert told == {"stock_g": 17_400, "counted_on": "2026-11-24", "name": "Wheat germ", "price_per_kg": 5.3}


def test_a_labels_words_become_an_amount_with_its_range_and_a_note_without_signal(keeper: Caller, phone: Page) -> None:
    phone.goto("/fish")
    phone.context.set_offline(True)
    phone.get_by_role("link", name="A dose by its label").click()
    press(phone, "Write it down")
    expect(phone.get_by_role("alert").first).to_have_text("Please fill this in.")
    field(phone, "The label says").fill("25")
    field(phone, "For each").fill("1")
    press(phone, "Write it down")
    expect(phone.get_by_text("That would be more than 10 in each litre.").first).to_be_visible()
    field(phone, "The label says").fill("5")
    field(phone, "For each").fill("1.000")
    expect(field(phone, "For each")).to_have_value("1000")
    expect(phone.get_by_text("80 mL", exact=True)).to_be_visible()
    expect(phone.get_by_text("70.5 to 89.5 mL, for the pond's 16,000 L may be 14,100 to 17,900.")).to_be_visible()
    field(phone, "Given").fill("200")
    expect(phone.get_by_text("What was given is more than the label asks for")).to_be_visible()
    field(phone, "Given").fill("75")
    field(phone, "Which product").fill("Clear water")
    press(phone, "Write it down")
    expect(phone.get_by_role("heading", name="Fish", level=1)).to_be_visible()
    phone.context.set_offline(False)
    expect(sync_line(phone)).to_contain_text("All sent")
    assert keeper.log("note")[-1]["entry"]["text"] == "Clear water given by its label: 75 mL (5 mL for 1,000 L)"
