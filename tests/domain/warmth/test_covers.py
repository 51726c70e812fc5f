"""Covers: what the night would do to the water, and when moving them is not worth it."""

from datetime import timedelta

import pytest

from evenwater.domain.fold import fold
from evenwater.domain.rounds.plan import make_plan

from .pond_log import NOW, WarmLog

TODAY = NOW.date()


def covers(log: WarmLog, day: int = 0) -> dict[str, tuple[str, str]]:
    warm = {"main": log.warmth()}
    plan = make_plan(fold(log.entries), len(log.entries), {}, NOW, None, None, warm)
    return {job.slot: (job.state, job.reason) for job in plan.days[day].jobs if job.standing_job == "cover"}


def unanswered(**settings: object) -> WarmLog:
    """An evening on which the covers are still to be put on."""
    log = WarmLog()
    log.keep(**settings)
    last = [one for one in log.entries if getattr(one.entry, "slot", "") == "on"][-1]
    log.write("take_back", NOW, entry=last.entry.id)
    return log


def test_a_cold_night_asks_for_covers_and_says_what_each_way_costs():
    log = unanswered()
    log.foretell(-2)
    state, reason = covers(log)["on"]
    assert state == "open"
    assert reason.startswith("Open, the water would lose ")
    open_k, covered_k = (float(part.split()[0]) for part in (reason.split("lose ")[1], reason.split("covered ")[1]))
    assert open_k > covered_k + 0.3


def test_a_mild_night_stands_the_covers_down_and_the_morning_with_them():
    log = unanswered()
    log.foretell(15, high_c=17)
    state, reason = covers(log)["on"]
    assert state == "stood_down"
    assert reason.startswith("Mild night, 15 °C:")
    assert covers(log, 1)["off"] == ("stood_down", "Left off Tuesday night: it was mild.")


def test_the_keeper_s_unit_is_used_for_differences_too():
    log = unanswered()
    log.write("set", NOW - timedelta(days=50), target="pond", field="units", value={"temperature_c": "°F"})
    log.foretell(-2)
    assert " °F by morning; covered " in covers(log)["on"][1]


def test_without_a_forecast_covers_go_by_dusk_and_dawn_alone():
    log = unanswered()
    state, reason = covers(log)["on"]
    assert (state, reason.split(" at ")[0]) == ("open", "Dusk")


def test_a_cover_that_is_answered_keeps_what_was_said_of_it():
    log = WarmLog()
    log.keep()
    log.foretell(15, high_c=17)
    assert covers(log)["on"][0] == "open"


def test_a_cover_ticked_on_twice_is_on():
    log = WarmLog()
    log.keep()
    once = log.heat().belief
    log.tick("cover", TODAY, "on", NOW - timedelta(minutes=5))
    twice = log.heat().belief
    assert once is not None and twice is not None
    # An hour cut in two is stepped a hair differently.
    assert abs(once.mean[0] - twice.mean[0]) < 1e-3


def test_opening_on_a_bright_cold_morning_waits_for_the_sun():
    # Through a panel no sun comes in: opening brings it, once it is high enough.
    log = unanswered(cover={"kind": "opaque", "thickness_mm": 40})
    log.foretell(8, high_c=15)
    hours = [NOW.replace(hour=0) + timedelta(hours=hour) for hour in range(24, 60)]
    bright = [(at, 550.0 if 9 <= at.hour < 15 else 0.0) for at in hours]
    log.samples = type(log.samples)(
        measured=log.samples.measured, forecast=(NOW, {"sun_w_per_m2": bright, "air_c": [(at, 4.0) for at in hours]})
    )
    _, reason = covers(log, 1)["off"]
    assert reason.startswith("Open by day the water gains ")
    assert " of sun. From 0" in reason


@pytest.mark.parametrize("hours", [12.62, 13.9, 14.5])
def test_before_dawn_with_nobody_to_tell_the_air_no_night_is_foretold(hours):
    log = WarmLog()
    log.keep()
    page = log.warmth(NOW + timedelta(hours=hours)).page
    assert page.tonight is None
    assert not any("not-worked-out" in one.id for one in page.findings)


def test_a_forecast_that_ends_within_the_night_foretells_none():
    log = WarmLog()
    log.keep()
    short = [(NOW + timedelta(hours=nth), 5.0) for nth in range(-1, 9)]
    log.samples = type(log.samples)(measured=log.samples.measured, forecast=(NOW, {"air_c": short}))
    assert log.warmth().page.tonight is None
