"""The time to a work's next doing, as a keeper reads it."""

from datetime import date, timedelta

from evenwater.domain.learn.gaps import Gaps, Run
from evenwater.domain.learn.learned_interval import learned_interval, too_little


def history(*ended: int, held: tuple[int, ...] = (), open_days: int = 6) -> Gaps:
    on = date(2026, 1, 1)
    runs = []
    for days, needed in [(one, True) for one in ended] + [(one, False) for one in held]:
        runs.append(Run(began_on=on, ended_on=on + timedelta(days=days), days=days, needed=needed))
        on += timedelta(days=days)
    return Gaps(runs=tuple(runs), open_days=open_days, watched_days=open_days)


def test_a_regular_pond_is_due_at_the_low_end_of_its_range():
    found = learned_interval(history(9, 10, 8, 11, 9, 10, 9, 8, 12), 21)
    assert found is not None
    assert found.days == found.low_days
    assert 6 <= found.low_days <= 8 < found.middle_days < found.high_days <= 13
    assert found.says == (f"usually {found.low_days} to {found.high_days} days here (9 runs); this one is on day 6")


def test_the_fixed_interval_is_the_ceiling():
    found = learned_interval(history(40, 44, 39, 42, 41), 14)
    assert found is not None
    assert found.days == 14
    assert found.low_days > 14


def test_a_long_present_run_lengthens_the_range():
    short, long = (learned_interval(history(9, 10, 8, 11, open_days=days), 60) for days in (3, 30))
    assert short is not None and long is not None
    assert long.middle_days > short.middle_days


def test_runs_cut_off_by_the_interval_do_not_shorten_it():
    cut, bare = learned_interval(history(5, 6, 4, held=(7,) * 9), 30), learned_interval(history(5, 6, 4), 30)
    assert cut is not None and bare is not None
    assert cut.middle_days > bare.middle_days


def test_a_work_done_by_its_interval_alone_teaches_nothing():
    gaps = history(held=(9,) * 20)
    assert learned_interval(gaps, 9) is None
    assert "20 of 20 runs ended because it was due" in too_little(gaps)


def test_too_short_a_history_says_so():
    assert learned_interval(history(9, 8), 14) is None
    assert too_little(history(9, 8)) == "not learned yet: 2 runs ended by need, 3 are needed"
    assert too_little(Gaps()) == "not learned yet: it has not been done twice"


def test_the_shortest_interval_is_a_day():
    found = learned_interval(history(1, 1, 1, 1, open_days=0), 7)
    assert found is not None
    assert found.days == 1
