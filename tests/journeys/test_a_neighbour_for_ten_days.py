"""Ten days away: a neighbour opens a link, does the right things in the right amounts, and nothing else."""

import json
from datetime import datetime, timedelta

from journeys.home import Home
from journeys.household import Caller, in_words
from journeys.neighbour import (
    BAG_G,
    FIRST,
    KIM,
    LAST,
    NewPhone,
    at,
    hand_over_to_kim,
    link_for_kim,
    told_by_kim,
    with_signal,
    without_signal,
)
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.round_screen import card, press, sync_line
from journeys.waiting import until
from playwright.sync_api import Page, expect

REHEARSAL = FIRST - timedelta(days=1)
SECOND = FIRST + timedelta(days=1)


def test_a_neighbour_does_ten_days_and_the_link_dies_on_the_last(
    home: Home, keeper: Caller, new_phone: NewPhone
) -> None:
    home.add_person("Jon")
    hand_over_to_kim(keeper)
    link = link_for_kim(keeper)
    kims, jons = new_phone(), new_phone()
    sign_in(jons, "Jon")
    make_ready_for_no_signal(jons)

    open_it_at_home(kims, link)
    rehearse(kims, home, keeper)
    first_evening_without_signal(kims, home)
    jon_doses_too(jons, home, keeper)
    both_are_told(kims, jons, home, keeper)
    the_next_evening_counts_both(kims, jons, home, keeper)
    the_last_evening(kims, home, keeper, link, new_phone())


def open_it_at_home(kims: Page, link: str) -> None:
    """On the sofa, two days before: who asks, until when; one tap."""
    kims.goto(link)
    expect(kims.get_by_text("Hello Kim.")).to_be_visible()
    expect(kims.get_by_text("Sat 5 Dec · 10 days")).to_be_visible()
    expect(kims.get_by_text("After this first time it opens at the pond without signal.")).to_be_visible()
    press(kims, "Use this phone")
    expect(sync_line(kims)).to_contain_text("All sent")
    assert kims.url.endswith("/round"), "the secret is gone from the address"
    expect(kims.get_by_text("It begins Thu 26 Nov.")).to_be_visible()
    expect(kims.get_by_text("Wed 25 Nov is the day to rehearse.")).to_be_visible()
    expect(kims.get_by_role("navigation", name="Main")).to_have_count(0)
    make_ready_for_no_signal(kims)
    until(
        lambda: kims.evaluate("caches.open('pictures').then((one) => one.keys()).then((all) => all.length)") == 2,
        "the pictures are kept",
        kims,
    )


def rehearse(kims: Page, home: Home, keeper: Caller) -> None:
    """The day before, everything can be tried; nothing of it leaves the phone."""
    home.clock.set(at(REHEARSAL, 16, 50))
    with_signal(kims, home.clock())
    expect(kims.get_by_role("heading", name="Rehearsal")).to_be_visible()
    press(card(kims, "Covers on"), "Done")
    expect(card(kims, "Buffer")).to_contain_text("Bag 1")
    press(card(kims, "Buffer"), "Could not do it")
    press(kims, "did not dare")
    press(kims, "Save")
    kims.reload()
    expect(kims.get_by_text("did not dare")).to_be_visible()
    press(kims, "Begin again")
    expect(card(kims, "Covers on").get_by_role("button", name="Done")).to_be_visible()
    expect(sync_line(kims)).to_contain_text("All sent")
    assert told_by_kim(keeper) == []
    sent = [json.loads(call.body)["entries"] for call in home.line.to("/api/sync")]
    assert not [one for entries in sent for one in entries if one["author"] == KIM]


def first_evening_without_signal(kims: Page, home: Home) -> None:
    """Dusk at the neighbours' pond, no bars: today's jobs with their pictures, ticked."""
    without_signal(kims, at(FIRST, 16, 55))
    expect(kims.get_by_text("Day 1 of 10")).to_be_visible()
    covers = card(kims, "Covers on")
    expect(covers).to_contain_text("How, and how you know it is rightBoth panels lie flat.")
    until(
        lambda: covers.get_by_role("img", name="Picture: Covers on").evaluate("(one) => one.naturalWidth") > 0,
        "the picture is there without signal",
        kims,
    )
    press(covers, "Done")
    buffer = card(kims, "Buffer")
    expect(buffer).to_contain_text("Bag 1")
    expect(buffer).to_contain_text(f"{BAG_G} g")
    expect(buffer.get_by_role("textbox")).to_have_count(0)
    expect(buffer).to_contain_text("Gloves and eye protection")
    press(buffer, "Done")
    expect(sync_line(kims)).to_have_text("2 waiting, no signal")
    home.clock.set(at(FIRST, 18))


def jon_doses_too(jons: Page, home: Home, keeper: Caller) -> None:
    """Jon, at home after all, gives the evening's dose from his own list, which knows nothing of Kim's."""
    with_signal(jons, home.clock())
    expect(sync_line(jons)).to_have_text("All sent 18:00")
    planned = keeper.job("buffer")
    press(card(jons, "Buffer"), "Given")
    until(lambda: "amount_g" in keeper.log("tick")[-1]["entry"], "home has the dose", jons)
    assert keeper.log("tick")[-1]["entry"]["amount_g"] == planned["amount_g"]
    home.clock.set(at(FIRST, 21))


def both_are_told(kims: Page, jons: Page, home: Home, keeper: Caller) -> None:
    """Signal again: Kim's evening arrives with its own times, and both read that there were two doses."""
    with_signal(kims, home.clock())
    expect(sync_line(kims)).to_have_text("All sent 21:00")
    arrived = told_by_kim(keeper)
    assert [one["entry"]["standing_job"] for one in arrived] == ["cover", "buffer"]
    for one in arrived:
        assert timedelta(0) <= datetime.fromisoformat(one["placed_at"]) - at(FIRST, 16, 55) < timedelta(minutes=5)
    assert [one["entry"].get("amount_g") for one in arrived] == [None, BAG_G]
    with_signal(jons, home.clock())
    for page, other in ((kims, "Jon"), (jons, "Kim")):
        given = page.get_by_role("listitem").filter(has_text="Given twice. Both count")
        expect(given).to_contain_text(other)
        expect(page.get_by_role("region", name="To know")).to_contain_text("Buffer was given twice on Thursday")


def the_next_evening_counts_both(kims: Page, jons: Page, home: Home, keeper: Caller) -> None:
    """The keepers' amount follows from both doses, and the neighbour's bag stays shut."""
    home.clock.set(at(SECOND, 16, 50))
    with_signal(kims, home.clock())
    bag = card(kims, "Buffer")
    expect(bag).to_contain_text("held back")
    expect(bag).to_contain_text("More than a bag was given on Thu 26 Nov: this one stays shut.")
    expect(bag.get_by_role("button", name="Done")).to_have_count(0)
    for way_around in ("Do it all the same", "other amount", "Could not do it"):
        expect(bag.get_by_role("button", name=way_around)).to_have_count(0)
    with_signal(jons, home.clock())
    planned = keeper.job("buffer")
    tonight = card(jons, "Buffer")
    expect(tonight).to_contain_text(in_words(planned["amount_g"]) if planned["amount_g"] else "not needed")
    expect(tonight).to_contain_text(f"Kim gave {in_words(BAG_G)}")


def the_last_evening(kims: Page, home: Home, keeper: Caller, link: str, another: Page) -> None:
    """The last covers are ticked without signal. The day after there is a thank-you and nothing else; the tick still
    arrives, and the link opens nothing."""
    home.clock.set(at(LAST, 16, 50))
    with_signal(kims, home.clock())
    expect(kims.get_by_text("Day 10 of 10 · the last day")).to_be_visible()
    expect(sync_line(kims)).to_have_text("All sent 16:50")
    without_signal(kims, at(LAST, 17))
    press(card(kims, "Covers on"), "Done")
    expect(sync_line(kims)).to_have_text("1 waiting, no signal")
    home.clock.set(at(LAST + timedelta(days=2), 9))
    without_signal(kims, home.clock())
    expect(kims.get_by_role("heading", name="Thank you")).to_be_visible()
    expect(kims.get_by_text("1 entry waits to be sent.")).to_be_visible()
    expect(kims.get_by_role("article")).to_have_count(0)
    with_signal(kims, home.clock())
    expect(kims.get_by_text("Everything you wrote down has arrived.")).to_be_visible()
    last = told_by_kim(keeper)[-1]
    assert (last["entry"]["standing_job"], last["placed_on"]) == ("cover", LAST.isoformat())
    until(lambda: nothing_left_on(kims), "what the household wrote has left the phone", kims)
    for path in ("/round", "/things", "/water", "/book"):
        kims.goto(path)
        expect(kims.get_by_role("heading", name="Thank you")).to_be_visible()
        expect(kims.get_by_role("link")).to_have_count(0)
    another.clock.set_system_time(home.clock().timestamp())
    another.goto(link)
    expect(another.get_by_role("heading", name="Thank you")).to_be_visible()
    expect(another.get_by_role("button")).to_have_count(0)


def nothing_left_on(page: Page) -> bool:
    """Whether the phone's database has neither plan nor entries, and no picture is kept."""
    return page.evaluate("""async () => {
      const done = (request) => new Promise((tell) => { request.onsuccess = () => tell(request.result); });
      const db = await done(indexedDB.open("evenwater"));
      const tx = db.transaction(["entries", "plan"], "readonly");
      const counts = await Promise.all(["entries", "plan"].map((one) => done(tx.objectStore(one).count())));
      db.close();
      return counts.every((n) => n === 0) && !(await caches.has("pictures"));
    }""")
