"""What a device says and judges of fish by itself, held to what home says of the same."""

import random
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page

from evenwater.domain.errors import Contradiction
from evenwater.domain.fish.length_weight import TOTAL_PER_STANDARD
from evenwater.domain.fish.signs import FIRST_AID, SIGN_WORDS
from evenwater.domain.water.label_dose import KnownVolume, label_dose

MODULES = """async (paths) => {
  await import("/later.js");
  const { modules } = await import("/main.js");
  return JSON.parse(JSON.stringify(paths.map((path) => modules[path])));
}"""


@pytest.fixture
def page(new_phone: Callable[..., Page]) -> Page:
    page = new_phone(now=None)
    page.goto("/")
    return page


def modules(page: Page, *paths: str) -> list[dict[str, Any]]:
    return page.evaluate(MODULES, list(paths))


def test_first_aid_and_signs_are_said_in_homes_own_words(page: Page) -> None:
    fish, words, doubts = modules(page, "/words/fish-words.js", "/words.js", "/domain/fish-doubts.js")
    assert tuple(fish["seenWords"]["steps"]) == FIRST_AID
    assert words["words"]["kinds"]["signs"] == SIGN_WORDS
    assert fish["seenWords"]["signs_named"].keys() == SIGN_WORDS.keys()
    assert doubts["TOTAL_PER_STANDARD"] == TOTAL_PER_STANDARD


DOUBTS = """async (lengths) => {
  await import("/later.js");
  const { lengthDoubt } = (await import("/main.js")).modules["/domain/fish-doubts.js"];
  const fish = { expect_length_cm: [52, 64], expect_length_is: "total" };
  return lengths.map(([cm, length_is]) => lengthDoubt(fish, cm, length_is)?.meant ?? null);
}"""


def test_a_length_is_asked_about_with_what_it_may_have_meant(page: Page) -> None:
    told = [(56, "total"), (47, "standard"), (5.6, "total"), (560, "total"), (22, "total"), (46, "total")]
    assert page.evaluate(DOUBTS, [list(one) for one in told]) == [None, None, [56], [56], [55.9], []]


LABELS = """async (cases) => {
  await import("/later.js");
  const { labelDose } = (await import("/main.js")).modules["/domain/label-dose.js"];
  return cases.map(([amount, per_l, volume]) => labelDose(amount, per_l, volume));
}"""


def test_a_label_is_reckoned_on_the_device_to_the_last_bit_as_at_home(page: Page) -> None:
    chance = random.Random(8)
    told: list[Any] = []
    for _ in range(200):
        volume_l = chance.uniform(200, 90_000)
        volume = {"low_l": volume_l * 0.88, "volume_l": volume_l, "high_l": volume_l * 1.12}
        told.append([chance.uniform(0.01, 40), chance.choice([1, 10, 1000, 378.5411784]), volume])
    answers = page.evaluate(LABELS, told)
    for (amount, per_l, volume), answer in zip(told, answers, strict=True):
        if answer is None:
            with pytest.raises(Contradiction):
                label_dose(amount, per_l, KnownVolume(**volume))
        else:
            dose = label_dose(amount, per_l, KnownVolume(**volume))
            assert (answer["low"], answer["amount"], answer["high"]) == (dose.low, dose.amount, dose.high)
    assert 0 < answers.count(None) < 100


MASSES = """async ([texts, unit]) => {
  await import("/later.js");
  const { parsedMass, mass } = (await import("/main.js")).modules["/pages/fish/fish-mass.js"];
  return texts.map((text) => typeof text === "number" ? mass(text, unit) : parsedMass(text, unit));
}"""
POUND_G, OUNCE_G = 453.59237, 28.349523125


def masses(page: Page, unit: str, *texts: str | float) -> list[Any]:
    return page.evaluate(MASSES, [list(texts), unit])


def test_a_weight_is_read_as_people_write_it(page: Page) -> None:
    said = pytest.approx(6 * POUND_G + 4 * OUNCE_G)
    ways = ("6 lb 4 oz", "6lb4oz", "6 lbs, 4", "6 4", "6.25", "6,25 lb", "100 oz", "6 Pounds 4 Ounces", " 6.25 lb ")
    assert masses(page, "lb oz", *ways) == [said] * len(ways)
    assert masses(page, "g", "6 lb 4 oz", "2800", "2.8 kg", "2800 g") == [said, 2800, pytest.approx(2800), 2800]


def test_what_is_no_weight_is_none(page: Page) -> None:
    for unit in ("g", "lb oz"):
        wrong = masses(page, unit, "", "heavy", "6 lb 16 oz", "6.5 lb 4 oz", "1,250", "6 st", "lb", "6 lb 4 kg")
        assert [one for one in wrong if one == one] == []
    assert masses(page, "g", "6 4") != [pytest.approx(6 * POUND_G + 4 * OUNCE_G)]


def test_a_weight_is_said_as_coarsely_as_a_scale_reads(page: Page) -> None:
    assert masses(page, "lb oz", 120.0, 453.6, 2835.0, 14000.0, 900.0) == [
        "4.2 oz",
        "1 lb",
        "6 lb 4 oz",
        "30 lb 14 oz",
        "2 lb",
    ]
    assert masses(page, "g", 12.34, 850.4, 2835.0, 14000.0) == ["12.3 g", "850 g", "2.84 kg", "14.0 kg"]
