"""Photos on a phone: chosen from what it has, seen, and looked up in its own database and at home."""

from pathlib import Path
from typing import Any

from journeys.home import Home
from pictures import grainy, jpeg
from playwright.sync_api import Page, expect

_READ = """async () => {
  const known = await indexedDB.databases();
  if (!known.some(({ name }) => name === "evenwater-photos")) return [];
  const done = (request) => new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  const db = await done(indexedDB.open("evenwater-photos"));
  const tx = db.transaction(["photos", "bytes"], "readonly");
  const photos = await done(tx.objectStore("photos").getAll());
  const kept = new Set(await done(tx.objectStore("bytes").getAllKeys()));
  db.close();
  return photos.map(({ sum, state, size }) => ({ sum, state, size, bytes: kept.has(sum) }));
}"""


def photos_on(page: Page) -> list[dict[str, Any]]:
    """{sum, state, size, bytes} of each photo in the phone's database; `bytes`: whether it could be sent from there."""
    return page.evaluate(_READ)


def photos_at(home: Home) -> list[str]:
    """The sums of the photos home keeps."""
    return sorted(one.name.partition(".")[0] for one in (home.settings.data / "photos").glob("*/*[!l].jpg"))


def sent_photos(home: Home) -> list[str]:
    """The sums of the photos that reached the line home, each as often as it did."""
    return [call.path.rpartition("/")[2] for call in home.line.calls if call.method == "PUT"]


def choose(page: Page, *files: Path | dict[str, Any]) -> None:
    """Choose files from the phone, as its own chooser hands them over."""
    with page.expect_file_chooser() as chooser:
        page.get_by_role("button", name="Choose photos").click()
    chooser.value.set_files(list(files))


def shot(seed: int, width_px: int = 480, height_px: int = 360) -> dict[str, Any]:
    """A photo as a phone keeps it; another one for each seed."""
    return {"name": f"IMG_{seed:04}.jpg", "mimeType": "image/jpeg", "buffer": jpeg(grainy(seed, width_px, height_px))}


_SLOW = """() => {
  window.Worker = class {
    addEventListener() {}
    postMessage(_, [port]) { window.goOn = () => port.postMessage(null); }
  };
}"""


def make_photos_slow(page: Page) -> None:
    """The next photo is made ready no sooner than `go_on` says."""
    page.evaluate(_SLOW)


def go_on(page: Page) -> None:
    """Now the photo can be made ready."""
    page.evaluate("window.goOn()")


def note_with(page: Page, text: str, *files: dict[str, Any]) -> None:
    """Write a note in the pond book with these photos."""
    page.get_by_role("button", name="Write a note").click()
    page.get_by_label("Note").fill(text)
    choose(page, *files)
    expect(page.get_by_role("button", name=f"take out: photo {len(files)}")).to_be_visible()
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("button", name="Write a note")).to_be_visible()


def open_book(page: Page) -> None:
    """Go to the pond book inside the app, which needs no signal."""
    page.get_by_role("navigation", name="Main").get_by_role("link", name="Pond book").click()
    expect(page.get_by_role("heading", level=1, name="Pond book")).to_be_visible()
