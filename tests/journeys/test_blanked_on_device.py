"""What a phone keeps of its own entry when home has blanked a name in it meanwhile."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page

SCRIPT = """async ([sent, answer]) => {
  const { modules } = await import("/main.js");
  const known = { epoch: "before", skew_s: 0, now: answer.server_now };
  const changes = modules["/offline/apply.js"].changesFrom([sent], answer, known);
  const kept = new Map();
  for (const one of changes.put) kept.set(one.id, one.entry.text);
  return { kept: [...kept], aside: changes.aside.length, settled: [...new Set(changes.settled)] };
}"""


@pytest.mark.parametrize("day", ["2026-11-03", "2026-05-01"])
def test_what_home_has_takes_its_place_however_old_it_is(new_phone: Callable[..., Page], day: str) -> None:
    at = f"{day}T10:00:00.000Z"
    place: dict[str, Any] = {"seq": 1, "received_at": at, "placed_at": at, "placed_on": day, "skew_s": 0}
    place["time_doubtful"] = False
    sent = {"id": "a", "kind": "note", "text": "Nora was here", "happened_at": at, "local_date": day, "device": "d"}
    answer = {
        "server_now": "2026-11-03T17:00:00.000Z",
        "epoch": "after",
        "cursor": 1,
        "plan": None,
        "verdicts": [{"id": "a", "verdict": "already_here", **place}],
        "entries": [{**place, "entry": sent | {"text": "A helper was here"}}],
    }
    page = new_phone(now=None)
    page.goto("/")
    found = page.evaluate(SCRIPT, [sent, answer])
    assert found == {"kept": [["a", "A helper was here"]], "aside": 0, "settled": ["a"]}
