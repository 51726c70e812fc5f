"""Laws of a helper's plan: no job out of scope, nothing above a ceiling, nothing of other ponds or of the household."""

from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import UUID

import msgspec
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from written_log import Log

from evenwater.domain.away.helper_plan import helper_plan
from evenwater.domain.away.scope import Scope, scope_of
from evenwater.domain.fold import Known, Seen, fold
from evenwater.domain.rounds.jobs import Notice, Plan
from evenwater.domain.rounds.plan import make_plan
from evenwater.domain.rounds.standing_jobs import STARTER, as_settings
from evenwater.domain.rounds.today import round_now
from evenwater.domain.standing_job import EveryDay, StandingJob, Window

TODAY = date(2026, 11, 3)
NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
DAY = timedelta(days=1)
JO, KIM, KEEPER, STRANGER = (str(UUID(int=n << 64)) for n in (71, 72, 2, 5))
TWICE = {"early": Window("morning", "07:00", "10:00"), "late": Window("dusk", "17:00", "20:00")}
PAST_MIDNIGHT = {"night": Window("bedtime", "22:00", "01:30")}
JOBS = (
    *STARTER,
    StandingJob(id="feed", pond="", text="Feed", shape="feed", windows=TWICE),
    StandingJob(id="buffer-two", pond="", text="More buffer", shape="dose", windows=TWICE),
    StandingJob(id="buffer-night", pond="", text="Buffer at night", shape="dose", windows=PAST_MIDNIGHT),
    StandingJob(id="salt", pond="", text="Salt", amount="200 g", recur=EveryDay()),
)
NAMES = tuple(job.id for job in JOBS)
# Each is set somewhere a helper has no business; none may be found anywhere in what is sent.
SECRETS = ("Hidden pond", "Hidden contact", "Hidden hand-over", "Hidden keeper", "0999 222", "Hidden notice")
grams = st.sampled_from([60, 40, 5, 400, 0, None])


@st.composite
def hand_overs(draw: st.DrawFn) -> dict[str, Any]:
    begins_on = TODAY + draw(st.sampled_from([-2, -1, 0, -5, 1, 3, -20, 20])) * DAY
    usual = draw(st.sampled_from([["main/buffer", "main/feed"], ["main/buffer"], ["main/buffer-night"], []]))
    more = [f"main/{name}" for name in NAMES] + ["side/cover", "side/buffer"]
    scoped = {*usual, *draw(st.sets(st.sampled_from(more)))}
    ponds = sorted({job.partition("/")[0] for job in scoped})
    ceilings = [
        {"pond": pond, "feed_g_per_day": draw(grams), "buffer_g_per_day": draw(grams)}
        | ({"substance": "potassium_bicarbonate"} if draw(st.booleans()) else {})
        for pond in ponds
        if draw(st.integers(0, 4))
    ]
    return {
        "begins_on": begins_on.isoformat(),
        "ends_on": (begins_on + draw(st.sampled_from([9, 4, 15, 1, 0])) * DAY).isoformat(),
        "water": draw(st.sampled_from([(4.0, 15.0), (4.0, 3.0), (9.5, 15.0), (1.5, 15.0), (4.0, 31.0)])),
        "helpers": [{"id": JO, "name": "Jo", "tel": "0999 111"}, {"id": KIM, "name": "Kim"}],
        "jobs": sorted(scoped),
        "ceilings": ceilings,
        "other_doses": draw(st.booleans()),
    }


def written(hand_over: dict[str, Any], answers: list[tuple[str, dict[str, Any], datetime]]) -> list[Seen]:
    log = Log()
    begun = NOW - 28 * DAY
    for pond, name in (("main", "Pond"), ("side", "Side"), ("other", "Hidden pond")):
        told = {"name": name, "volume_l": 20_000, "zone": "UTC", "feed_g_per_day": 80}
        if pond == "other":
            told["ring"] = [{"name": "Hidden contact", "tel": "0999 222"}]
        for field, value in told.items():
            log.write("set", begun, pond=pond, target="pond", field=field, value=value)
        for one in (setting for job in JOBS for setting in as_settings(job)):
            log.write("set", begun, pond=pond, target=one.target, field=one.field, value=one.value)
        kh_dkh, water_c = hand_over["water"]
        log.write("reading", NOW - 2 * DAY, pond=pond, quantity="kh_dkh", value=kh_dkh, step=0.5)
        log.write("reading", NOW - DAY, pond=pond, quantity="temperature_c", value=water_c)
    for field, value in ((field, value) for field, value in hand_over.items() if field != "water"):
        log.write("set", begun, target="hand-over/autumn", field=field, value=value)
    log.write("set", begun, target="hand-over/hidden", field="name", value="Hidden hand-over")
    log.write("note", NOW - DAY, pond="other", text="Hidden note")
    for kind, fields, at in answers:
        log.write(kind, at, **fields)
    return log.entries


answers = st.lists(
    st.one_of(
        st.tuples(
            st.just("tick"),
            st.builds(
                lambda pond, job, on, given: {
                    "pond": pond,
                    "standing_job": job,
                    "slot": "dusk",
                    "due_on": str(TODAY - on * DAY),
                    "amount_g": given,
                    "substance": "sodium_bicarbonate",
                },
                st.sampled_from(["main", "side", "other"]),
                st.sampled_from(NAMES),
                st.integers(0, 4),
                st.sampled_from([5.0, 60.0, 400.0]),
            ),
            st.integers(0, 100).map(lambda hours: NOW - timedelta(hours=hours)),
        ),
        st.tuples(
            st.just("feed"),
            st.builds(lambda given: {"feed_g": given}, st.sampled_from([1.0, 20.0, 200.0])),
            st.integers(0, 100).map(lambda hours: NOW - timedelta(hours=hours)),
        ),
    ),
    max_size=6,
)


def made(hand_over: dict[str, Any], said: list[Any]) -> tuple[Plan, Plan, Scope, Known]:
    entries = written(hand_over, said)
    known = fold(entries)
    names = {KEEPER: "Aki", STRANGER: "Hidden keeper", JO: "Jo", KIM: "Kim"}
    plan = make_plan(known, len(entries), names, NOW)
    hidden = Notice(id="1", what="double_dose", at=NOW, text="Hidden notice", pond="other")
    plan = replace(plan, notices=(hidden, replace(hidden, id="2", pond=None, people=(STRANGER,))))
    scope = scope_of(known, "autumn", JO, NOW)
    assert scope is not None
    return plan, helper_plan(plan, scope, known), scope, known


few = settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])


@few
@given(hand_overs(), answers)
def test_no_job_is_out_of_scope_and_no_day_outside(hand_over: dict[str, Any], said: list[Any]) -> None:
    plan, theirs, scope, _ = made(hand_over, said)
    shown = {job.id for day in plan.days for job in day.jobs}
    for day in theirs.days:
        assert scope.shows(day.date) or (day.date == TODAY and not day.jobs)
        assert not (scope.is_over and day.jobs)
        for job in day.jobs:
            assert f"{job.pond}/{job.standing_job}" in hand_over["jobs"]
            assert job.id in shown
            assert hand_over["other_doses"] or job.amount is None
            assert (job.chart, job.workings, job.source, job.kit, job.who) == (None, None, None, None, ())


@few
@given(hand_overs(), answers)
def test_nothing_is_above_a_ceiling(hand_over: dict[str, Any], said: list[Any]) -> None:
    _, theirs, scope, _ = made(hand_over, said)
    for job in (job for day in theirs.days for job in day.jobs):
        assert job.amount_g is None or job.shape == "dose"
        assert job.feed_g is None or job.shape == "feed"
        assert (job.bag is None) == (job.amount_g is None and job.feed_g is None)
        assert job.bag is None or 1 <= job.bag <= scope.days
    by_date: dict[tuple[str, date, str], float] = {}
    for job in {job.id + job.pond: job for day in theirs.days for job in day.jobs}.values():
        by_date[job.pond, job.due_on, job.shape] = (
            by_date.get((job.pond, job.due_on, job.shape), 0.0) + (job.amount_g or 0.0) + (job.feed_g or 0.0)
        )
    for (pond, _, shape), given_g in by_date.items():
        ceiling = scope.hand_over.ceiling(pond)
        most_g = ceiling.feed_g_per_day if shape == "feed" else ceiling.buffer_g_per_day
        assert given_g <= (most_g or 0.0)


@few
@given(hand_overs(), answers)
def test_what_is_held_back_stays_held_back(hand_over: dict[str, Any], said: list[Any]) -> None:
    plan, theirs, _, _ = made(hand_over, said)
    theirs_by = {(job.pond, job.id): job for day in theirs.days for job in day.jobs}
    for job in (job for day in plan.days for job in day.jobs if job.state in ("held_back", "stood_down")):
        its = theirs_by.get((job.pond, job.id))
        assert its is None or (its.state, its.reason, its.bag) == (job.state, job.reason, None)


@few
@given(hand_overs(), answers)
def test_nothing_of_other_ponds_or_of_the_household_is_in_it(hand_over: dict[str, Any], said: list[Any]) -> None:
    _, theirs, scope, _ = made(hand_over, said)
    text = msgspec.json.encode(theirs).decode()
    for secret in SECRETS:
        assert secret not in text
    assert "0999" not in text and KEEPER not in {*theirs.person_names} - _authors(said, scope)
    assert {pond.id for pond in theirs.ponds} <= scope.hand_over.ponds
    assert (theirs.water, theirs.warmth, theirs.book, theirs.back, theirs.starter, theirs.starter_groups) == ((),) * 6
    for pond in theirs.ponds:
        assert (pond.volume_l, pond.capful_g, pond.heater, pond.tariff, pond.kit, pond.mains, pond.latitude) == (
            (None, None, None, None, (), None, None)
        )
    assert [one.id for one in theirs.hand_overs] == ["autumn"]


def _authors(said: list[Any], scope: Scope) -> set[str]:
    """The keeper, where anything they recorded may be shown."""
    return {KEEPER} if said and scope.hand_over.jobs else set()


@few
@given(hand_overs(), answers, answers, st.sampled_from([0, 0, 0, 1, 2, 8]))
def test_no_phone_gives_a_bag_where_the_days_most_would_be_passed(
    hand_over: dict[str, Any], said: list[Any], since: list[Any], days: int
) -> None:
    """Whatever the phone learns later, and however long it has no signal."""
    _, theirs, scope, _ = made(hand_over, said)
    now = NOW + days * DAY
    entries = written(hand_over, [*said, *((kind, fields, at + days * DAY) for kind, fields, at in since)])
    jobs = {(job.pond, job.id): job for day in theirs.days for job in day.jobs}
    for one in round_now(theirs.days, entries, theirs.log_seq, theirs.good_until, now, now.date()):
        job = jobs[one.pond, one.id]
        if job.bag is None or one.state not in ("due", "late", "upcoming"):
            continue
        sort = "feed_g" if job.shape == "feed" else "amount_g"
        given_g = sum(
            getattr(seen.entry, sort, None) or 0.0
            for seen in entries
            if seen.entry.pond == job.pond and seen.on >= job.due_on
        )
        ceiling = scope.hand_over.ceiling(job.pond)
        most_g = ceiling.feed_g_per_day if job.shape == "feed" else ceiling.buffer_g_per_day
        bag_g = (job.feed_g if job.shape == "feed" else job.amount_g) or 0.0
        assert given_g + bag_g <= (most_g or 0.0) + 1e-6
