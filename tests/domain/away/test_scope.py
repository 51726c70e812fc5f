"""Where a hand-over stands on a day, and what is in it."""

from datetime import UTC, datetime, timedelta

import pytest
from helper_phone import JO, KIM
from written_log import Log, starter

from evenwater.domain.away.scope import Scope, scope_of
from evenwater.domain.fold import fold
from evenwater.domain.standing_job import StandingJob

NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
FIELDS = {
    "begins_on": "2026-11-10",
    "ends_on": "2026-11-12",
    "helpers": [{"id": JO, "name": "Jo"}],
    "jobs": ["main/cover", "main/salt", "main/off", "other/cover"],
}


def scope(
    now: datetime = NOW, zone: str = "UTC", helper: str = JO, log: Log | None = None, **more: object
) -> Scope | None:
    log = log or Log()
    log.pond(zone=zone)
    log.job(starter("cover"))
    log.job(StandingJob(id="salt", pond="", text="Salt"), amount="200 g")
    log.job(StandingJob(id="off", pond="", text="Off"), active=False)
    for field, value in (FIELDS | more).items():
        log.write("set", NOW - timedelta(days=2), target="hand-over/autumn", field=field, value=value)
    return scope_of(fold(log.entries), "autumn", helper, now)


def on(day: int, hour: int = 12) -> datetime:
    return datetime(2026, 11, day, hour, tzinfo=UTC)


@pytest.mark.parametrize(
    ("day", "phase"),
    [(8, "not_yet"), (9, "rehearsal"), (10, "running"), (12, "running"), (13, "late"), (19, "late"), (20, "over")],
)
def test_each_day_has_its_phase(day, phase):
    assert scope(on(day)).phase == phase


def test_the_days_are_those_of_the_pond():
    assert scope(on(9, 23), zone="Pacific/Auckland").phase == "running"
    assert scope(on(13, 3), zone="America/New_York").phase == "running"


def test_a_trial_round_may_be_on_another_day():
    found = scope(on(7), rehearsal_on="2026-11-07")
    assert found.phase == "rehearsal" and found.shows(on(7).date()) and not found.shows(on(9).date())


def test_without_dates_nothing_has_begun():
    assert scope(begins_on=None).phase == "not_yet"


def test_called_off_it_ends_on_that_day():
    log = Log()
    found = scope(on(13), log=log)
    assert found.last_day == on(12).date()
    log.write("set", on(11), target="hand-over/autumn", field="called_off", value=True)
    known = fold(log.entries)
    assert scope_of(known, "autumn", JO, on(11)).phase == "running"
    assert scope_of(known, "autumn", JO, on(12)).phase == "late"
    assert scope_of(known, "autumn", JO, on(19)).phase == "over"


def test_called_off_and_taken_up_again_it_runs():
    log = Log()
    scope(log=log)
    for value in (True, False):
        log.write("set", on(4), target="hand-over/autumn", field="called_off", value=value)
    assert scope_of(fold(log.entries), "autumn", JO, on(11)).phase == "running"


def test_jobs_are_those_named_that_are_switched_on_and_put_in_nothing_else():
    assert set(scope(on(10)).jobs) == {"main/cover"}
    assert set(scope(on(10), other_doses=True).jobs) == {"main/cover", "main/salt"}


def test_who_is_not_in_it_has_no_scope():
    assert scope(helper=KIM) is None
    assert scope_of(fold(Log().entries), "autumn", JO, NOW) is None


def test_bags_are_numbered_from_the_first_day():
    found = scope(on(10))
    assert [found.bag(on(day).date()) for day in (9, 10, 12)] == [1, 1, 3]
    assert found.days == 3
