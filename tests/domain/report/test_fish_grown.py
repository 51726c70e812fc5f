"""Growth of each fish over the span, against its own year before."""

from datetime import date, timedelta

import pytest
from written_log import NOW

from evenwater.domain.fish.measures import measures_of
from evenwater.domain.fold import Facts
from evenwater.domain.report.fish_grown import fish_part, grown_in

from .season_log import SUMMER, row_of, settled


def days_ago(on: date) -> int:
    return (NOW.date() - on).days


def pond_with_yuki():
    log = settled()
    log.fish("yuki")
    for on, cm in ((date(2024, 10, 1), 40), (date(2025, 9, 20), 46), (date(2026, 3, 20), 47), (date(2026, 9, 20), 51)):
        log.measure("yuki", days_ago(on), cm)
    return log


def test_growth_runs_from_the_last_length_before_the_span():
    log = pond_with_yuki()
    told = measures_of(Facts(log.entries), frozenset())["yuki"]
    grown = grown_in(told, SUMMER)
    assert (grown.since, grown.on) == (date(2026, 3, 20), date(2026, 9, 20))
    assert grown.grown_cm == pytest.approx(4.0)
    assert 0.5 < grown.half_cm < 2.0


def test_a_year_before_stands_beside_it():
    part = fish_part(pond_with_yuki().past())
    length, weight, grew, before = row_of(part.rows, "Yuki")
    assert length == "51.0 cm on 20 Sep"
    assert weight.startswith("about ")
    assert grew.startswith("+4.0 ±") and grew.endswith("since 20 Mar 2026")
    assert before.startswith("+6.0 ±") and before.endswith("since 1 Oct 2024")


def test_two_lengths_of_one_fortnight_tell_no_growth():
    log = settled()
    log.fish("yuki")
    for on in (date(2026, 9, 1), date(2026, 9, 14)):
        log.measure("yuki", days_ago(on), 50)
    assert row_of(fish_part(log.past()).rows, "Yuki")[0] == "50.0 cm on 14 Sep"
    assert fish_part(log.past()).columns == ("", "length", "weight")


def test_who_was_not_measured_is_named_and_who_was_gone_is_not():
    log = pond_with_yuki()
    log.fish("asagi")
    log.fish("kin")
    log.move(days_ago(date(2026, 1, 5)), ["kin"], from_pond="main", how="sold")
    part = fish_part(log.past())
    assert part.unknown == ("Not measured in this time: Asagi.",)
    assert part.says[0] == "2 fish of the register in this time; 1 of 2 measured in it."


def test_one_sold_in_the_span_was_here_in_it():
    log = pond_with_yuki()
    log.move(days_ago(SUMMER.first + timedelta(days=60)), ["yuki"], from_pond="main", how="sold")
    assert fish_part(log.past()).says[0].startswith("1 fish")


def test_a_weighing_is_told_as_such():
    log = settled()
    log.fish("yuki")
    log.measure("yuki", days_ago(date(2026, 9, 1)), 50, weight_g=2100)
    assert row_of(fish_part(log.past()).rows, "Yuki")[1] == "2.1 kg, weighed"


def test_of_a_group_the_mean_of_a_session_is_told():
    log = settled()
    log.fish("small", count=12)
    for cm in (14, 16):
        log.measure("small", days_ago(date(2026, 9, 1)), cm)
    assert row_of(fish_part(log.past()).rows, "Small (12)")[0] == "15.0 cm, mean of 2"


def test_where_nobody_was_measured_no_names_are_listed():
    log = settled()
    log.fish("asagi")
    assert fish_part(log.past()).unknown == ("None of them was measured in this time.",)


def test_without_a_register_it_says_so():
    part = fish_part(settled().past())
    assert (part.rows, part.unknown) == ((), ("No fish of the register was here in this time.",))
