"""What is on a phone, read straight from its database, and the app's own way to record without the screen."""

import re
from typing import Any

from journeys.household import PASSPHRASE, POND
from playwright.sync_api import Page, expect

_READ = """async () => {
  const known = await indexedDB.databases();
  if (!known.some(({ name }) => name === "evenwater")) return null;
  const done = (request) => new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  const db = await done(indexedDB.open("evenwater"));
  const names = [...db.objectStoreNames];
  const tx = db.transaction(names, "readonly");
  const found = {};
  for (const name of names) {
    const store = tx.objectStore(name);
    found[name] = { keys: await done(store.getAllKeys()), values: await done(store.getAll()) };
  }
  db.close();
  return found;
}"""
_WRITE = """async ({ pond, kind, fields }) => {
  const { makeEntry, record } = (await import("/main.js")).modules["/record.js"];
  const entry = makeEntry(kind, pond, fields);
  await record([entry]);
  return entry.id;
}"""


class OnDevice:
    """One look into a phone's database."""

    def __init__(self, found: dict[str, dict[str, list[Any]]]) -> None:
        self._found = found

    @property
    def outbox(self) -> list[str]:
        """Ids that wait, oldest first."""
        return [row["id"] for row in self._found["outbox"]["values"]]

    @property
    def entries(self) -> dict[str, Any]:
        """Every entry it holds, by id, as it was written."""
        return {one["id"]: one["entry"] for one in self._found["entries"]["values"]}

    @property
    def set_aside(self) -> list[dict[str, Any]]:
        return self._found["set_aside"]["values"]

    @property
    def plan(self) -> dict[str, Any]:
        """The plan's head, and its days by date."""
        return dict(zip(self._found["plan"]["keys"], self._found["plan"]["values"], strict=True))

    @property
    def meta(self) -> dict[str, Any]:
        return dict(zip(self._found["meta"]["keys"], self._found["meta"]["values"], strict=True))

    @property
    def everything(self) -> dict[str, dict[str, list[Any]]]:
        return self._found


def on_device(page: Page) -> OnDevice:
    """What the phone's database holds now."""
    found = page.evaluate(_READ)
    assert found is not None, "the phone has no database of ours"
    return OnDevice(found)


def write(page: Page, kind: str, **fields: Any) -> str:
    """Record an entry through the app's own door, as a page does once its button is pressed; the entry's id."""
    return page.evaluate(_WRITE, {"pond": POND, "kind": kind, "fields": fields})


def note(page: Page, text: str) -> str:
    """Record a note; its id."""
    return write(page, "note", text=text)


def look(page: Page) -> None:
    """Tap "All well" on the round."""
    page.get_by_role("button", name="All well").click()


def come_into_sight(page: Page) -> None:
    """What a browser tells a page that is looked at again."""
    page.evaluate("document.dispatchEvent(new Event('visibilitychange')) && true")


def tick(page: Page, job: str) -> None:
    """Open a job's card on the round, unless it is the next one and open already, and press its wide button."""
    # The next card opens by itself a moment after a touch; only then does the walk stand still.
    expect(page.locator("article.job-card:not(.settled)")).to_be_visible()
    card = page.get_by_role("article", name=re.compile(f"^{job}"))
    if not card.is_visible():
        page.get_by_role("button", name=re.compile(f"^{job}")).click()
    card.locator(".wide-button").click()
    expect(page.get_by_role("button", name=f"take back: {job}")).to_be_visible()


def sign_in_again(page: Page, says: str, name: str | None = None) -> None:
    """Follow the sync line, which says that a sign-in is wanted, and sign in; as somebody else when `name` is given."""
    page.get_by_text(says).click()
    if name is not None:
        page.get_by_label("Your name").fill(name)
    page.get_by_label("Passphrase").fill(PASSPHRASE)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", level=1, name="round")).to_be_visible()
