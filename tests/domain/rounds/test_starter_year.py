"""The whole year on offer, switched on at once: what a day of each season asks, and what the weather brings."""

from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from math import cos, pi

import pytest
from written_log import Log

from evenwater.domain.entries import Tick
from evenwater.domain.fold import fold
from evenwater.domain.rounds.jobs import Day, Job
from evenwater.domain.rounds.plan import make_plan
from evenwater.domain.rounds.starter import jobs_of, offered
from evenwater.domain.rounds.warmth_now import warmth_now
from evenwater.domain.warmth.pond_air import Samples

DAY, HOUR = timedelta(days=1), timedelta(hours=1)
LEAVING = {"leave-word", "leave-food", "leave-tests", "leave-taps", "leave-spares"}
POND = {
    "volume_l": 17_000,
    "latitude": 52.9,
    "longitude": -0.6,
    "capful_g": 42,
    "feed_g_per_day": 150,
    "fish_mass_g": 36_000,
    "places": ["At the water", "Filter house", "Indoors"],
}


def water_c(on: date) -> float:
    """A pond that is let down to 6 °C in winter and warms to 20 in summer."""
    return round(max(6.0, 13.0 - 7.5 * cos(2 * pi * (on.timetuple().tm_yday - 30) / 365)), 1)


def calm(on: date) -> dict[str, float]:
    """A day without anything to fear."""
    return {
        "air_c": water_c(on) - 2,
        "gust_m_per_s": 5.0,
        "snow_cm": 0.0,
        "rain_mm": 0.0,
        "sun_w_per_m2": 100.0,
    }


@cache
def written(on: date) -> Log:
    """Eight weeks of a keeper who had done all that was asked by yesterday evening."""
    log, begun = Log(), on - 56 * DAY
    log.pond(**POND)
    for job in jobs_of(offered(begun, 52.9)):
        log.job(job)
    for ago in range(10, 0, -1):
        log.write("reading", at(on - ago * DAY, 8), quantity="temperature_c", value=water_c(on - ago * DAY))
        log.write("reading", at(on - ago * DAY, 9), quantity="level_below_mark_mm", value=20)
        log.write("reading", at(on - ago * DAY, 18), quantity="kh_dkh", value=5.0, step=0.5)
        log.tick("cover", on - ago * DAY, "off", at(on - ago * DAY, 8))
        log.tick("cover", on - ago * DAY, "on", at(on - ago * DAY, 20))
    for job in planned(log, on - DAY, calm(on - DAY)).jobs:
        if job.state == "open" and job.standing_job != "cover":
            log.tick(job.standing_job, job.due_on, job.slot, at(on - DAY, 19))
    return log


def at(on: date, hour: int) -> datetime:
    return datetime.combine(on, time(hour), UTC)


def day_of(on: date, ahead: dict[str, float] | None = None, more: Callable[[Log], object] | None = None) -> Day:
    """What the round asks of a day, seen at seven in the morning."""
    log = Log()
    log.entries = list(written(on).entries)
    if more:
        more(log)
    return planned(log, on, ahead or calm(on))


def planned(log: Log, on: date, ahead: dict[str, float]) -> Day:
    """The first day of a plan made at seven, with such weather for three days."""
    known, now = fold(log.entries), at(on, 7)
    series = {name: [(now + n * HOUR, value) for n in range(72)] for name, value in ahead.items()}
    samples = Samples(forecast=(now, series))
    pond = known.ponds(on)[0]
    warm = {"main": warmth_now(known, pond, samples, now)}
    return make_plan(known, len(log.entries), {}, now, None, None, warm).days[0]


def named(day: Day, name: str) -> list[Job]:
    return [job for job in day.jobs if job.standing_job == name]


DAYS = [date(2026, month, 11 + (month % 3)) for month in range(1, 13)]
every_month = pytest.mark.parametrize("on", DAYS, ids=str)


@every_month
def test_a_day_whose_pond_is_looked_after_is_done_within_its_time(on: date):
    day = day_of(on)
    assert 12 <= day.minutes <= 75
    assert 4 <= len([job for job in day.jobs if job.state == "open"]) <= 20


@every_month
def test_every_job_of_a_day_says_why_in_a_line(on: date):
    for job in day_of(on).jobs:
        assert job.reason and "\n" not in job.reason and ". ." not in job.reason, job.id
        assert len(job.reason) <= 170, job.reason


@every_month
def test_with_readings_and_a_forecast_nothing_is_not_known(on: date):
    assert [job.id for job in day_of(on).jobs if job.state == "not_known"] == []


@every_month
def test_what_needs_an_occasion_is_not_there_without_one(on: date):
    there = {job.standing_job for job in day_of(on).jobs}
    assert not there & {"gusts", "snow", "rain", "heat", "frost", "restart-filter", "leak-look", *LEAVING}
    assert not {name for name in there if name.startswith(("quarantine", "back-"))}


def test_a_summer_weekday_is_short():
    day = day_of(date(2026, 7, 15))
    assert water_c(day.date) > 18
    names = [job.standing_job for job in day.jobs if job.state == "open"]
    assert {"cover", "look", "feed", "level-summer", "test-kh", "buffer"} <= set(names)
    assert all(job.feed_g for job in named(day, "feed"))
    assert day.minutes <= 60


def test_a_winter_sunday_leaves_the_fish_alone():
    day = day_of(date(2026, 1, 18))
    assert [job.state for job in named(day, "feed")] == ["stood_down", "stood_down"]
    assert day.load == "light" or day.minutes <= 60
    assert not {job.standing_job for job in day.jobs} & {"bowl", "weed", "net-on", "wake-filter"}


def test_in_spring_feeding_begins_again_by_steps():
    on = date(2026, 4, 14)
    asked = [one.entry.standing_job for one in written(on).entries if isinstance(one.entry, Tick)]
    assert "feed-again" in asked
    steps = {"starts_on": str(on - 2 * DAY)}
    day = day_of(on + 2 * DAY, more=lambda log: log.pond(feed_steps=steps))
    assert named(day, "feed-again") == []
    first = named(day, "feed")[0]
    assert first.reason.startswith("Step 1 of 4, 25% of the usual; the next from Fri 17 Apr")


def test_while_feeding_begins_again_ammonia_and_nitrite_are_tested_every_other_day():
    on = date(2026, 4, 16)
    asked = [one.entry for one in written(on).entries if isinstance(one.entry, Tick)]
    begun = [entry.due_on for entry in asked if entry.standing_job == "feed-again"]
    assert begun == [on - DAY]
    assert [job.state for job in named(day_of(on), "spring-test")] == ["open"]


OCCASIONS = {
    "gusts": (date(2026, 10, 13), {"gust_m_per_s": 18.0}),
    "rain": (date(2026, 6, 10), {"rain_mm": 2.0}),
    "snow": (date(2026, 2, 3), {"snow_cm": 0.5}),
    "frost": (date(2026, 12, 2), {"air_c": -7.0}),
    "bright": (date(2026, 5, 6), {"sun_w_per_m2": 600.0}),
}


@pytest.mark.parametrize("name", OCCASIONS)
def test_the_weather_brings_its_job_and_no_other(name: str):
    on, change = OCCASIONS[name]
    day = day_of(on, calm(on) | change)
    assert [job.state for job in named(day, name)] == ["open"]
    others = set(OCCASIONS) - {name}
    assert not {job.standing_job for job in day.jobs} & others


def test_heat_brings_air_and_shade():
    on = date(2026, 8, 4)
    warm = day_of(on, more=lambda log: log.write("reading", at(on, 6), quantity="temperature_c", value=27.2))
    assert {"heat", "heat-oxygen"} <= {job.standing_job for job in warm.jobs if job.state == "open"}
    assert next(job for job in warm.jobs if job.standing_job == "heat").serious


def test_a_falling_level_asks_to_look_for_a_leak():
    on = date(2026, 6, 10)

    def falling(log: Log) -> None:
        for ago in range(3, -1, -1):
            when = at(on - ago * DAY, 6)
            log.write("reading", when, quantity="level_below_mark_mm", value=200 - 40 * ago)

    day = day_of(on, more=falling)
    assert [job.state for job in named(day, "leak-look")] == ["open"]


def test_after_a_long_power_cut_the_filter_is_rinsed_and_nothing_fed():
    on = date(2026, 6, 10)

    def cut(log: Log) -> None:
        log.write("power", at(on, 3), on=False)
        log.write("power", at(on, 6), on=True)

    day = day_of(on, more=cut)
    (rinse,) = named(day, "restart-filter")
    assert (rinse.state, rinse.serious) == ("open", True)
    assert {job.state for job in named(day, "feed")} == {"held_back"}


def test_new_fish_bring_their_work_and_its_end():
    on = date(2026, 9, 9)
    arrived = day_of(on, more=lambda log: log.write("fish_move", at(on, 6), to_pond="main", count=2, quarantine=True))
    there = {job.standing_job: job for job in arrived.jobs if job.standing_job.startswith("quarantine")}
    assert set(there) == {
        "quarantine-look",
        "quarantine-test",
        "quarantine-water",
        "quarantine-papers",
        "quarantine-move",
    } - ({"quarantine-water", "quarantine-papers"} - set(there))
    assert there["quarantine-look"].reason.endswith("Day 1 of 28, to 7 Oct.")
    assert there["quarantine-move"].state == "stood_down"
