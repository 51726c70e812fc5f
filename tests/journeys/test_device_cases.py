"""The browser's copy of the device's rules, held to the cases the server's copy answers in tests/reference/rounds."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

FILE = Path(__file__).parents[1] / "reference" / "rounds" / "device_cases.json"
# The cases go in and the answers come out as text: Playwright takes seconds over so large an object.
ANSWER = """async (text) => {
  const { plans, cases } = JSON.parse(text);
  const { modules } = await import("/main.js");
  const { roundOf, standing } = { ...modules["/domain/today.js"], ...modules["/domain/fold.js"] };
  return JSON.stringify(cases.map(({ plan, entries, now, on }) => {
    const { days, log_seq, good_until } = plans[plan];
    return roundOf(days, standing(entries), log_seq, good_until, now, on);
  }));
}"""


@pytest.fixture
def cases() -> list[dict[str, Any]]:
    return json.loads(FILE.read_bytes())["cases"]


def answers_of(page: Page) -> list[Any]:
    """What the browser's copy makes of every case."""
    page.goto("/")
    return json.loads(page.evaluate(ANSWER, FILE.read_text(encoding="utf-8")))


def test_the_browser_answers_every_case_as_written(new_phone: Callable[..., Page], cases: list[dict[str, Any]]) -> None:
    answers = answers_of(new_phone(now=None))
    assert len(answers) == len(cases) >= 200
    for case, answer in zip(cases, answers, strict=True):
        assert answer == case["expect"], case["name"]


def test_no_answer_depends_on_where_the_phone_is(new_phone: Callable[..., Page], cases: list[dict[str, Any]]) -> None:
    for zone in ("Pacific/Apia", "America/St_Johns"):
        answers = answers_of(new_phone(now=None, timezone_id=zone, locale="de-DE"))
        assert answers == [case["expect"] for case in cases]
