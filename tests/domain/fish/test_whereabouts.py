"""Where fish are, by the moves that name them."""

from datetime import timedelta

import pytest
from fish_log import FishLog
from written_log import NOW

from evenwater.domain.fish.whereabouts import Whereabouts, whereabouts
from evenwater.domain.fold import fold

TODAY = NOW.date()


@pytest.fixture
def log() -> FishLog:
    log = FishLog()
    log.fish("asagi")
    log.fish("small", count=12)
    return log


def of(log: FishLog, fish: str) -> Whereabouts:
    known = fold(log.entries)
    return whereabouts(known.fish(TODAY), known.facts)[fish]


def test_a_fish_nobody_moved_is_where_it_was_set_up(log):
    assert of(log, "asagi").here == {"main": 1}
    assert of(log, "small").here == {"main": 12}


def test_a_fish_is_where_its_last_move_took_it_and_was_elsewhere_before(log):
    log.move(100, ["asagi"], from_pond="main", to_pond="hall")
    log.move(20, ["asagi"], from_pond="hall", to_pond="main")
    asagi = of(log, "asagi")
    assert asagi.here == {"main": 1}
    assert asagi.pond_on(TODAY - timedelta(days=50)) == "hall"
    assert asagi.pond_on(TODAY - timedelta(days=150)) == "main"


@pytest.mark.parametrize(("how", "gone"), [("sold", "sold"), ("given", "given"), ("died", "died"), (None, "left")])
def test_a_fish_that_left_is_gone_and_stays_with_the_pond_it_was_last_in(log, how, gone):
    log.move(9, ["asagi"], from_pond="main", how=how)
    asagi = of(log, "asagi")
    assert (asagi.here, asagi.gone, asagi.last_pond) == ({}, gone, "main")
    assert asagi.gone_on == TODAY - timedelta(days=9)


def test_a_few_of_a_group_may_move_and_some_of_it_die(log):
    log.move(9, ["small"], count=3, from_pond="main", to_pond="hall")
    log.move(5, ["small"], count=1, from_pond="main", how="died")
    assert of(log, "small").here == {"main": 8, "hall": 3}


def test_named_together_all_of_each_moves(log):
    log.move(9, ["small", "asagi"], count=13, from_pond="main", to_pond="hall")
    assert of(log, "small").here == {"hall": 12}
    assert of(log, "asagi").here == {"hall": 1}


def test_new_fish_put_into_quarantine_are_not_in_the_pond_they_were_set_up_in(log):
    log.move(9, ["asagi"], to_pond="hall", how="new", quarantine=True)
    assert of(log, "asagi").here == {"hall": 1}
    assert of(log, "asagi").quarantine
    log.move(2, ["asagi"], from_pond="hall", to_pond="main")
    assert not of(log, "asagi").quarantine


def test_a_fish_that_came_back_is_gone_no_more(log):
    log.move(9, ["asagi"], from_pond="main", how="given")
    log.move(2, ["asagi"], to_pond="main")
    assert (of(log, "asagi").here, of(log, "asagi").gone) == ({"main": 1}, None)


def test_a_move_out_of_a_pond_it_was_not_in_is_believed(log):
    log.move(9, ["asagi"], from_pond="hall", to_pond="shed")
    assert of(log, "asagi").here == {"shed": 1}
