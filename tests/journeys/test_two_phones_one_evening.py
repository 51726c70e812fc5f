"""Two people, one evening, no signal: each gives the dose, neither knows of the other."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from journeys.home import Home
from journeys.household import EVENING, Caller, in_words
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.round_screen import card, press, sync_line
from playwright.sync_api import Page, expect

FIRST_AT, SECOND_AT = EVENING + timedelta(minutes=20), EVENING + timedelta(minutes=95)
HOME_AT = EVENING + timedelta(hours=4)
NEXT_DUSK = EVENING + timedelta(days=1, minutes=5)


def test_two_doses_of_one_evening_are_both_kept_seen_and_counted(
    home: Home, keeper: Caller, new_phone: Callable[..., Page]
) -> None:
    home.add_person("Jon")
    planned = keeper.job("buffer")
    marits, jons = new_phone(), new_phone()
    for page, name in ((marits, "Marit"), (jons, "Jon")):
        sign_in(page, name)
        make_ready_for_no_signal(page)
        page.context.set_offline(True)
    give_offline(marits, FIRST_AT, planned["amount_g"])
    give_offline(jons, SECOND_AT, planned["amount_g"])

    home.clock.set(HOME_AT)
    come_home(marits)
    after_one = keeper.job("buffer", day=1)
    come_home(jons)
    after_both = keeper.job("buffer", day=1)
    check_log(keeper, planned["amount_g"])
    assert after_both["unrounded_g"] < after_one["unrounded_g"] - planned["amount_g"] / 5

    look_again(marits)
    check_told_twice(marits, ["17:05", "18:20 · Jon"], planned["amount_g"])
    check_told_twice(jons, ["17:05 · Marit", "18:20"], planned["amount_g"])
    home.clock.set(NEXT_DUSK)
    for page in (marits, jons):
        check_next_dose(page, keeper, planned["amount_g"])


def give_offline(page: Page, at: datetime, amount_g: float) -> None:
    """Give what the card asks for, which knows nothing of anybody else."""
    page.clock.set_system_time(at.timestamp())
    page.goto("/")
    buffer = card(page, "Buffer")
    expect(buffer).to_contain_text(in_words(amount_g))
    press(buffer, "Given")
    expect(sync_line(page)).to_have_text("1 waiting, no signal")


def come_home(page: Page) -> None:
    """Signal again, late in the evening."""
    page.clock.set_system_time(HOME_AT.timestamp())
    page.context.set_offline(False)
    expect(sync_line(page)).to_have_text("All sent 20:45")


def look_again(page: Page) -> None:
    """The phone is taken out again: it asks home what is new."""
    page.goto("/")


def check_log(keeper: Caller, amount_g: float) -> None:
    """Both ticks stand in the log, each once, by its own author, when it was given."""
    doses = [one for one in keeper.log("tick") if one["entry"]["due_on"] == "2026-11-24" and "amount_g" in one["entry"]]
    assert [one["entry"]["amount_g"] for one in doses] == [amount_g, amount_g]
    assert len({one["entry"]["author"] for one in doses}) == len({one["entry"]["device"] for one in doses}) == 2
    for one, at in zip(doses, (FIRST_AT, SECOND_AT), strict=True):
        assert timedelta(0) <= datetime.fromisoformat(one["placed_at"]) - at < timedelta(minutes=1)


def check_told_twice(page: Page, when_and_who: list[str], amount_g: float) -> None:
    """Both doses on the one line, and the word that both count."""
    given = page.get_by_role("listitem").filter(
        has_text="Given twice. Both count; the next dose takes it into account."
    )
    for told in when_and_who:
        expect(given).to_contain_text(f"{in_words(amount_g)} · {told}")


def check_next_dose(page: Page, keeper: Caller, given_g: float) -> None:
    """The evening after, each card asks for what is left to give, and tells who gave in the last 24 hours."""
    page.clock.set_system_time(NEXT_DUSK.timestamp())
    page.goto("/")
    expect(sync_line(page)).to_have_text("All sent 16:50")
    planned: dict[str, Any] = keeper.job("buffer")
    buffer = card(page, "Buffer")
    expect(buffer).to_contain_text(in_words(planned["amount_g"]) if planned["amount_g"] else "not needed")
    expect(buffer).to_contain_text(f"In the last 24 h: Marit gave {in_words(given_g)}, Tue 17:05")
    expect(buffer).to_contain_text(f"In the last 24 h: Jon gave {in_words(given_g)}, Tue 18:20")
