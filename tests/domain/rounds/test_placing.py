"""Standing jobs of every kind on the days of a plan, each with why; and what is odd takes no plan away."""

from datetime import UTC, date, datetime, timedelta

import msgspec
import pytest
from written_log import NOW, Log, jobs_of

from evenwater.domain.fold import fold
from evenwater.domain.rounds.jobs import Job, Plan
from evenwater.domain.rounds.plan import make_plan
from evenwater.domain.rounds.warmth_now import warmth_now
from evenwater.domain.standing_job import (
    AfterDone,
    ByRule,
    ByUse,
    Foretold,
    Happened,
    Measured,
    OnWeekdays,
    Season,
    StandingJob,
    WhenTrue,
    Window,
    WorkedOut,
)
from evenwater.domain.warmth.pond_air import Samples

TODAY, DAY, HOUR = NOW.date(), timedelta(days=1), timedelta(hours=1)
CHLORINE = Measured("total_chlorine_ug_per_l", "above", 20, "after_carbon")


@pytest.fixture
def pond(log: Log) -> Log:
    log.pond(inflow_l_per_day=600, kit=[{"id": "pump", "name": "Big pump", "hours_per_day": 12}])
    log.write("note", NOW - 100 * DAY, text="The log begins.")
    return log


def sweep(log: Log, **fields: object) -> None:
    log.job(StandingJob(id="sweep", pond="", text="Sweep", **fields))


def placed(plan: Plan, job: str = "sweep") -> dict[int, Job]:
    """The job by how many days ahead it is shown."""
    return {n: one for n in range(len(plan.days)) for one in jobs_of(plan, n, job)}


def test_a_rule_of_the_calendar_places_its_dates_and_says_which(pond):
    sweep(pond, recur=ByRule("FREQ=MONTHLY;BYDAY=2SA"), starts_on=date(2026, 1, 1))
    pond.tick("sweep", date(2026, 10, 10), "day", NOW - 24 * DAY)
    jobs = placed(pond.plan())
    assert {job.due_on for job in jobs.values()} == {date(2026, 11, 14)}
    assert jobs[11].reason == "On the second Sat of every month."
    assert jobs[11].fixed


def test_a_monthly_job_missed_waits_with_its_own_date_and_a_later_tick_settles_it(pond):
    sweep(pond, recur=ByRule("FREQ=MONTHLY;BYMONTHDAY=20"), starts_on=date(2026, 1, 1))
    assert placed(pond.plan())[0].due_on == date(2026, 10, 20)
    pond.tick("sweep", date(2026, 9, 20), "day", NOW - 5 * DAY)
    assert placed(pond.plan()) == {}


def test_what_was_missed_gives_way_on_the_day_it_falls_again(pond):
    sweep(pond, recur=OnWeekdays(("tue", "sun")))
    (job,) = [one for one in pond.plan().days[0].jobs if one.standing_job == "sweep"]
    assert job.due_on == TODAY


def test_left_out_with_a_reason_counts_and_says_so(pond):
    sweep(pond, recur=AfterDone(9))
    pond.tick("sweep", TODAY - 12 * DAY, "day", NOW - 12 * DAY)
    pond.write("not_done", NOW - DAY, standing_job="sweep", due_on=str(TODAY - 3 * DAY), slot="day", reason="storm")
    jobs = placed(pond.plan())
    assert sorted(jobs) == [8]
    assert jobs[8].reason == "Every 9 days; last done Thu 22 Oct; left out Mon 2 Nov."


def test_work_noted_by_itself_counts_as_the_job_done(pond):
    sweep(pond, recur=AfterDone(9), service="pump_serviced", kit="pump")
    pond.write("service", NOW - 2 * DAY, service="pump_serviced", kit="other")
    assert 0 in placed(pond.plan())
    pond.write("service", NOW - 2 * DAY, service="pump_serviced", kit="pump")
    assert sorted(placed(pond.plan())) == [7]


def test_work_noted_by_itself_today_stands_todays_job_down(pond):
    sweep(pond, service="pump_serviced")
    pond.write("service", NOW - HOUR, service="pump_serviced")
    jobs = placed(pond.plan())
    assert (jobs[0].state, jobs[0].reason) == ("stood_down", "Done today already: it was noted by itself.")
    assert jobs[1].state == "open"


def test_litres_of_trickle_say_when_it_is_due(pond):
    sweep(pond, recur=ByUse("volume_l", 6000))
    pond.tick("sweep", TODAY - 7 * DAY, "day", NOW - 7 * DAY)
    jobs = placed(pond.plan())
    assert sorted(jobs) == [3, 13]
    assert jobs[3].reason == "Every 6,000 L; 4,200 L since Tue 27 Oct."
    assert jobs[3].after_done_days == 10


def test_a_kit_items_own_counter_is_believed_before_what_was_set(pond):
    sweep(pond, recur=ByUse("hours", 100, kit="pump"))
    pond.tick("sweep", TODAY - 10 * DAY, "day", NOW - 10 * DAY)
    assert placed(pond.plan())[0].due_on == TODAY - DAY
    pond.write("meter", NOW - 10 * DAY, kit="pump", hours=1000)
    pond.write("meter", NOW - 5 * DAY, kit="pump", hours=1040)
    jobs = placed(pond.plan())
    assert jobs[3].due_on == TODAY + 3 * DAY  # 8 h a day by its counter
    assert jobs[3].reason == "Every 100 h; 80 h since Sat 24 Oct."


def test_a_counter_that_was_set_back_begins_anew(pond):
    sweep(pond, recur=ByUse("hours", 100, kit="pump"))
    pond.tick("sweep", TODAY - 10 * DAY, "day", NOW - 10 * DAY)
    for days, hours in ((12, 9000), (5, 10), (0, 60)):
        pond.write("meter", NOW - days * DAY, kit="pump", hours=hours)
    assert placed(pond.plan())[0].reason == "Every 100 h; 100 h since Sat 24 Oct."


def test_so_many_readings_make_it_due_and_none_are_foretold(pond):
    sweep(pond, recur=ByUse("readings", 3, quantity="kh_dkh"))
    pond.tick("sweep", TODAY - 10 * DAY, "day", NOW - 10 * DAY)
    for days in (10, 4, 2):
        pond.kh(5.0, NOW - days * DAY)
    assert placed(pond.plan()) == {}
    pond.kh(5.0, NOW - DAY)
    jobs = placed(pond.plan())
    assert sorted(jobs) == [0]
    assert (jobs[0].due_on, jobs[0].reason) == (TODAY - DAY, "Every 3 readings of KH; 3 since Sat 24 Oct.")


def test_use_nobody_can_tell_is_not_known_and_says_what_to_do(log):
    log.pond(kit=[{"id": "pump", "name": "Big pump"}])
    sweep(log, recur=ByUse("volume_l", 6000))
    log.job(StandingJob(id="grease", pond="", recur=ByUse("hours", 100, kit="gone")))
    plan = log.plan()
    assert [(job.state, job.reason) for job in placed(plan).values()] == [
        ("not_known", "Not known: how much water goes through: set the trickle, or note what its counter shows.")
    ]
    assert placed(plan, "grease")[0].state == "not_known"


def test_a_learned_interval_shortens_the_fixed_one_and_shows_its_range(pond):
    sweep(pond, recur=AfterDone(30, learned=True), service="drum_rinsed")
    for days in (61, 52, 42, 33, 24, 14, 5):
        pond.write("service", NOW - days * DAY, service="drum_rinsed")
    jobs = placed(pond.plan())
    assert jobs and min(jobs) <= 5
    first = jobs[min(jobs)]
    assert first.reason.startswith("Usually ")
    assert first.reason.endswith("on day 5, at most every 30 days; last done Thu 29 Oct.")
    assert first.after_done_days <= 10


def test_a_job_stands_while_its_condition_holds_and_rests_when_done(pond):
    sweep(pond, recur=WhenTrue(rest_days=3), only_if=(CHLORINE,))
    pond.write("reading", NOW - DAY, quantity="total_chlorine_ug_per_l", value=25, point="after_carbon")
    jobs = placed(pond.plan())
    assert sorted(jobs) == [0]
    assert jobs[0].reason == "Total chlorine after the carbon was 25 µg/L yesterday, above 20."
    pond.tick("sweep", TODAY - 2 * DAY, "day", NOW - 2 * DAY)
    assert placed(pond.plan()) == {}
    pond.write("take_back", NOW, entry=pond.entries[-1].entry.id)
    pond.write("reading", NOW, quantity="total_chlorine_ug_per_l", value=5, point="after_carbon")
    assert placed(pond.plan()) == {}


def test_a_condition_on_something_never_measured_is_not_known_and_stands_today(pond):
    sweep(pond, recur=WhenTrue(), only_if=(CHLORINE,))
    pond.job(StandingJob(id="flush", pond="", text="Flush", only_if=(CHLORINE,)))
    plan = pond.plan()
    said = "Not known: no reading of total chlorine after the carbon yet."
    assert [(n, job.state, job.reason) for n, job in placed(plan).items()] == [(0, "not_known", said)]
    assert {(job.state, job.reason) for job in placed(plan, "flush").values()} == {("not_known", said)}


def test_jobs_that_stand_anyway_keep_a_line_each_while_their_condition_is_not_known(pond):
    for name in ("flush", "rinse"):
        pond.job(StandingJob(id=name, pond="", text=name.capitalize(), only_if=(CHLORINE,)))
    assert [job.state for job in pond.plan().days[0].jobs] == ["not_known", "not_known"]


def test_gusts_foretold_for_thursday_place_the_job_on_thursday(pond):
    sweep(pond, recur=WhenTrue(rest_days=1), only_if=(Foretold("gust_m_per_s", "above", 15, within_h=12),))
    begins = NOW.replace(minute=0)
    gale = begins.replace(hour=12) + 2 * DAY
    forecast = {"gust_m_per_s": [(at, 20.0 if at == gale else 4.0) for at in (begins + n * HOUR for n in range(96))]}
    known = fold(pond.entries)
    (one,) = known.ponds(TODAY)
    warm = {"main": warmth_now(known, one, Samples(forecast=(NOW, forecast)), NOW)}
    jobs = placed(make_plan(known, len(pond.entries), {}, NOW, warm=warm))
    assert sorted(jobs) == [2]
    assert jobs[2].reason == "Gusts 20 m/s within 12 h of Thu morning, above 15 m/s."


def test_only_if_stands_a_job_down_or_says_why_it_is_wanted(pond):
    sweep(pond, only_if=(Happened("water_change", within_days=2, negated=True),))
    assert placed(pond.plan())[0].reason == "Every day. No water change in 2 days."
    pond.write("water_change", NOW - HOUR, volume_l=500)
    jobs = placed(pond.plan())
    assert {(job.state, job.reason) for n, job in jobs.items() if n == 0} == {("stood_down", "A water change today.")}
    assert jobs[1].reason == "A water change today, as it stands today."
    assert not jobs[0].fixed


def test_a_condition_on_a_page_is_asked_when_the_page_is_made(pond):
    for days in range(20, 0, -1):
        pond.kh(5.0, NOW - days * DAY)
    pond.write("set", NOW, target="pond", field="volume_l", value=10_000)
    sweep(pond, recur=WhenTrue(), only_if=(WorkedOut("kh_tomorrow_dkh", "above", 1),))
    jobs = placed(pond.plan())
    assert jobs[0].reason.startswith("KH tomorrow about ")
    assert jobs[0].state == "open"


def test_a_dose_that_hangs_on_a_page_has_its_amount(measured):
    measured.write("set", NOW, target="job/buffer", field="recur", value={"every": "when", "rest_days": 1})
    low = {"what": "worked_out", "of": "kh_tomorrow_dkh", "side": "below", "value": 9}
    measured.write("set", NOW, target="job/buffer", field="only_if", value=[low])
    job = placed(measured.plan(), "buffer")[0]
    assert job.state == "open"
    assert job.chart is not None and job.amount_g > 0


def test_a_season_keeps_a_job_to_its_days(pond):
    sweep(pond, season=Season("11-06", "11-09"))
    assert sorted(placed(pond.plan())) == [3, 4, 5, 6]


def test_the_keepers_own_reason_comes_first(pond):
    sweep(pond, recur=AfterDone(9), why="Leaves rot on the bottom")
    assert placed(pond.plan())[0].reason == "Leaves rot on the bottom. Every 9 days; not done yet in this log."
    pond.write("set", NOW, target="job/sweep", field="recur", value={"every": "day"})
    assert placed(pond.plan())[0].reason == "Leaves rot on the bottom."


def test_what_a_standing_job_says_of_itself_is_on_its_jobs(pond):
    person = pond.entries[0].entry.author
    sweep(pond, who=(person,), amount="two handfuls", kit="pump", waits_days=3, serious=True, picture="a" * 64)
    job = placed(pond.plan())[0]
    assert (job.who, job.amount, job.kit, job.picture) == ((person,), "two handfuls", "pump", "a" * 64)
    assert job.waits_until == job.serious_at == job.closes_at + 3 * DAY


def test_jobs_set_to_wait_for_each_other_are_all_there_and_the_day_says_so(pond):
    for name, after in (("one", "two"), ("two", "three"), ("three", "one")):
        pond.job(StandingJob(id=name, pond="", text=name.capitalize(), after=(after,)))
    day = pond.plan().days[0]
    assert len(day.jobs) == 3
    assert day.says == ("“One”, “Three” and “Two” are set to wait for each other: no order is kept between them.",)


def test_a_standing_job_switched_off_is_gone_and_its_late_ticks_change_nothing(pond):
    sweep(pond, recur=AfterDone(3))
    pond.write("set", NOW - DAY, target="job/sweep", field="active", value=False)
    before = pond.plan().days
    pond.tick("sweep", TODAY, "day", NOW - HOUR)
    pond.tick("never-was", TODAY, "day", NOW - HOUR)
    assert pond.plan().days == before
    pond.write("set", NOW, target="job/sweep", field="active", value=True)
    assert placed(pond.plan())[0].due_on == TODAY


def test_a_slot_that_is_no_more_takes_nothing_away(pond):
    sweep(pond, windows={"evening": Window("dusk", "17:00", "19:00")})
    pond.tick("sweep", TODAY, "day", NOW - HOUR)
    assert [job.slot for job in placed(pond.plan()).values()] == ["evening"] * 14


@pytest.mark.parametrize("starts_on", [date.min, date(1969, 12, 31), date(9990, 1, 1), date.max])
@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "Etc/GMT+12"])
def test_a_start_at_either_end_of_the_calendar_takes_no_plan_away(log, starts_on, zone):
    log.pond(zone=zone, kit=[{"id": "pump", "name": "Pump", "fitted_on": str(starts_on)}], inflow_l_per_day=600)
    kinds = [AfterDone(400), ByRule("FREQ=DAILY"), OnWeekdays(("sat",)), WhenTrue(), ByUse("hours", 9, kit="pump")]
    for n, recur in enumerate(kinds):
        for season in (None, Season("02-29", "02-29"), Season("11-01", "10-30")):
            name = f"job{n}-{season.ends if season else 'all-year'}"
            fields = {"recur": recur, "season": season, "starts_on": starts_on, "only_if": (CHLORINE,)}
            log.job(StandingJob(id=name, pond="", text=name, **fields))
    placed_ids = {job.standing_job for day in log.plan().days for job in day.jobs}
    assert ("job1-all-year" in placed_ids) == (starts_on < TODAY)


def test_a_rule_that_never_falls_from_its_start_places_nothing_and_the_rest_stands(pond):
    sweep(pond, recur=ByRule("FREQ=YEARLY;INTERVAL=2;BYMONTH=2;BYMONTHDAY=29"), starts_on=date(2025, 1, 1))
    pond.job(StandingJob(id="look", pond="", text="Look"))
    plan = pond.plan()
    assert placed(plan) == {}
    assert len(placed(plan, "look")) == 14


def test_the_last_weekday_of_february_is_placed_on_the_leap_day(pond):
    sweep(pond, recur=ByRule("FREQ=YEARLY;BYMONTH=2;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1"), starts_on=date(2026, 1, 1))
    pond.tick("sweep", date(2027, 2, 26), "day", datetime(2027, 2, 26, 12, tzinfo=UTC))
    jobs = placed(pond.plan(datetime(2028, 2, 20, 12, tzinfo=UTC)))
    assert [job.due_on for job in jobs.values()] == [date(2028, 2, 29)]


def test_a_pond_that_moves_to_another_zone_keeps_its_civil_dates():
    log = Log()
    log.pond(zone="Pacific/Auckland")
    evening = datetime(2026, 11, 3, 8, 0, tzinfo=UTC)  # Tuesday, nine in the evening there
    log.job(StandingJob(id="sweep", pond="", recur=AfterDone(2), windows={"day": Window("dusk", "18:00", "22:00")}))
    log.job(StandingJob(id="look", pond="", windows={"day": Window("dusk", "18:00", "22:00")}))
    for job in ("sweep", "look"):
        log.tick(job, date(2026, 11, 3), "day", evening)
    there = log.plan(evening + HOUR)
    assert [job.due_on for job in placed(there).values()][:2] == [date(2026, 11, 3), date(2026, 11, 5)]
    log.write("set", evening, target="pond", field="zone", value="Pacific/Honolulu")
    # It is Monday again: what was done on Tuesday stays done, and Monday's own is asked for.
    here = log.plan(evening + HOUR)
    assert here.days[0].date == date(2026, 11, 2)
    assert min(placed(here)) == 3
    assert placed(here)[3].due_on == date(2026, 11, 5)
    assert placed(here, "look")[0].due_on == date(2026, 11, 2)
    opens_at = placed(here)[3].opens_at
    assert opens_at == datetime(2026, 11, 6, 4, 0, tzinfo=UTC)  # six in the evening of Thursday in Honolulu


def test_a_settings_change_to_come_holds_from_its_date(pond):
    sweep(pond)
    pond.write(
        "set",
        NOW,
        target="job/sweep",
        field="recur",
        value={"every": "weekdays", "days": ["sun"]},
        effective_from=str(TODAY + 3 * DAY),
    )
    assert sorted(placed(pond.plan())) == [0, 1, 2, 5, 12]


def test_a_job_that_waits_for_conditions_nobody_set_says_so(pond):
    sweep(pond, recur=WhenTrue())
    assert placed(pond.plan())[0].reason == "No condition is set for it."


@pytest.mark.parametrize("recur", [ByRule("FREQ=DAILY"), AfterDone(7), OnWeekdays(("tue", "wed"))])
def test_nobody_is_late_with_a_job_on_the_day_it_was_begun_after_its_hours(pond, recur):
    made = {
        "text": "Sweep",
        "windows": {"day": Window("morning", "06:00", "11:00")},
        "recur": recur,
        "starts_on": TODAY,
    }
    for field, value in made.items():
        pond.write("set", NOW, target="job/sweep", field=field, value=msgspec.to_builtins(value))
    assert 0 not in placed(pond.plan(NOW + HOUR))
    (tomorrow,) = jobs_of(pond.plan(NOW + DAY), 0, "sweep")
    assert tomorrow.due_on == (TODAY if isinstance(recur, AfterDone) else TODAY + DAY)
