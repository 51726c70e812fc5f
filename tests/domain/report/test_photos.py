"""Which photos are shown, and what stands under them."""

from datetime import date

from evenwater.domain.report.outlook import Pictured
from evenwater.domain.report.photos import pictured, taken_in

from .season_log import settled

A, B, C = ("a" * 64, "b" * 64, "c" * 64)


def ago(log, on: date) -> int:
    return (log.at(date(2026, 11, 3)) - log.at(on)).days


def pond_with_photos():
    log = settled()
    log.fish("yuki")
    log.measure("yuki", ago(log, date(2026, 5, 1)), 50, photos=[A])
    log.measure("yuki", ago(log, date(2026, 9, 1)), 52, photos=[B])
    log.write("note", log.at(date(2026, 6, 1)), text="Lilies", photos=[C])
    return log


def test_without_a_choice_it_is_the_latest_of_each_fish():
    assert pictured(pond_with_photos().past(), ()) == (Pictured(B, "Yuki, 1 Sep 2026"),)


def test_the_keepers_choice_stands_in_its_order():
    shown = pictured(pond_with_photos().past(), (C, A))
    assert shown == (Pictured(C, "1 Jun 2026"), Pictured(A, "Yuki, 1 May 2026"))


def test_a_sum_that_is_none_of_the_spans_shows_nothing():
    assert pictured(pond_with_photos().past(), ("d" * 64,)) == ()


def test_all_of_the_span_may_be_chosen_from_the_latest_first():
    assert [one.sum for one in taken_in(pond_with_photos().past())] == [B, C, A]


def test_a_fish_that_had_left_before_is_not_shown_again():
    log = pond_with_photos()
    log.fish("kin")
    log.measure("kin", ago(log, date(2025, 1, 1)), 50, photos=[C])
    log.move(ago(log, date(2025, 3, 1)), ["kin"], from_pond="main", how="sold")
    assert [one.sum for one in pictured(log.past(), ())] == [B]
