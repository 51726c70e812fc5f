"""Laws of a plan: never due twice in one window; entries and now decide alone; a device goes on as the server would."""

from collections import Counter
from datetime import UTC, date, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from written_log import Log

from evenwater.domain.fold import Seen, fold
from evenwater.domain.rounds.jobs import Plan
from evenwater.domain.rounds.plan import make_plan
from evenwater.domain.rounds.today import JobNow, round_now
from evenwater.domain.standing_job import (
    AfterDone,
    ByRule,
    ByUse,
    EveryDay,
    Happened,
    OnWeekdays,
    Season,
    StandingJob,
    WhenTrue,
    Window,
)

TODAY = date(2026, 11, 3)
DAY = timedelta(days=1)
MORNING = datetime(2026, 11, 3, 6, 0, tzinfo=UTC)
WINDOWS = {
    "day": {"day": Window("midday", "08:00", "20:00")},
    "night": {"late": Window("bedtime", "22:00", "01:30")},
    "twice": {"off": Window("morning", "07:00", "10:00"), "on": Window("dusk", "17:00", "19:00")},
}
RULES = ("FREQ=MONTHLY;BYDAY=1TU", "FREQ=WEEKLY;INTERVAL=2;BYDAY=SA,SU", "FREQ=DAILY;INTERVAL=3", "FREQ=YEARLY")

by_device = st.one_of(
    st.just(EveryDay()),
    st.integers(1, 12).map(AfterDone),
    st.sets(st.sampled_from(["mon", "tue", "sat", "sun"]), min_size=1).map(
        lambda days: OnWeekdays(tuple(sorted(days)))
    ),
    st.sampled_from(RULES).map(ByRule),
)
any_kind = by_device | st.one_of(
    st.integers(1, 12).map(lambda days: AfterDone(days, learned=True)),
    st.integers(500, 20_000).map(lambda litres: ByUse("volume_l", float(litres))),
    st.integers(20, 400).map(lambda hours: ByUse("hours", float(hours), kit="pump")),
    st.integers(1, 4).map(lambda count: ByUse("readings", float(count), quantity="kh_dkh")),
    st.integers(0, 5).map(WhenTrue),
)
seasons = st.none() | st.sampled_from([Season("11-01", "03-15"), Season("04-01", "11-05"), Season("11-10", "11-12")])
conditions = st.lists(st.sampled_from([Happened("water_change", 5), Happened("job/job1", 3, negated=True)]), max_size=1)


@st.composite
def standing_jobs(draw: st.DrawFn, kinds: st.SearchStrategy[object], asked: bool) -> list[StandingJob]:
    return [
        StandingJob(
            id=f"job{n}",
            pond="",
            text=f"Job {n}",
            recur=draw(kinds),
            windows=WINDOWS[draw(st.sampled_from(sorted(WINDOWS)))],
            season=draw(seasons),
            only_if=tuple(draw(conditions)) if asked else (),
            starts_on=draw(st.none() | st.dates(TODAY - 20 * DAY, TODAY + 5 * DAY)),
        )
        for n in range(draw(st.integers(1, 4)))
    ]


def write_answer(draw: st.DrawFn, log: Log, jobs: list[StandingJob], at: datetime) -> None:
    """A tick or "not done" of any of the jobs, for its day, a day near it, or one nobody asked for."""
    job = draw(st.sampled_from(jobs))
    due_on = at.date() + draw(st.sampled_from([0, 0, 0, 0, -1, -3, 2, 7])) * DAY
    write(draw, log, at, job.id, due_on, draw(st.sampled_from(sorted(job.windows))))


def write(draw: st.DrawFn, log: Log, at: datetime, job: str, due_on: date, slot: str) -> None:
    kind = draw(st.sampled_from(["tick", "tick", "not_done"]))
    reason = {"reason": "rain"} if kind == "not_done" else {}
    log.write(kind, at, standing_job=job, due_on=str(due_on), slot=slot, **reason)


@st.composite
def ponds(draw: st.DrawFn, kinds: st.SearchStrategy[object] = any_kind, asked: bool = True) -> tuple[Log, list]:
    log = Log()
    log.pond(inflow_l_per_day=600, kit=[{"id": "pump", "name": "Pump"}])
    jobs = draw(standing_jobs(kinds, asked))
    for job in jobs:
        log.job(job)
    for days in sorted(draw(st.lists(st.integers(1, 25), max_size=8)), reverse=True):
        at = MORNING - days * DAY + timedelta(hours=draw(st.integers(0, 15)))
        what = draw(st.sampled_from(["answer", "answer", "answer", "reading", "water_change"]))
        if what == "answer":
            write_answer(draw, log, jobs, at)
        elif what == "reading":
            log.kh(5.0, at)
        else:
            log.write("water_change", at, volume_l=500)
    return log, jobs


def at_moment(plan: Plan, entries: list[Seen], now: datetime, on: date) -> list[JobNow]:
    return round_now(plan.days, entries, plan.log_seq, plan.good_until, now, on)


def plan_of(entries: list[Seen], now: datetime) -> Plan:
    counted = max((one.seq for one in entries if one.seq is not None), default=0)
    return make_plan(fold(entries), counted, {}, now)


@given(ponds(), st.integers(0, 23))
def test_no_job_is_ever_due_twice_in_one_window(pond, hour):
    log, _ = pond
    now = MORNING.replace(hour=hour)
    plan = plan_of(log.entries, now)
    for day in plan.days:
        ids = [job.id for job in day.jobs]
        assert len(ids) == len(set(ids))
        for at in (now, *(job.opens_at for job in day.jobs), *(job.closes_at for job in day.jobs)):
            if at >= now and at.date() == day.date:
                due = Counter(
                    one.id.partition("/")[0] + one.id.rpartition("/")[2]
                    for one in at_moment(plan, log.entries, at, day.date)
                    if one.state in ("due", "late")
                )
                assert all(count == 1 for count in due.values()), (at, due)


@given(ponds(), st.data())
@settings(max_examples=50)
def test_a_plan_depends_on_entries_and_now_and_not_on_how_they_came(pond, data):
    log, _ = pond
    again = data.draw(st.permutations(log.entries + data.draw(st.lists(st.sampled_from(log.entries), max_size=5))))
    assert plan_of(again, MORNING) == plan_of(log.entries, MORNING)


@given(ponds(by_device, asked=False), st.integers(0, 13), st.data())
@settings(max_examples=300)
def test_a_device_goes_on_as_the_server_would(pond, ahead, data):
    """What the plan had not counted is the same on the device as in a plan that has counted it."""
    log, _ = pond
    before = plan_of(log.entries, MORNING)
    written = len(log.entries)
    # Nobody answers a job that is on no list; most answers are about today's.
    shown = [*before.days[0].jobs * 3, *(job for day in before.days for job in day.jobs)]
    for n in range(data.draw(st.integers(0, 4))):
        what = data.draw(st.sampled_from(["answer", "answer", "answer", "take_back", "power"]))
        at = MORNING + timedelta(hours=n)
        if what == "answer" and shown:
            job = data.draw(st.sampled_from(shown))
            write(data.draw, log, at, job.standing_job, job.due_on, job.slot)
        elif what == "power":
            log.write("power", at, on=data.draw(st.booleans()))
        elif len(log.entries) > written:
            log.write("take_back", at, entry=data.draw(st.sampled_from(log.entries[written:])).entry.id)
    now = MORNING + timedelta(hours=6)
    log.entries[written:] = [replace(one, seq=None) for one in log.entries[written:]]
    after = plan_of([replace(one, seq=n + 1) for n, one in enumerate(log.entries)], now)
    on = TODAY + ahead * DAY
    on_device, on_server = (
        {one.id: (one.state, one.answers) for one in at_moment(plan, log.entries, now, on)} for plan in (before, after)
    )
    assert on_device == on_server


def test_jobs_missed_for_weeks_come_back_once_each():
    log = Log()
    log.pond()
    log.job(StandingJob(id="weekly", pond="", recur=OnWeekdays(("sun",)), starts_on=TODAY - 90 * DAY))
    log.job(StandingJob(id="monthly", pond="", recur=ByRule("FREQ=MONTHLY;BYMONTHDAY=7"), starts_on=TODAY - 90 * DAY))
    log.job(StandingJob(id="repeated", pond="", recur=AfterDone(7), starts_on=TODAY - 90 * DAY))
    first, *rest = plan_of(log.entries, MORNING).days
    assert {job.standing_job: job.due_on for job in first.jobs} == {
        "weekly": date(2026, 11, 1),
        "monthly": date(2026, 10, 7),
        "repeated": TODAY - 90 * DAY,
    }
    later = Counter(job.standing_job for day in rest for job in day.jobs)
    assert later == {"weekly": 2, "monthly": 1, "repeated": 1}
