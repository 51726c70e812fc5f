"""Row 1.18: home's file is an older copy of itself, or a new one. The phones give back what it lacks.

Here the copy is put back by hand, with home stopped; what phones make of `evenwater restore`, which names the days that
may be missing, is in tests/commands/test_backup.py. Entries that only a lost phone had sent since the copy are gone.
"""

import shutil
from pathlib import Path

import pytest
from journeys.failures.conftest import in_storage
from journeys.failures.device import come_into_sight, note, on_device
from journeys.household import Caller
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.waiting import until
from playwright.sync_api import Page, expect


class Copy:
    """A copy of home's data folder, taken and put back while home is stopped."""

    def __init__(self, home, folder: Path) -> None:
        self._home, self._folder = home, folder

    def take(self) -> None:
        self._home.stop()
        shutil.copytree(self._home.settings.data, self._folder)
        self._home.start()

    def put_back(self) -> None:
        self._home.stop()
        shutil.rmtree(self._home.settings.data)
        shutil.copytree(self._folder, self._home.settings.data)
        self._home.start()


@pytest.fixture
def copy(home, tmp_path) -> Copy:
    return Copy(home, tmp_path / "copy")


@pytest.fixture
def phones(keeper, new_phone) -> tuple[Page, Page]:
    """Two phones that are up to date, each with a note of its own at home."""
    pair = new_phone(), new_phone()
    for page in pair:
        sign_in(page)
        make_ready_for_no_signal(page)
        note(page, "before the copy")
        expect(page.get_by_text("All sent")).to_be_visible()
    return pair


def ids(caller: Caller) -> list[str]:
    return [one["entry"]["id"] for one in caller.log()]


def catch_up(page: Page, wanted: set[str]) -> None:
    """The phone is looked at again, and has exactly these entries, none of them waiting."""

    def has_them() -> bool:
        come_into_sight(page)
        page.wait_for_timeout(200)
        found = on_device(page)
        return set(found.entries) == wanted and not found.outbox

    until(has_them, "the phone has the log and nothing waits", page)


@pytest.mark.parametrize("epoch", ["as it was in the copy", "a new one"])
def test_an_older_copy_is_made_whole_by_the_phones_that_come_back(phones, home, keeper, copy, epoch):
    copy.take()
    for page in phones:
        for n in range(3):
            note(page, f"{n} after the copy")
    for page in phones:
        until(lambda page=page: not on_device(page).outbox, "all is sent", page)
    whole = set(ids(keeper))
    copy.put_back()
    assert len(ids(keeper)) == len(whole) - 6
    if epoch == "a new one":
        in_storage(home, lambda database: database.begin_epoch())
    for page in phones:
        come_into_sight(page)
    until(lambda: set(ids(keeper)) == whole, "home has all of it again", phones[0])
    for page in phones:
        catch_up(page, whole)
    assert len(ids(keeper)) == len(whole), "and none of it twice"


def test_what_was_never_sent_arrives_at_the_copy_too(phones, home, keeper, copy):
    copy.take()
    page, _ = phones
    sent = note(page, "sent, then lost with home's file")
    until(lambda: not on_device(page).outbox, "it is sent", page)
    page.context.set_offline(True)
    unsent = note(page, "written while home was being mended")
    copy.put_back()
    page.context.set_offline(False)
    until(lambda: {sent, unsent} <= set(ids(keeper)), "home has both", page)
    catch_up(page, set(ids(keeper)))


def test_a_server_begun_anew_finds_everything_of_this_phone_kept_and_a_way_in(phones, home):
    page, _ = phones
    found = on_device(page)
    mine = {one for one, entry in found.entries.items() if entry["device"] == found.meta["device"]}
    assert mine
    home.stop()
    shutil.rmtree(home.settings.data)
    home.start()
    page.reload()
    page.get_by_text("sign in to fetch the round").click()
    page.get_by_label("Your name").fill("Marit")
    page.get_by_label("Passphrase").fill("four small words here")
    page.get_by_role("button", name="Begin").click()
    expect(page.get_by_role("heading", name="Your pond")).to_be_visible()
    until(lambda: set(on_device(page).outbox) == mine, "what home lost waits on the phone", page)
    page.goto("/device")
    expect(page.get_by_role("button", name="Export what waits")).to_be_visible()
