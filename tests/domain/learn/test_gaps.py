"""Runs of a repeating work out of a log: what ended each, and how much of the present one teaches."""

from datetime import UTC, date, datetime, timedelta

from written_log import Log

from evenwater.domain.fold import fold
from evenwater.domain.learn.gaps import MOST_RUNS, Cause, Gaps, cause_of, gaps_of
from evenwater.domain.pond import CarbonBed, Pond
from evenwater.domain.standing_job import AfterDone, EveryDay, StandingJob, WhenTrue

START = date(2026, 1, 1)
AGITATE = StandingJob(id="agitate", pond="main", recur=AfterDone(9), service="carbon_agitated")
CHLORINE = Cause("total_chlorine_ug_per_l", "after_carbon", 20.0)


def day(number: int) -> date:
    return START + timedelta(days=number)


def noon(number: int) -> datetime:
    return datetime(2026, 1, 1, 12, tzinfo=UTC) + timedelta(days=number)


def ticked(log: Log, done: int, due: int) -> None:
    log.tick("agitate", day(due), "midday", noon(done))


def asked(log: Log, today: int, job: StandingJob = AGITATE, cause: Cause | None = None) -> Gaps:
    return gaps_of(fold(log.entries).facts, job, day(today), cause)


def test_a_work_done_before_it_was_due_was_done_by_need():
    log = Log()
    ticked(log, 0, 0)
    ticked(log, 6, 9)
    gaps = asked(log, 8)
    assert (gaps.ended_days, gaps.held_days, gaps.open_days, gaps.watched_days) == ((6,), (), 2, 2)


def test_a_work_done_when_due_or_late_only_held_until_it_was_due():
    log = Log()
    for done, due in ((0, 0), (9, 9), (23, 18)):
        ticked(log, done, due)
    assert asked(log, 24).held_days == (9, 9)
    assert asked(log, 24).ended_days == ()


def test_a_day_before_being_due_in_nine_counts_as_due():
    log = Log()
    ticked(log, 0, 0)
    ticked(log, 8, 9)
    assert asked(log, 9).held_days == (8,)


def test_an_entry_that_no_job_asked_for_ends_a_run_by_need():
    log = Log()
    log.write("service", noon(0), service="carbon_agitated")
    log.write("service", noon(5), service="drum_rinsed")
    log.write("service", noon(12), service="carbon_agitated")
    assert asked(log, 13).ended_days == (12,)


def test_a_reading_at_its_limit_makes_a_late_work_a_needed_one():
    log = Log()
    ticked(log, 0, 0)
    log.write("reading", noon(9), quantity="total_chlorine_ug_per_l", value=20.0, point="after_carbon")
    ticked(log, 11, 9)
    assert asked(log, 12, cause=CHLORINE).ended_days == (11,)
    assert asked(log, 12).held_days == (9,)


def test_a_reading_at_its_limit_on_the_day_of_the_work_before_is_not_the_cause_of_the_next():
    log = Log()
    log.write("reading", noon(0), quantity="total_chlorine_ug_per_l", value=40.0, point="after_carbon")
    ticked(log, 0, 0)
    ticked(log, 2, 2)
    assert asked(log, 3, cause=CHLORINE).held_days == (2,)


def test_works_on_one_day_are_one_and_what_was_taken_back_is_none():
    log = Log()
    ticked(log, 0, 0)
    slip = log.tick("agitate", day(9), "midday", noon(3))
    log.write("take_back", noon(3), entry=slip.entry.id)
    ticked(log, 5, 9)
    log.write("service", noon(5), service="carbon_agitated")
    assert asked(log, 6).ended_days == (5,)


def test_days_to_come_are_not_looked_at():
    log = Log()
    for done in (0, 4, 8):
        log.write("service", noon(done), service="carbon_agitated")
    assert asked(log, 5).ended_days == (4,)
    assert asked(log, 5).open_days == 1


def test_the_present_run_teaches_until_it_is_due_and_from_there_only_when_put_off_with_a_reason():
    log = Log()
    ticked(log, 0, 0)
    assert (asked(log, 30).open_days, asked(log, 30).watched_days) == (30, 9)
    log.write("not_done", noon(10), standing_job="agitate", due_on="2026-01-10", slot="midday", reason="not needed")
    assert asked(log, 30).watched_days == 19


def test_a_work_of_the_calendar_teaches_its_calendar_alone():
    log = Log()
    for done in (0, 1, 2):
        ticked(log, done, done)
    gaps = asked(log, 12, StandingJob(id="agitate", pond="main", recur=EveryDay()))
    assert (gaps.held_days, gaps.ended_days, gaps.watched_days) == ((1, 1), (), 1)


def test_a_work_that_waits_for_its_condition_ends_by_need():
    log = Log()
    for done in (0, 7):
        ticked(log, done, done)
    gaps = asked(log, 20, StandingJob(id="agitate", pond="main", recur=WhenTrue()))
    assert (gaps.ended_days, gaps.watched_days) == ((7,), 13)


def test_of_two_kits_each_has_its_own_history():
    log = Log()
    for done, kit in ((0, "drum-1"), (4, "drum-2"), (10, "drum-1")):
        log.write("service", noon(done), service="drum_rinsed", kit=kit)
    job = StandingJob(id="rinse", pond="main", service="drum_rinsed", kit="drum-1", recur=AfterDone(30))
    assert asked(log, 11, job).ended_days == (10,)


def test_only_the_latest_runs_are_looked_at():
    log = Log()
    for number in range(MOST_RUNS + 10):
        log.write("service", noon(2 * number), service="carbon_agitated")
    assert asked(log, 400).ended_days == (2,) * MOST_RUNS


def test_a_work_never_done_has_no_history():
    assert asked(Log(), 5) == Gaps()


def test_the_cause_of_a_work_on_the_carbon_is_the_keepers_limit():
    pond = Pond(id="main", carbon=CarbonBed(limit_ug_per_l=35.0))
    assert cause_of(AGITATE, pond) == Cause("total_chlorine_ug_per_l", "after_carbon", 35.0)
    assert cause_of(AGITATE, Pond(id="main")) is None
    assert cause_of(StandingJob(id="rinse", pond="main", service="drum_rinsed"), pond) is None
