"""The last length of a fish against what its own past foretold, and its photos over time."""

from datetime import timedelta

import pytest
from fish_log import FishLog
from written_log import NOW

from evenwater.domain.fish.outlook import FishState
from evenwater.domain.fish.page import fish_of, register_of
from evenwater.domain.fish.photo_lines import SHOWN_PHOTOS
from evenwater.domain.fold import fold
from evenwater.domain.rounds.warmth_now import warmth_now
from evenwater.domain.warmth.pond_air import Samples

TODAY = NOW.date()


@pytest.fixture
def log() -> FishLog:
    log = FishLog()
    log.pond()
    log.fish("asagi")
    return log


def asagi_in(log: FishLog) -> FishState:
    known = fold(log.entries)
    (pond,) = known.ponds(TODAY)
    page = fish_of(known, pond, register_of(known, {}, NOW), warmth_now(known, pond, Samples(), NOW).page, NOW)
    (asagi,) = page.fish
    return asagi


def photo(number: int) -> str:
    return f"{number:064x}"


def lengths(log: FishLog, *all_cm: float) -> None:
    for nth, cm in enumerate(all_cm):
        log.measure("asagi", 30 + 180 * (len(all_cm) - 1 - nth), cm)


def test_two_lengths_foretell_nothing_yet(log):
    lengths(log, 40, 44)
    assert asagi_in(log).against_past is None


def test_a_fish_that_grew_as_before_is_as_expected(log):
    lengths(log, 40, 44, 47.5)
    told = asagi_in(log).against_past
    assert told.on == TODAY - timedelta(days=30)
    assert told.total_cm.low < 47.5 < told.total_cm.high
    assert "it measured 47.5 cm, total: as expected" in told.says


@pytest.mark.parametrize(("last_cm", "word"), [(48.5, "less than that"), (62.0, "more than that")])
def test_one_far_off_is_told_apart(log, last_cm, word):
    lengths(log, 40, 45, 50, last_cm)
    assert asagi_in(log).against_past.says.endswith(f"{word}.")


def test_a_group_has_no_past_of_its_own(log):
    log.fish("asagi", count=5)
    lengths(log, 40, 44, 47)
    assert asagi_in(log).against_past is None


def test_photos_of_lifting_and_of_what_was_seen_on_it_alone_stand_newest_first(log):
    log.measure("asagi", 200, photos=[photo(1), photo(2)])
    log.write("fish_seen", NOW - timedelta(days=2), fish=["asagi"], photos=[photo(3)])
    log.write("fish_seen", NOW - timedelta(days=1), fish=["asagi", "showa"], photos=[photo(4)])
    gone = log.write("fish_seen", NOW - timedelta(days=1), fish=["asagi"], photos=[photo(5)])
    log.write("take_back", NOW, entry=gone.entry.id)
    told = asagi_in(log).photos
    assert [(one.sum, one.on) for one in told] == [
        (photo(3), TODAY - timedelta(days=2)),
        (photo(2), TODAY - timedelta(days=200)),
        (photo(1), TODAY - timedelta(days=200)),
    ]


def test_of_many_photos_the_oldest_and_the_newest_stay(log):
    for nth in range(40):
        log.measure("asagi", 400 - 10 * nth, 40 + nth / 4, photos=[photo(2 * nth), photo(2 * nth + 1)])
    told = asagi_in(log).photos
    assert len(told) == SHOWN_PHOTOS == len({one.on for one in told})
    assert (told[0].on, told[-1].on) == (TODAY - timedelta(days=10), TODAY - timedelta(days=400))
    assert [one.on for one in told] == sorted((one.on for one in told), reverse=True)
