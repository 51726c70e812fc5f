"""What a keeper reads on coming home, worked out of a log written by hand."""

from datetime import date, datetime, timedelta

import pytest
from msgspec.structs import replace
from written_log import NOW, PERSON, Log, starter

from evenwater.domain.away.coming_home import ComingHome, coming_home
from evenwater.domain.away.hand_over import Ceiling, HandOver, Helper
from evenwater.domain.fold import fold
from evenwater.domain.rounds.jobs import Day

FIRST = date(2026, 11, 1)
ANNA = Helper("00000000-0000-4000-8000-00000000aaaa", "Anna")
HAND_OVER = HandOver(
    id="autumn",
    pond="main",
    begins_on=FIRST,
    ends_on=FIRST + timedelta(days=2),
    helpers=(ANNA,),
    jobs=("main/cover", "main/buffer"),
    ceilings=(Ceiling("main", feed_g_per_day=30, buffer_g_per_day=84),),
)
NAMES = {PERSON: "Marit", ANNA.id: "Anna"}
AFTER = NOW + timedelta(days=7)


@pytest.fixture
def log() -> Log:
    log = Log()
    log.pond(name="Long pond", volume_l=16_000, latitude=51.0, longitude=4.0)
    for name in ("cover", "buffer", "heater"):
        log.job(starter(name))
    return log


def at(on: date, hour: int = 16) -> datetime:
    return NOW.replace(year=on.year, month=on.month, day=on.day, hour=hour)


def told(log: Log, shown: tuple[Day, ...] = (), now: datetime = AFTER, hand_over: HandOver = HAND_OVER) -> ComingHome:
    return coming_home(hand_over, fold(log.entries), shown, NAMES, now)


def cover(log: Log, *dates: date, author: str = ANNA.id) -> None:
    for on in dates:
        for slot, hour in (("off", 8), ("on", 16)):
            log.tick("cover", on, slot, at(on, hour), author=author)


def line(report: ComingHome, title: str) -> tuple[int, int, tuple[date, ...]]:
    (found,) = [one for one in report.jobs if one.title == title]
    return found.asked, found.done, found.missed


def test_what_was_done_and_missed_is_counted_day_by_day_and_job_by_job(log: Log) -> None:
    cover(log, FIRST, FIRST + timedelta(days=2))
    report = told(log)
    assert line(report, "Covers on") == (3, 2, (FIRST + timedelta(days=1),))
    assert line(report, "Buffer")[:2] == (3, 0)
    assert [(one.on, one.asked, one.done) for one in report.days] == [
        (FIRST, 3, 2),
        (FIRST + timedelta(days=1), 3, 0),
        (FIRST + timedelta(days=2), 3, 2),
    ]
    assert report.days[1].missed == ("Covers off", "Covers on", "Buffer")
    assert report.stage == "over"


def test_who_did_it_stands_by_name(log: Log) -> None:
    cover(log, FIRST)
    cover(log, FIRST + timedelta(days=1), author=PERSON)
    report = told(log)
    assert [one.by for one in report.jobs if one.title == "Covers on"] == [("Anna", "Marit")]


def test_a_job_outside_the_hand_over_is_not_asked_of_anybody(log: Log) -> None:
    assert "Heater setting" not in {one.title for one in told(log).jobs}


def test_what_was_shown_counts_more_than_what_comes_every_day(log: Log) -> None:
    plan = log.plan(at(FIRST, 6))
    jobs = tuple(replace(job, state="stood_down") for job in plan.days[0].jobs if job.standing_job == "cover")
    shown = (replace(plan.days[0], jobs=jobs),)
    report = told(log, shown)
    assert report.days[0].asked == 0
    assert report.days[1].asked == 3


def test_what_was_done_counts_though_it_stood_down_after(log: Log) -> None:
    cover(log, FIRST)
    day = log.plan(at(FIRST, 6)).days[0]
    jobs = tuple(replace(job, state="stood_down") for job in day.jobs if job.standing_job == "cover")
    assert told(log, (replace(day, jobs=jobs),)).days[0].done == 2


def test_a_bag_counts_as_asked_though_the_plan_waits_for_a_test(log: Log) -> None:
    day = log.plan(at(FIRST, 6)).days[0]
    jobs = tuple(replace(job, state="held_back") for job in day.jobs if job.standing_job in ("buffer", "heater"))
    assert line(told(log, (replace(day, jobs=jobs),)), "Buffer")[0] == 3


def test_today_is_not_missed_before_it_is_over(log: Log) -> None:
    cover(log, FIRST)
    report = told(log, now=at(FIRST + timedelta(days=1), 6))
    assert report.stage == "runs"
    assert report.until == FIRST + timedelta(days=1)
    assert report.days[1].missed == ()


def test_before_it_began_there_is_nothing_to_tell(log: Log) -> None:
    report = told(log, now=at(FIRST - timedelta(days=1)))
    assert (report.stage, report.until, report.days, report.jobs) == ("to_come", None, (), ())


def test_without_dates_there_is_nothing_to_tell(log: Log) -> None:
    assert told(log, hand_over=HandOver(id="bare", pond="main")).stage == "unset"


def test_one_that_was_called_off_says_so(log: Log) -> None:
    assert told(log, hand_over=replace(HAND_OVER, called_off=True)).stage == "called_off"


def test_food_and_buffer_stand_against_the_most_that_might_have_been(log: Log) -> None:
    log.tick("buffer", FIRST, "dusk", at(FIRST), amount_g=84.0, substance="sodium_bicarbonate")
    log.write("feed", at(FIRST), feed_g=25)
    log.write("feed", at(FIRST - timedelta(days=1)), feed_g=400)
    log.write("water_change", at(FIRST), volume_l=300)
    (spent,) = told(log).spent
    assert (spent.feed_g, spent.feed_most_g) == (25, 90)
    assert (spent.buffer_g, spent.buffer_most_g) == (84, 252)
    assert spent.water_l == 300


def test_readings_are_told_in_the_keepers_unit(log: Log) -> None:
    log.pond(units={"temperature_c": "°F"})
    for value, hour in ((18.0, 8), (16.0, 16), (17.0, 18)):
        log.write("reading", at(FIRST, hour), quantity="temperature_c", value=value)
    log.write("reading", at(FIRST), quantity="air_temperature_c", value=4.0, point="outside")
    pond, outside = told(log).measured
    assert (pond.count, pond.first, pond.last, pond.low, pond.high) == (3, "64.4 °F", "62.6 °F", "60.8 °F", "64.4 °F")
    assert outside.what.endswith(", outside")


def test_probes_tell_how_warm_it_was_hour_by_hour(log: Log) -> None:
    hours = [(at(FIRST, hour), 18.0 - hour / 10) for hour in range(24)]
    probes = {"main": {"water_c": hours, "heater_kwh": hours}, "elsewhere": {"water_c": hours}}
    report = coming_home(HAND_OVER, fold(log.entries), (), NAMES, AFTER, probes)
    (line,) = report.measured
    assert (line.what, line.count) == ("Water temperature, by the probe, hour by hour", 24)
    assert (line.first, line.low, line.high) == ("18 °C", "15.7 °C", "18 °C")


def test_trouble_notes_and_reasons_say_who_and_carry_their_photos(log: Log) -> None:
    photo = "a" * 64
    log.write("look", at(FIRST), all_well=False, wrong=["air"], trouble="gasping", author=ANNA.id, photos=[photo])
    log.write("power", at(FIRST), on=False, author=ANNA.id)
    log.write("note", at(FIRST), text="The gate sticks.", author=ANNA.id)
    log.write("not_done", at(FIRST), standing_job="cover", due_on=FIRST.isoformat(), slot="on", reason="too heavy")
    report = told(log)
    assert [one.text for one in report.trouble] == ["Fish gasping at the surface, air", "Power out"]
    assert [(one.text, one.by) for one in report.notes] == [("The gate sticks.", "Anna")]
    assert [(one.text, one.by) for one in report.not_done] == [("Covers: too heavy", "Marit")]
    assert report.photos == (photo,)


def test_what_was_said_not_to_be_done_was_asked_and_is_not_missed(log: Log) -> None:
    log.write("not_done", at(FIRST), standing_job="cover", due_on=FIRST.isoformat(), slot="on", reason="too heavy")
    report = told(log)
    assert line(report, "Covers on") == (3, 0, (FIRST + timedelta(days=1), FIRST + timedelta(days=2)))
    assert (report.days[0].asked, report.days[0].missed) == (3, ("Covers off", "Buffer"))


def test_trouble_outside_the_list_is_told_by_its_words_alone(log: Log) -> None:
    wrong = [{"wrong": ["fish"], "text": "One floats"}, {"text": "The gate is open"}, {}]
    for hour, fields in enumerate(wrong, 10):
        log.write("look", at(FIRST, hour), all_well=False, trouble="other", author=ANNA.id, **fields)
    said = [one.text for one in told(log).trouble]
    assert said == ["Fish: One floats", "The gate is open", "Something was wrong"]


def test_a_look_that_says_all_is_well_is_no_trouble(log: Log) -> None:
    log.write("look", at(FIRST), all_well=True)
    assert told(log).trouble == ()


def test_changes_at_the_pond_and_in_its_settings_are_told_once_each(log: Log) -> None:
    log.write("change", at(FIRST), text="Return pump on the low step")
    log.write("fish_move", at(FIRST), count=2, to_pond="main")
    for field, value in (("capful_g", 40), ("volume_l", 15_900)):
        log.write("set", at(FIRST), target="pond", field=field, value=value)
    log.write("set", at(FIRST), target="job/cover", field="why", value="wind")
    log.write("set", at(FIRST), target="hand-over/autumn", field="words", value="thanks")
    said = [one.text for one in told(log).changed]
    assert said == ["Return pump on the low step", "2 fish came: Long pond", "Set: Long pond", "Set: Covers"]
