"""Two weeks of rounds: which jobs, when, in what order, and why not."""

from datetime import date, datetime, timedelta

import pytest
from msgspec.structs import replace
from written_log import NOW, Log, jobs_of, starter

from evenwater.domain.book.outlook import PondBook
from evenwater.domain.rounds.plan import news_since
from evenwater.domain.standing_job import AfterDone, StandingJob

TODAY = NOW.date()


def test_a_household_without_a_pond_is_offered_the_starter_jobs(log):
    plan = log.plan()
    assert plan.ponds == ()
    assert {setting.target for setting in plan.starter} == {"job/cover", "job/buffer", "job/heater", "job/agitate"}
    assert all(day.jobs == () for day in plan.days)


def test_a_plan_runs_two_weeks_and_its_amounts_one(measured):
    plan = measured.plan()
    assert [day.date for day in plan.days] == [TODAY + timedelta(days=n) for n in range(14)]
    assert [bool(jobs_of(plan, n, "buffer")[0].amount_g) for n in range(14)] == [True] * 7 + [False] * 7
    assert plan.good_until.date() == TODAY + timedelta(days=7)


def test_jobs_stand_in_walking_order_within_the_part_of_the_day(measured):
    measured.tick("agitate", TODAY - timedelta(days=9), "midday", NOW - timedelta(days=9))
    order = [(job.part, job.standing_job) for job in measured.plan().days[0].jobs]
    assert order == [
        ("morning", "cover"),
        ("midday", "agitate"),
        ("dusk", "cover"),
        ("dusk", "buffer"),
        ("dusk", "heater"),
    ]


def test_a_job_every_few_days_counts_from_when_it_was_done(log):
    log.pond()
    log.job(starter("agitate"))
    log.tick("agitate", TODAY - timedelta(days=6), "midday", NOW - timedelta(days=4))
    plan = log.plan()
    due = [day.date for day in plan.days if day.jobs]
    assert due == [TODAY + timedelta(days=5)]
    assert "last done Fri 30 Oct" in jobs_of(plan, 5, "agitate")[0].reason


def test_a_job_missed_for_weeks_comes_back_once_under_its_own_date(log):
    log.pond()
    log.job(starter("agitate"))
    log.tick("agitate", TODAY - timedelta(days=40), "midday", NOW - timedelta(days=40))
    (job,) = jobs_of(log.plan(), 0, "agitate")
    assert job.due_on == TODAY - timedelta(days=31)
    assert job.closes_at < NOW


def test_what_was_done_today_stays_on_today_s_list(log):
    log.pond()
    log.job(starter("agitate"))
    log.tick("agitate", TODAY, "midday", NOW - timedelta(hours=2))
    plan = log.plan()
    assert [job.id for job in jobs_of(plan, 0, "agitate")] == [f"agitate/{TODAY}/midday"]
    assert jobs_of(plan, 9, "agitate")[0].due_on == TODAY + timedelta(days=9)


def test_a_weekday_job_missed_waits_until_its_next_day(log):
    log.pond()
    log.job(starter("agitate"), recur={"every": "weekdays", "days": ["sun"]})
    plan = log.plan()  # a Tuesday
    assert [job.due_on for job in jobs_of(plan, 0, "agitate")] == [date(2026, 11, 1)]
    assert [day.date for day in plan.days if day.jobs][1:] == [date(2026, 11, 8), date(2026, 11, 15)]


def test_a_daily_job_of_yesterday_is_not_carried_over(log):
    log.pond()
    log.job(starter("cover"))
    assert {job.due_on for job in log.plan().days[0].jobs} == {TODAY}


def test_after_midnight_a_window_still_open_belongs_to_the_evening_before(log):
    log.pond()
    log.job(starter("cover"), windows={"late": {"part": "bedtime", "opens": "22:00", "closes": "01:30"}})
    at_one = datetime(2026, 11, 4, 1, 0, tzinfo=NOW.tzinfo)
    assert [job.due_on for job in log.plan(at_one).days[0].jobs] == [TODAY, date(2026, 11, 4)]


def test_covers_off_lapses_when_it_is_time_for_covers_on(measured):
    off, on = jobs_of(measured.plan(), 0, "cover")
    assert off.lapses_at == on.opens_at
    assert on.lapses_at is None


def test_the_heater_is_asked_for_when_its_setting_changes_and_stood_down_while_it_does_not(log):
    log.pond()
    log.job(starter("heater"), setting_c=19)
    log.write(
        "set", NOW, target="job/heater", field="setting_c", value=18.5, effective_from=str(TODAY + timedelta(days=2))
    )
    log.tick("heater", TODAY - timedelta(days=3), "dusk", NOW - timedelta(days=3), setting_c=19)
    plan = log.plan()
    states = [jobs_of(plan, n, "heater")[0] for n in range(4)]
    told = [(job.state, job.setting_c) for job in states]
    assert told == [("stood_down", 19), ("stood_down", 19), ("open", 18.5), ("stood_down", 18.5)]
    assert states[3].reason == "Only if 18.5 °C was not set before."
    assert states[0].reason == "Set to 19 °C on Sat 31 Oct."
    assert states[2].reason == "It stands at 19 °C since Sat 31 Oct."
    assert states[2].text == "Heater setting to 18.5 °C"


def test_every_job_says_why_in_a_line(log):
    log.pond(latitude=51.0, longitude=4.0, volume_l=20_000)
    for job_id in ("cover", "buffer", "heater", "agitate"):
        log.job(starter(job_id))
    windows = {"day": {"part": "midday", "opens": "10:00", "closes": "12:00"}}
    log.job(starter("cover"), windows=windows, recur={"every": "weekdays", "days": ["sun", "wed"]})
    jobs = [job for day in log.plan().days for job in day.jobs if job.shape != "dose" or job.chart]
    assert all(job.reason for job in jobs)
    assert "On Sun and Wed." in {job.reason for job in jobs}


def test_a_quarantine_tank_is_a_pond_with_a_round_of_its_own(measured):
    measured.pond(pond="quarantine", volume_l=800)
    measured.job(starter("buffer"), pond="quarantine")
    plan = measured.plan()
    assert [pond.id for pond in plan.ponds] == ["main", "quarantine"]
    assert [job.pond for job in jobs_of(plan, 0, "buffer")] == ["main", "quarantine"]


def test_a_closed_pond_has_no_round(measured):
    measured.write("set", NOW, target="pond", field="closed", value=True)
    assert measured.plan().ponds == ()


def test_only_days_that_changed_are_sent(measured):
    plan = measured.plan()
    tags = {day.date.isoformat(): day.tag for day in plan.days}
    assert news_since(plan, tags).days == ()
    tags[TODAY.isoformat()] = "old"
    news = news_since(plan, tags)
    assert [day.date for day in news.days] == [TODAY]
    assert len(news.dates) == 14


def test_of_books_and_days_gone_by_only_those_that_changed_are_sent(measured):
    plan = measured.plan()
    books = (PondBook(pond="main", tag="b1"), PondBook(pond="quarantine", tag="q1"))
    back = tuple(replace(plan.days[0], date=TODAY - timedelta(days=ago), tag=f"d{ago}") for ago in (2, 1))
    plan = replace(plan, book=books, back=back)
    tags = {"book/main": "b1", "book/quarantine": "q0", f"back/{TODAY - timedelta(days=2)}": "d2"}
    news = news_since(plan, tags)
    assert [one.pond for one in news.book] == ["quarantine"]
    assert [day.tag for day in news.back] == ["d1"]


def test_the_same_log_and_moment_make_the_same_plan(measured):
    assert measured.plan() == measured.plan()


@pytest.mark.parametrize("hours", [23, 25])
def test_the_day_the_clock_changes_is_one_day(log, hours):
    log.pond(zone="Europe/Brussels")
    log.job(starter("cover"), windows={"day": {"part": "midday", "opens": "00:30", "closes": "23:30"}})
    noon = datetime(2026, 3 if hours == 23 else 10, 29 if hours == 23 else 25, 11, 0, tzinfo=NOW.tzinfo)
    (job,) = log.plan(noon).days[0].jobs
    assert job.closes_at - job.opens_at == timedelta(hours=hours - 1)
    assert job.due_on == noon.date()


def carbon_read_for_weeks() -> Log:
    """Carbon agitated every ten days, and read to its limit each time."""
    log = Log()
    log.pond(volume_l=10_000, inflow_l_per_day=500, carbon={"bed_l": 10, "limit_ug_per_l": 20})
    log.job(starter("agitate"))
    for week in (5, 4, 3, 2, 1):
        at = NOW - timedelta(days=10 * week)
        log.tick("agitate", at.date(), "midday", at)
        for day, chlorine in ((2, 0), (5, 0), (8, 10), (9.5, 20)):
            if week > 1 or day < 9:
                log.write(
                    "reading",
                    at + timedelta(days=day),
                    quantity="total_chlorine_ug_per_l",
                    value=chlorine,
                    point="after_carbon",
                    step=10,
                )
    return log


def test_the_carbons_own_readings_say_when_it_is_due_and_the_interval_no_more():
    plan = carbon_read_for_weeks().plan()
    due_on, reason = plan.water[0].carbon_due
    jobs = {day.date: jobs_of(plan, n, "agitate") for n, day in enumerate(plan.days)}
    (job,) = jobs[max(due_on, NOW.date())]
    assert job.state == "open"
    assert job.reason.lower().startswith(reason.lower())
    assert all(job.state == "stood_down" for on, there in jobs.items() if on < due_on for job in there)


def test_carbon_out_of_its_season_is_due_on_no_day_and_fresh_carbon_keeps_its_own_time():
    log = carbon_read_for_weeks()
    log.job(starter("agitate"), season={"from": "04-01", "to": "09-30"})
    assert all(not jobs_of(log.plan(), day, "agitate") for day in range(14))
    log = carbon_read_for_weeks()
    log.job(StandingJob(id="fresh", pond="", text="Fresh carbon", recur=AfterDone(days=300), service="carbon_changed"))
    log.tick("fresh", TODAY - timedelta(days=51), "day", NOW - timedelta(days=51))
    assert any(jobs_of(log.plan(), day, "agitate") for day in range(14))
    assert all(not jobs_of(log.plan(), day, "fresh") for day in range(14))


def test_without_readings_after_the_carbon_the_interval_stands():
    log = Log()
    log.pond(volume_l=10_000, inflow_l_per_day=500, carbon={"bed_l": 10})
    log.job(starter("agitate"))
    log.tick("agitate", NOW.date() - timedelta(days=9), "midday", NOW - timedelta(days=9))
    plan = log.plan()
    assert plan.water[0].carbon_due is None
    (job,) = jobs_of(plan, 0, "agitate")
    assert (job.state, job.reason) == (
        "open",
        "Every 9 days, not learned yet: it has not been done twice; last done Sun 25 Oct.",
    )
