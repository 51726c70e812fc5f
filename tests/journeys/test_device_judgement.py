"""The browser's own copies of two judgements, held to the cases the server's copies answer in tests/reference/water."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

CASES = Path(__file__).parents[1] / "reference" / "water"
# As text, because Playwright takes seconds over so large an object. The script that comes later shares its modules.
ANSWER = """async (text) => {
  const { modules } = await import("/main.js");
  await import("/later.js");
  const { answerOf } = modules["/domain/answers.js"];
  const whole = ({ quantity, point, ...ends }) =>
    ({ quantity, point, act_below: null, drift_below: null, drift_above: null, act_above: null, ...ends });
  return JSON.stringify(JSON.parse(text).map(({ cuts, value, step }) => answerOf(whole(cuts), value, step)));
}"""
DOUBT = """async (text) => {
  const { modules } = await import("/main.js");
  await import("/later.js");
  const { doubt } = modules["/domain/doubts.js"];
  const { quantities, cases } = JSON.parse(text);
  return JSON.stringify(cases.map(({ quantity, value, expected }) => doubt(quantities[quantity], value, expected)));
}"""


def asked(page: Page, script: str, file: str) -> tuple[Any, list[Any]]:
    """(the cases, what the browser makes of each)."""
    text = (CASES / file).read_text(encoding="utf-8")
    page.goto("/")
    return json.loads(text), json.loads(page.evaluate(script, text))


def test_the_browser_answers_every_reading_as_written(new_phone: Callable[..., Page]) -> None:
    cases, answers = asked(new_phone(now=None), ANSWER, "answer_cases.json")
    assert len(answers) == len(cases) >= 200
    assert [case["name"] for case, answer in zip(cases, answers, strict=True) if answer != case["answer"]] == []


def test_the_browser_doubts_what_is_written_and_nothing_else(new_phone: Callable[..., Page]) -> None:
    written, doubts = asked(new_phone(now=None), DOUBT, "doubt_cases.json")
    assert len(doubts) == len(written["cases"]) >= 50
    wrong = [
        (case["name"], found) for case, found in zip(written["cases"], doubts, strict=True) if found != case["doubt"]
    ]
    assert wrong == []
