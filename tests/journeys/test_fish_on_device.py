"""What a device says and judges of fish by itself, held to what home says of the same."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page

from evenwater.domain.fish.length_weight import TOTAL_PER_STANDARD
from evenwater.domain.fish.signs import FIRST_AID, SIGN_WORDS

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
