"""Late, by consequence. That both copies answer alike is checked in tests/reference/rounds."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from domain.rounds.rounds_jobs import a_job
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.rounds.walk.late import lateness, lateness_kind, patience
from evenwater.domain.standing_job import StandingJob

CLOSES = datetime(2026, 11, 3, 10, 0, tzinfo=UTC)
DAY = timedelta(days=1)
UTC_ZONE = ZoneInfo("UTC")


def rule(**fields: object) -> StandingJob:
    return StandingJob(id="a", pond="main", **fields)  # type: ignore[arg-type]


def late_job(**fields: object):
    waits_until, serious_at = patience(rule(**fields), CLOSES, UTC_ZONE)
    return a_job("a", closes_at=CLOSES, waits_until=waits_until, serious_at=serious_at)


def test_a_job_that_matters_matters_as_soon_as_its_window_closes():
    assert patience(rule(serious=True), CLOSES, UTC_ZONE) == (None, CLOSES)


def test_a_job_that_may_wait_matters_only_when_it_has_waited():
    assert patience(rule(serious=True, waits_days=3), CLOSES, UTC_ZONE) == (CLOSES + 3 * DAY, CLOSES + 3 * DAY)


def test_a_job_that_is_not_serious_never_begins_to_matter():
    assert patience(rule(waits_days=3), CLOSES, UTC_ZONE) == (CLOSES + 3 * DAY, None)
    assert patience(rule(), CLOSES, UTC_ZONE) == (None, None)


def test_waiting_goes_by_the_clock_at_the_pond_across_a_change_of_the_clocks():
    # Clocks in Berlin go back on 25 October 2026; 20:00 stays 20:00.
    closes = datetime(2026, 10, 24, 18, 0, tzinfo=UTC)
    waits_until, _ = patience(rule(waits_days=2), closes, ZoneInfo("Europe/Berlin"))
    assert waits_until == datetime(2026, 10, 26, 19, 0, tzinfo=UTC)


def test_a_month_old_trifle_comes_after_what_matters_since_a_minute():
    trifle, grave = late_job(), late_job(serious=True)
    assert lateness(trifle, CLOSES + 30 * DAY) < lateness(grave, CLOSES + timedelta(minutes=1))


def test_the_words_go_from_can_wait_to_late_to_matters():
    slow = late_job(waits_days=2)
    assert lateness_kind(slow, CLOSES) == "not_late"
    assert lateness_kind(slow, CLOSES + DAY) == "can_wait"
    assert lateness_kind(slow, CLOSES + 2 * DAY) == "late"
    assert lateness_kind(late_job(serious=True, waits_days=2), CLOSES + 2 * DAY) == "matters"


def test_what_is_no_longer_worth_doing_is_not_late():
    job = a_job("a", closes_at=CLOSES, lapses_at=CLOSES + DAY, serious_at=CLOSES)
    assert lateness(job, CLOSES + DAY) == 0.0


@given(st.booleans(), st.integers(0, 30), st.integers(0, 10**10), st.integers(0, 10**9))
def test_lateness_never_shrinks_while_a_job_waits(serious, waits_days, first_ms, more_ms):
    job = late_job(serious=serious, waits_days=waits_days)
    first = CLOSES + timedelta(milliseconds=first_ms)
    assert 0 <= lateness(job, first) <= lateness(job, first + timedelta(milliseconds=more_ms))
