"""The browser's copies of late and events, held to the cases the server's copies answer in tests/reference/rounds."""

import json
from collections.abc import Callable
from typing import Any

import msgspec
from playwright.sync_api import Page
from reference.rounds.care_cases import EVENT_FILE, LATE_FILE, EventAnswer, event_cases, late_cases

LATE = """async (text) => {
  const { lateness, latenessKind } = (await import("/main.js")).modules["/domain/late.js"];
  return JSON.stringify(JSON.parse(text).map(({ job, now }) =>
    [lateness(job, Date.parse(now)), latenessKind(job, Date.parse(now))]));
}"""
EVENTS = """async (text) => {
  const { modules } = await import("/main.js");
  const { waterRunning, powerOut, powerBack } = modules["/domain/events.js"];
  return JSON.stringify(JSON.parse(text).map(({ entries, now, pond, usual_min }) => {
    const facts = modules["/domain/fold.js"].standing(entries);
    const now_ms = Date.parse(now);
    return { running: waterRunning(facts, now_ms, pond, usual_min), out: powerOut(facts, now_ms),
      back: powerBack(facts, now_ms) };
  }));
}"""


def answers_of(page: Page, code: str, text: str) -> Any:
    """What the browser's copy makes of every case, as text."""
    page.goto("/")
    return page.evaluate(code, text)


def test_the_browser_ranks_late_jobs_to_the_last_bit_as_written(new_phone: Callable[..., Page]) -> None:
    answers = json.loads(answers_of(new_phone(now=None), LATE, LATE_FILE.read_text(encoding="utf-8")))
    assert answers == [[case.score, case.kind] for case in late_cases()]
    assert len(answers) >= 100


def test_the_browser_tells_what_goes_on_as_written(new_phone: Callable[..., Page]) -> None:
    page = new_phone(now=None, timezone_id="Pacific/Apia", locale="de-DE")
    told = answers_of(page, EVENTS, EVENT_FILE.read_text(encoding="utf-8"))
    answers = msgspec.json.decode(told, type=list[EventAnswer])
    for case, answer in zip(event_cases(), answers, strict=True):
        assert (answer.running, answer.out, answer.back) == (case.running, case.out, case.back), case.name
    assert len(answers) >= 100
