"""What a device makes of a plan: laws of the amount and of a job's state, for any chart and any entries."""

from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from uuid import UUID

import msgspec
from hypothesis import example, given
from hypothesis import strategies as st
from msgspec.structs import replace
from pytest import approx

from evenwater.domain.fold import Seen, fold
from evenwater.domain.read_entries import read_entry
from evenwater.domain.rounds.jobs import Chart, Day, HoldBelow, Job
from evenwater.domain.rounds.today import Amount, amount_now, charted, job_now, round_now, rounded_g

NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
A_DAY = timedelta(hours=24)
LOG_SEQ = 10
EQUAL_G = {"sodium_bicarbonate": 1.0, "potassium_bicarbonate": 0.839}
TINY_G = 1e-6

grams = st.floats(0, 2000)
limits = st.floats(0, 2000)
capfuls = st.none() | st.floats(1, 500)
seqs = st.none() | st.integers(1, 2 * LOG_SEQ)
before_now = st.integers(0, 30 * 60).map(lambda minutes: NOW - timedelta(minutes=minutes))


def written(number: int, at: datetime, seq: int | None, kind: str, **fields: object) -> Seen:
    stamp = {"happened_at": at.isoformat(), "recorded_at": at.isoformat(), "local_date": str(at.date()), "zone": "UTC"}
    one = str(UUID(int=number))
    entry = {"id": one, "v": 1, "pond": "main", "kind": kind, "device": one, "author": one, **stamp, **fields}
    return Seen(read_entry(msgspec.json.encode(entry)), seq, at, at.date())


@st.composite
def charts(draw: st.DrawFn) -> Chart:
    readings = sorted(draw(st.sets(st.integers(0, 250), min_size=1, max_size=5)))
    amounts = sorted((draw(grams) for _ in readings), reverse=True)
    return Chart(
        quantity="kh_dkh",
        substance="sodium_bicarbonate",
        capful_g=draw(capfuls),
        step=0.5,
        good_for_h=24.0,
        rows=tuple((reading / 10, amount, 0.0, 25.0) for reading, amount in zip(readings, amounts, strict=True)),
        equal_g=EQUAL_G,
        hold_below=draw(st.none() | st.just(HoldBelow(2.5, "test ammonia first"))),
        no_reading_reason=draw(st.none() | st.just("measure first")),
        limit_reason="the day's most is given",
        enough_reason="enough",
    )


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    return Job(
        id="buffer/2026-11-03/dusk",
        standing_job="buffer",
        due_on=date(2026, 11, 3),
        slot="dusk",
        pond="main",
        place="At the water",
        part="dusk",
        name="Buffer",
        text="Buffer",
        opens_at=NOW - timedelta(hours=1),
        closes_at=NOW + timedelta(hours=5),
        fixed=False,
        shape="dose",
        unrounded_g=draw(grams),
        limit_g_24h=draw(limits),
        chart=draw(charts()),
    )


@st.composite
def doses(draw: st.DrawFn, number: int = 1) -> Seen:
    substance = draw(st.sampled_from(sorted(EQUAL_G)))
    return written(number, draw(before_now), draw(seqs), "dose", substance=substance, amount_g=draw(grams))


@st.composite
def logs(draw: st.DrawFn) -> list[Seen]:
    """Doses and readings of a day and more, counted by the plan, confirmed since, or only on this device."""
    log = [draw(doses(number)) for number in range(1, draw(st.integers(0, 4)) + 1)]
    for number in range(11, 11 + draw(st.integers(0, 3))):
        value = draw(st.integers(0, 250)) / 10
        log.append(written(number, draw(before_now), draw(seqs), "reading", quantity="kh_dkh", value=value))
    return log


def amount(job: Job, log: list[Seen], log_seq: int = LOG_SEQ) -> Amount:
    assert job.chart is not None
    return amount_now(job.chart, job, fold(log).facts, log_seq, NOW)


def given_in_a_day_g(log: list[Seen]) -> float:
    return sum(
        one.entry.amount_g * EQUAL_G[one.entry.substance]
        for one in log
        if hasattr(one.entry, "amount_g") and NOW - A_DAY < one.at <= NOW
    )


@given(jobs(), logs())
def test_an_amount_is_never_negative_nor_above_what_the_limit_leaves(job, log):
    found = amount(job, log)
    left_g = max(0.0, job.limit_g_24h - given_in_a_day_g(log))
    assert 0.0 <= found.amount_g <= left_g + TINY_G
    assert found.given_g == approx(given_in_a_day_g(log))


@given(jobs(), logs())
def test_an_amount_is_whole_quarter_capfuls_or_whole_grams(job, log):
    unit_g = job.chart.capful_g / 4 if job.chart.capful_g else 1.0
    parts = amount(job, log).amount_g / unit_g
    assert parts == approx(round(parts), abs=1e-9)


@given(grams, limits, capfuls)
@example(wanted=18.0, limit=19.0, capful=40.0)
def test_rounding_moves_an_amount_by_half_a_quarter_at_most_and_down_where_the_limit_binds(wanted, limit, capful):
    unit_g = capful / 4 if capful else 1.0
    rounded = rounded_g(wanted, limit, capful)
    if wanted >= limit:
        assert limit - unit_g < rounded + TINY_G and rounded <= limit + TINY_G
    else:
        assert wanted - unit_g < rounded + TINY_G and rounded <= min(limit, wanted + unit_g / 2) + TINY_G


@given(jobs(), logs(), doses(99))
def test_the_more_was_given_the_less_is_wanted(job, log, dose):
    assert amount(job, [*log, dose]).amount_g <= amount(job, log).amount_g
    more = replace(dose, entry=replace(dose.entry, amount_g=dose.entry.amount_g + 50))
    assert amount(job, [*log, more]).amount_g <= amount(job, [*log, dose]).amount_g


@given(jobs(), logs(), st.integers(0, 250), st.integers(0, 250))
def test_a_higher_reading_never_asks_for_more(job, log, one, other):
    job = replace(job, chart=replace(job.chart, hold_below=None))
    low, high = (
        amount(job, [*log, written(99, NOW, None, "reading", quantity="kh_dkh", value=value / 10)]).amount_g
        for value in sorted((one, other))
    )
    assert high <= low


@given(charts(), st.floats(0, 25))
def test_a_chart_runs_straight_between_its_rows_and_flat_outside(chart, value):
    found = charted(chart, value, 1)
    assert chart.rows[-1][1] - TINY_G <= found <= chart.rows[0][1] + TINY_G
    for low, high in pairwise(chart.rows):
        if low[0] <= value <= high[0]:
            assert found == approx(low[1] + (value - low[0]) * (high[1] - low[1]) / (high[0] - low[0]), abs=TINY_G)


@given(jobs(), logs(), st.data())
def test_entries_repeated_or_in_another_order_change_nothing(job, log, data):
    again = st.lists(st.sampled_from(log), max_size=5) if log else st.just([])
    other = data.draw(st.permutations(log + data.draw(again)))
    days = [Day(job.due_on, "tag", None, None, (job,))]
    good_until = NOW + timedelta(days=7)
    rounds = [round_now(days, one, LOG_SEQ, good_until, NOW, job.due_on) for one in (log, other)]
    assert rounds[0] == rounds[1]


@given(jobs(), logs(), doses(99))
def test_a_dose_taken_back_is_as_if_it_were_never_given(job, log, dose):
    back = written(100, NOW, None, "take_back", entry=dose.entry.id)
    assert amount(job, [*log, dose, back]) == amount(job, log)
    anew = written(101, NOW, None, "take_back", entry=back.entry.id)
    assert amount(job, [*log, dose, back, anew]) == amount(job, [*log, dose])


@given(jobs(), logs())
def test_confirmed_since_the_plan_or_not_at_all_is_the_same_to_it(job, log):
    confirmed = [replace(one, seq=LOG_SEQ + 1 + n) for n, one in enumerate(log)]
    unsent = [replace(one, seq=None) for one in log]
    assert amount(job, confirmed) == amount(job, unsent)


@given(jobs(), doses(99))
def test_a_dose_the_plan_has_counted_is_not_taken_off_twice(job, dose):
    job = replace(job, chart=replace(job.chart, no_reading_reason=None))
    counted, not_counted = (amount(job, [replace(dose, seq=seq)]) for seq in (LOG_SEQ, None))
    assert counted.given_g == not_counted.given_g
    assert counted.amount_g >= not_counted.amount_g
    left_g = max(0.0, job.limit_g_24h - counted.given_g)
    if left_g > TINY_G:
        assert counted.amount_g == rounded_g(job.unrounded_g, left_g, job.chart.capful_g)


@given(jobs(), logs(), st.integers(0, 250))
def test_after_a_new_reading_it_is_one_whether_the_plan_counted_a_dose(job, log, value):
    reading = written(99, NOW - timedelta(hours=20), None, "reading", quantity="kh_dkh", value=value / 10)
    given_only = [one for one in log if hasattr(one.entry, "amount_g")]
    counted = [replace(one, seq=1 + n) for n, one in enumerate(given_only)]
    unsent = [replace(one, seq=None) for one in given_only]
    assert amount(job, [*counted, reading]) == amount(job, [*unsent, reading])


@given(jobs(), st.integers(0, 250), st.sampled_from([1, LOG_SEQ]))
def test_a_reading_the_plan_has_counted_or_an_old_one_leaves_the_plans_amount(job, value, seq):
    def reading(at: datetime, seq: int | None) -> Seen:
        return written(99, at, seq, "reading", quantity="kh_dkh", value=value / 10)

    planned = amount(job, [])
    assert amount(job, [reading(NOW, seq)]) == planned
    assert amount(job, [reading(NOW - A_DAY - timedelta(minutes=1), None)]) == planned


@given(jobs(), logs(), st.timedeltas(timedelta(days=-1), timedelta(days=1)), st.booleans())
def test_a_job_goes_by_the_clock_until_it_is_answered(job, log, span, fresh):
    now, facts = NOW + span, fold(log).facts
    state = job_now(job, facts, LOG_SEQ, now, fresh).state
    by_clock = "upcoming" if now < job.opens_at else "due" if now <= job.closes_at else "late"
    assert state in ({by_clock, "held_back", "stood_down"} if fresh else {by_clock})
    answer = {"standing_job": "buffer", "due_on": "2026-11-03", "slot": "dusk"}
    tick = written(99, NOW, None, "tick", **answer)
    not_done = written(98, NOW, None, "not_done", reason="away", **answer)
    assert job_now(job, fold([*log, not_done]).facts, LOG_SEQ, now, fresh).state == "not_done"
    assert job_now(job, fold([*log, not_done, tick]).facts, LOG_SEQ, now, fresh).state == "done"
