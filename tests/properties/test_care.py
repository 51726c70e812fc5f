"""What must not happen now: laws that hold for any log and any day's jobs."""

import random
from datetime import timedelta

from domain.rounds.care_log import DAY, HOUR, TODAY, CareLog, a_pond
from domain.rounds.rounds_jobs import a_job
from hypothesis import given
from hypothesis import strategies as st
from written_log import NOW

from evenwater.domain.rounds.held.held_jobs import hold_jobs
from evenwater.domain.rounds.jobs import Job

ago_h = st.integers(-30, 400)
happenings = st.one_of(
    st.tuples(st.just("temperature_c"), ago_h, st.integers(-1, 40)),
    st.tuples(st.just("tan_mg_n_per_l"), ago_h, st.sampled_from([0.0, 0.1, 2.0, 15.0])),
    st.tuples(st.just("ph"), ago_h, st.sampled_from([6.5, 7.4, 8.9])),
    st.tuples(st.just("nitrite_n_mg_per_l"), ago_h, st.sampled_from([0.0, 0.02, 0.5])),
    st.tuples(st.just("oxygen_mg_per_l"), ago_h, st.sampled_from([2.0, 6.0, 9.0])),
    st.tuples(st.just("power"), ago_h, st.booleans()),
    st.tuples(st.just("feed"), ago_h, st.sampled_from([0, 20, 500])),
    st.tuples(st.just("salt"), ago_h, st.sampled_from([0, 5000])),
    st.tuples(st.just("dose"), ago_h, st.sampled_from(["sodium_bicarbonate", "potassium_bicarbonate"])),
    st.tuples(st.just("arrive"), ago_h, st.integers(1, 9)),
    st.tuples(st.just("leave"), ago_h, st.integers(1, 9)),
)
settings = st.fixed_dictionaries(
    {},
    optional={
        "feed_g_per_day": st.sampled_from([0, 150]),
        "fish_count": st.sampled_from([0, 12]),
        "fish_mass_g": st.sampled_from([0, 36_000]),
        "feed_floor_c": st.sampled_from([5, 12]),
        "feed_steps": st.integers(-90, 20).map(lambda days: {"starts_on": str(TODAY + days * DAY)}),
    },
)
some_jobs = st.lists(
    st.tuples(
        st.sampled_from(["plain", "dose", "feed", "setting"]),
        st.sampled_from(["day", "move", "lift", "quarantine", "restart"]),
        st.sampled_from(["open", "stood_down", "not_known", "held_back"]),
    ),
    max_size=6,
)


def written(pond: dict[str, object], drawn: list[tuple[str, int, object]]) -> CareLog:
    log = a_pond(**pond)
    for kind, ago, value in drawn:
        at = NOW - ago * HOUR
        if kind in ("arrive", "leave"):
            way = "to_pond" if kind == "arrive" else "from_pond"
            log.write("fish_move", at, count=value, **{way: "main", "quarantine": kind == "arrive"})
        elif kind == "power":
            log.write("power", at, on=value)
        elif kind == "feed":
            log.write("feed", at, feed_g=value)
        elif kind == "salt":
            log.write("salt", at, salt_g=value)
        elif kind == "dose":
            log.write("dose", at, substance=value, amount_g=40)
        else:
            log.read(kind, float(value), hours_ago=ago)  # type: ignore[arg-type]
    return log


def made(drawn: list[tuple[str, str, str]]) -> list[Job]:
    return [
        a_job(
            f"job{nth}",
            shape=shape,
            slot=slot,
            state=state,
            due_on=TODAY,
            opens_at=NOW,
            closes_at=NOW + 2 * HOUR,
            reason="As set.",
            source="A book." if state == "held_back" else None,
            setting_c=18.0 if shape == "setting" else None,
        )
        for nth, (shape, slot, state) in enumerate(drawn)
    ]


@given(settings, st.lists(happenings, max_size=12), some_jobs, st.integers(0, 13))
def test_every_hold_says_why_and_no_job_is_made_up_or_moved(pond, drawn, jobs, ahead):
    asked = made(jobs)
    found = hold_jobs(asked, written(pond, drawn).care(), TODAY + ahead * DAY)
    places = [[job.id for job in asked].index(job.id) for job in found]
    assert places == sorted(set(places))
    for job in found:
        assert job.reason.strip()
        assert job.state != "held_back" or job.source
        assert job.feed_g is None or (job.shape == "feed" and job.state in ("open", "stood_down") and job.feed_g >= 0)


@given(settings, st.lists(happenings, max_size=12), some_jobs)
def test_what_was_not_open_is_never_opened(pond, drawn, jobs):
    asked = {job.id: job for job in made(jobs)}
    for job in hold_jobs(list(asked.values()), written(pond, drawn).care(), TODAY):
        assert job.state == asked[job.id].state or asked[job.id].state == "open"


@given(settings, st.lists(happenings, max_size=12), some_jobs, st.integers(0, 100))
def test_it_hangs_on_the_entries_and_not_on_the_order_they_came_in(pond, drawn, jobs, seed):
    log = written(pond, drawn)
    first = hold_jobs(made(jobs), log.care(), TODAY)
    facts = [one for one in log.entries if one.entry.__struct_config__.tag != "set"]
    others = [one for one in log.entries if one.entry.__struct_config__.tag == "set"]
    random.Random(seed).shuffle(facts)
    log.entries = [*facts, *others, *facts]
    assert hold_jobs(made(jobs), log.care(), TODAY) == first


@given(settings, st.lists(happenings, max_size=12), some_jobs)
def test_what_lies_in_the_future_changes_nothing(pond, drawn, jobs):
    past = [one for one in drawn if one[1] >= 0]  # what is told of this very moment is known
    then = written(pond, past).care()
    now = written(pond, drawn).care()
    # The page's water is whatever was read last; that is the page's to judge.
    now = type(now)(**{name: getattr(now, name) for name in now.__struct_fields__ if name != "water"}, water=then.water)
    assert hold_jobs(made(jobs), now, TODAY) == hold_jobs(made(jobs), then, TODAY)


@given(settings, st.lists(happenings, max_size=12))
def test_more_food_given_never_asks_for_more(pond, drawn):
    log = written(pond, [*drawn, ("temperature_c", 1, 20)])
    job = made([("feed", "day", "open")])
    before = hold_jobs(job, log.care(), TODAY)[0].feed_g
    log.write("feed", NOW - timedelta(minutes=1), feed_g=30)
    after = hold_jobs(job, log.care(), TODAY)[0].feed_g
    assert after is None or before is None or after <= before
