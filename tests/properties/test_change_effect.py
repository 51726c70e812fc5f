"""Laws of judging a change, whatever the history."""

from datetime import UTC, datetime, timedelta

import msgspec
from hypothesis import given, settings
from hypothesis import strategies as st
from written_log import DEVICE, PERSON, Log

from evenwater.domain.fold import Seen, fold
from evenwater.domain.learn.change_effect import effects_of
from evenwater.domain.learn.gap_grid import Held, compare, next_run, quiet_days
from evenwater.domain.pond import Pond
from evenwater.domain.read_entries import read_entry
from evenwater.domain.standing_job import AfterDone, StandingJob

POND = Pond(id="main")
DAYS = st.lists(st.integers(1, 60), min_size=3, max_size=12)
RUNS = st.lists(st.floats(0.5, 400.0), min_size=1, max_size=10).map(tuple)


def noon(number: float) -> datetime:
    return datetime(2026, 1, 1, 12, tzinfo=UTC) + timedelta(days=number)


def written(gaps: list[int], made: int, noted: int, today: int) -> Log:
    """Rinsed after these gaps, a change of a day noted on another, all well today."""
    log, day = Log(), 0
    log.job(StandingJob(id="rinse", pond="main", recur=AfterDone(400), service="drum_rinsed"))
    for gap in (0, *gaps):
        day += gap
        if day <= today:
            log.write("service", noon(day), service="drum_rinsed")
    at, number = noon(made), len(log.entries) + 1
    envelope = {"id": f"00000000-0000-0000-0000-{number:012x}", "v": 1, "pond": "main", "kind": "change", "zone": "UTC"}
    when = {"happened_at": at.isoformat(), "recorded_at": noon(noted).isoformat(), "local_date": at.date().isoformat()}
    who = {"device": DEVICE, "author": PERSON, "text": "New medium", "jobs": ["rinse"]}
    log.entries.append(Seen(read_entry(msgspec.json.encode(envelope | when | who)), number, at, at.date()))
    log.write("look", noon(today), all_well=True)
    return log


@given(gaps=DAYS, back=st.integers(2, 60), quiet=st.integers(1, 400))
@settings(max_examples=60)
def test_a_change_dated_back_is_never_claimed_before_the_next_run(gaps, back, quiet):
    noted = sum(gaps) + quiet
    log = written(gaps, max(0, noted - back), noted, noted + 30)
    (effect,) = effects_of(fold(log.entries), POND, noon(noted + 30))
    assert effect.lines[0].found in ("described", "too_early")


@given(gaps=DAYS, made=st.integers(0, 200), late=st.integers(0, 40), ahead=st.integers(0, 90), data=st.data())
@settings(max_examples=60)
def test_what_is_said_hangs_on_entries_and_date_alone(gaps, made, late, ahead, data):
    today = made + late + ahead
    log = written(gaps, made, made + late, today)
    told = effects_of(fold(log.entries), POND, noon(today))
    assert len(told) == 1
    shuffled = data.draw(st.permutations(log.entries))
    assert effects_of(fold([*shuffled, *shuffled[:3]]), POND, noon(today + 0.2)) == told
    assert told[0].lines[0].says.endswith(".")


@given(before=RUNS, ended=st.lists(st.floats(0.5, 400.0), max_size=6).map(tuple), days=st.floats(1.0, 400.0))
@settings(max_examples=100)
def test_a_longer_quiet_run_never_makes_longer_less_likely(before, ended, days):
    less, more = (compare(Held(before), Held(ended, (one,))) for one in (days, 1.3 * days))
    # A quiet day also tells a little of how regular the work is, and that may move the chance the other way.
    assert 0.0 <= less.longer <= more.longer + 0.01 <= 1.011
    assert less.low_ratio <= less.middle_ratio <= less.high_ratio


@given(before=RUNS, after=RUNS, scale=st.floats(0.1, 24.0))
@settings(max_examples=60)
def test_the_unit_of_time_does_not_matter(before, after, scale):
    plain = compare(Held(before), Held(after))
    scaled = compare(Held(tuple(scale * one for one in before)), Held(tuple(scale * one for one in after)))
    assert abs(plain.longer - scaled.longer) < 1e-6


@given(runs=RUNS, held=st.lists(st.floats(0.5, 400.0), max_size=5).map(tuple))
@settings(max_examples=100)
def test_the_range_of_the_next_run_is_in_order_and_within_reach(runs, held):
    low, middle, high = next_run(Held(runs, held), (0.25, 0.5, 0.75))
    assert 0.0 < low <= middle <= high
    assert low <= max(runs + held) * 2


@given(before=RUNS, open_days=st.floats(0.0, 100.0))
@settings(max_examples=60)
def test_the_wait_that_is_named_is_one_that_is_left(before, open_days):
    more = quiet_days(Held(before), Held(), open_days, 0.99, 180.0)
    assert more is None or 0.0 <= more <= 200.0
