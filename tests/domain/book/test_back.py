"""The days gone by, as they were shown."""

from datetime import timedelta

import pytest
from msgspec.structs import replace
from written_log import NOW, Log, starter

from evenwater.domain.book.back import days_back

TODAY = NOW.date()


@pytest.fixture
def day():
    log = Log()
    log.pond(volume_l=20_000, capful_g=27)
    for job in ("cover", "buffer", "agitate"):
        log.job(starter(job))
    log.kh(4.5, NOW - timedelta(hours=2))
    return log.plan().days[0]


def shown_on(day, days_ago: int):
    return replace(day, date=TODAY - timedelta(days=days_ago))


def test_two_weeks_are_kept_oldest_first_and_today_is_not_among_them(day):
    back = days_back([shown_on(day, ago) for ago in (0, 1, 14, 15, 3)], TODAY)
    assert [(TODAY - one.date).days for one in back] == [14, 3, 1]


def test_a_day_shown_twice_is_as_it_was_shown_last(day):
    early, late = shown_on(day, 2), replace(shown_on(day, 2), jobs=day.jobs[:1])
    (only,) = days_back([early, late], TODAY)
    assert len(only.jobs) == 1


def test_what_was_asked_and_why_stays_and_how_it_was_worked_out_goes(day):
    (slim,) = days_back([shown_on(day, 1)], TODAY)
    asked = next(job for job in day.jobs if job.shape == "dose")
    kept = next(job for job in slim.jobs if job.shape == "dose")
    assert (kept.amount_g, kept.text, kept.reason) == (asked.amount_g, asked.text, asked.reason)
    assert asked.chart is not None
    assert (kept.chart, kept.workings, kept.cautions, kept.how) == (None, None, (), None)


def test_the_tag_follows_what_is_kept_and_nothing_else(day):
    (one,) = days_back([shown_on(day, 1)], TODAY)
    (same,) = days_back([replace(shown_on(day, 1), tag="another")], TODAY)
    (other,) = days_back([replace(shown_on(day, 1), jobs=day.jobs[:1])], TODAY)
    assert one.tag == same.tag != other.tag
