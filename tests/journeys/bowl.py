"""A bowling session as the phone and home have it."""

from typing import Any

from journeys.household import Caller
from playwright.sync_api import Page


def kept_length(page: Page) -> str | None:
    """The length in hand, as the phone's database has it."""
    return page.evaluate("""async () => {
      const { transact } = (await import("/main.js")).modules["/offline/local-db.js"];
      const kept = await transact(["meta"], "readonly", (store) => store("meta").get("bowling/long-pond"));
      return kept?.bowl?.length ?? null;
    }""")


def new_measures(keeper: Caller) -> list[dict[str, Any]]:
    """What home has of sessions, in the order it came."""
    return [one["entry"] for one in keeper.log("fish_measure") if one["entry"].get("session")]
