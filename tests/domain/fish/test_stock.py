"""How much fish there is, from settings and moves."""

from datetime import timedelta

import pytest
from written_log import NOW, Log

from evenwater.domain.fish.stock import Quarantine, Stock, moves_of, quarantine_of, stock_at
from evenwater.domain.fold import fold
from evenwater.domain.pond import Pond

DAY = timedelta(days=1)
TODAY = NOW.date()


@pytest.fixture
def log() -> Log:
    log = Log()
    log.pond(fish_count=12, fish_mass_g=60_000)
    return log


def now_in(log: Log, pond: str = "main") -> Stock:
    return stock_at(moves_of(fold(log.entries)), pond, NOW, TODAY)


def move(log: Log, days_ago: int, count: int, **more: object) -> None:
    pond = more.get("to_pond") or more.get("from_pond")
    log.write("fish_move", NOW - days_ago * DAY, count=count, **{"pond": pond} | more)


def test_what_was_set_stands_until_fish_move(log):
    assert now_in(log) == Stock(12, 60_000)


def test_weighed_fish_add_to_number_and_mass(log):
    move(log, 3, 2, to_pond="main", mass_g=5_000)
    assert now_in(log) == Stock(14, 65_000)


def test_unweighed_fish_that_leave_take_their_share_along(log):
    move(log, 3, 3, from_pond="main")
    assert now_in(log) == Stock(9, 45_000)


def test_unweighed_fish_that_come_make_the_mass_not_known(log):
    move(log, 3, 2, to_pond="main")
    assert now_in(log) == Stock(14, None)


def test_a_move_between_ponds_counts_in_both_wherever_it_was_written(log):
    log.pond(pond="quarantine", fish_count=2, fish_mass_g=4_000)
    move(log, 1, 2, from_pond="quarantine", to_pond="main", mass_g=4_000, pond="quarantine")
    assert now_in(log) == Stock(14, 64_000)
    assert now_in(log, "quarantine") == Stock(0, 0)


def test_a_move_before_the_count_was_set_is_in_it_already(log):
    move(log, 70, 2, to_pond="main", mass_g=5_000)
    assert now_in(log) == Stock(12, 60_000)


def test_a_count_set_for_an_earlier_date_lets_later_moves_count(log):
    move(log, 5, 2, to_pond="main", mass_g=5_000)
    back = (NOW - 10 * DAY).date().isoformat()
    log.write("set", NOW - DAY, target="pond", field="fish_count", value=20, effective_from=back)
    assert now_in(log).count == 22


def test_a_move_that_is_taken_back_never_was(log):
    move(log, 3, 2, to_pond="main", mass_g=5_000)
    log.write("take_back", NOW, entry=log.entries[-1].entry.id)
    assert now_in(log) == Stock(12, 60_000)


def test_more_fish_leaving_than_there_were_leaves_none(log):
    move(log, 3, 20, from_pond="main")
    assert now_in(log) == Stock(0, 0)


def test_nothing_set_is_not_known_whatever_moved():
    log = Log()
    move(log, 3, 2, to_pond="main")
    assert now_in(log) == Stock(None, None)


POND = Pond(id="quarantine", quarantine_days=28)


def kept(log: Log, days_ahead: int = 0) -> Quarantine | None:
    return quarantine_of(moves_of(fold(log.entries)), POND, TODAY + days_ahead * DAY)


def test_new_fish_are_in_quarantine_for_its_days(log):
    move(log, 10, 2, to_pond="quarantine", quarantine=True)
    assert kept(log) == Quarantine(2, TODAY - 10 * DAY, TODAY + 18 * DAY)
    assert [found.over(TODAY + n * DAY) for n in (17, 18) if (found := kept(log, n))] == [False, True]


def test_fish_nobody_moved_for_two_months_have_stayed(log):
    move(log, 10, 2, to_pond="quarantine", quarantine=True)
    assert kept(log, 77) is not None
    assert kept(log, 78) is None


def test_a_second_arrival_begins_the_days_anew_for_all(log):
    move(log, 20, 2, to_pond="quarantine", quarantine=True)
    move(log, 5, 1, to_pond="quarantine", quarantine=True)
    assert kept(log) == Quarantine(3, TODAY - 5 * DAY, TODAY + 23 * DAY)


def test_fish_that_have_moved_out_are_in_quarantine_no_more(log):
    move(log, 10, 2, to_pond="quarantine", quarantine=True)
    move(log, 2, 2, from_pond="quarantine", to_pond="main")
    assert kept(log) is None


def test_fish_that_came_without_quarantine_are_not_in_it(log):
    move(log, 10, 2, to_pond="quarantine")
    assert kept(log) is None
