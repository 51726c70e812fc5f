"""What was measured, and what is odd about it."""

import pytest
from fish_log import FishLog
from written_log import NOW

from evenwater.domain.fish.measures import Measured, any_weight_g, measures_of, next_length_cm, total_of
from evenwater.domain.fold import fold

SESSION = "00000000-0000-0000-0000-0000000000aa"


@pytest.fixture
def log() -> FishLog:
    return FishLog()


def told(log: FishLog, groups: tuple[str, ...] = ()) -> list[Measured]:
    return measures_of(fold(log.entries).facts, frozenset(groups)).get("asagi", [])


def counting(log: FishLog) -> list[float | None]:
    return [one.length_cm for one in told(log) if one.counts]


def test_a_fish_that_grew_is_believed(log):
    for days_ago, cm in ((800, 40), (600, 46), (400, 51), (200, 54)):
        log.measure("asagi", days_ago, cm)
    assert counting(log) == [40, 46, 51, 54]
    assert all(not one.doubts for one in told(log))


def test_a_tenth_of_its_length_is_asked_about_and_kept(log):
    log.measure("asagi", 300, 54)
    log.measure("asagi", 100, 5.6)
    assert counting(log) == [54]
    assert "was it 56 cm?" in told(log)[1].doubts[0]
    assert told(log)[1].length_cm == 5.6


def test_a_fish_that_shrank_8_cm_is_asked_about(log):
    log.measure("asagi", 300, 62)
    log.measure("asagi", 100, 54)
    assert counting(log) == [62]
    assert told(log)[1].doubts == (
        "8 cm shorter than 62 cm total on 7 Jan 2026: the same fish, and the same kind of length? Kept, and not counted"
        " until one agrees.",
    )


def test_of_two_that_contradict_each_other_the_next_one_tells_which_was_wrong(log):
    for days_ago, cm in ((400, 62), (300, 54), (100, 55)):
        log.measure("asagi", days_ago, cm)
    assert counting(log) == [54, 55]
    assert "measured after it" in told(log)[0].doubts[0]


def test_a_slip_of_the_tape_hides_nothing_that_came_after(log):
    for days_ago, cm in ((400, 50), (300, 5.2), (100, 54)):
        log.measure("asagi", days_ago, cm)
    assert counting(log) == [50, 54]


def test_the_tail_left_off_by_mistake_is_asked_about(log):
    log.measure("asagi", 300, 48, length_is="standard")
    log.measure("asagi", 200, 48.5, length_is="total")
    assert "the same kind of length?" in told(log)[1].doubts[0]


def test_measured_twice_in_a_session_both_are_kept_and_the_later_counts(log):
    log.measure("asagi", 100, 55, session=SESSION)
    log.measure("asagi", 100, 56, session=SESSION)
    assert counting(log) == [56]
    assert all("Measured twice, 55 and 56 cm" in one.doubts[0] for one in told(log))


def test_fish_of_a_group_are_each_another_one(log):
    log.measure("asagi", 100, 15)
    log.measure("asagi", 100, 25)
    assert [one.counts for one in told(log, ("asagi",))] == [True, True]


def test_a_weight_in_pounds_is_asked_about_and_not_reckoned_with(log):
    log.measure("asagi", 100, 55, weight_g=6.5)
    assert "far too light" in told(log)[0].doubts[0]
    assert told(log)[0].counts


def test_looked_at_without_a_tape_is_no_measure(log):
    log.measure("asagi", 10, checked=["gills"])
    assert told(log) == []


def test_standard_lengths_are_turned_and_known_as_well_as_the_tape(log):
    total_cm, sd_cm = total_of(50, "standard")
    assert (total_cm, total_of(50, "total")[0]) == (60, 50)
    assert 0.5 < sd_cm < 1


@pytest.mark.parametrize("cm", [5, 20, 50, 80])
def test_the_next_length_may_be_the_same_and_grows_with_time(cm):
    today = NOW.date()
    low, high = next_length_cm(cm, today, today)
    assert low < cm < high
    assert next_length_cm(cm, today, today.replace(year=today.year + 2))[1] > high
    assert any_weight_g((cm, cm))[0] < any_weight_g((cm, cm))[1]
