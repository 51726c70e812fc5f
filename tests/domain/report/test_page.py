"""A report put together: the parts that were asked for, and nothing private unasked."""

from datetime import date

import msgspec
from msgspec.structs import replace
from written_log import PERSON

from evenwater.domain.kit import Tariff
from evenwater.domain.report.asked import Asked
from evenwater.domain.report.page import TITLES, season_report, year_report
from evenwater.domain.report.span import Span

from .season_log import SUMMER, days, settled

TWICE = [{"from": "00:00", "to": "06:00", "rate_per_kwh": 0.1}, {"from": "05:00", "to": "07:00", "rate_per_kwh": 0.2}]


def report(log, **chosen):
    past = log.past(names={PERSON: "Marit"}, water=days(SUMMER, 20.0))
    return season_report(past, Asked(pond="main", span=SUMMER, **chosen))


def busy_log():
    log = settled(zone="Europe/Berlin", latitude=52.1, longitude=11.6)
    log.tick("cover", date(2026, 5, 1), "on", log.at(date(2026, 5, 1)))
    log.write("note", log.at(date(2026, 5, 2)), text="Jo from next door was here")
    return log


def test_the_parts_stand_in_their_order_and_only_those_asked_for():
    whole = report(busy_log())
    assert [one.id for one in whole.sections] == [
        "warmth", "water", "fish", "food", "work", "spent", "changes", "forecasts",
    ]  # fmt: skip
    assert whole.ring is not None and len(whole.ring.now) == SUMMER.days
    some = report(busy_log(), parts=("work", "warmth"))
    assert ([one.id for one in some.sections], some.ring, some.photos) == (["warmth", "work"], None, ())


def test_people_notes_and_place_are_told_only_where_chosen():
    plain = str(report(busy_log()))
    assert not any(word in plain for word in ("Marit", "Jo", "Berlin", "52.1", "11.6"))
    told = str(report(busy_log(), people=True, notes=True, place=True))
    assert all(word in told for word in ("Marit", "Jo from next door", "Europe/Berlin"))
    assert "52.1" not in told and "11.6" not in told


def test_its_title_is_the_keepers_or_the_ponds():
    assert report(busy_log()).title == "The long pond"
    assert report(busy_log(), title="  Our summer ").title == "Our summer"


def test_the_year_on_a_page_is_its_ring_and_the_figures_behind_it():
    year = Span(date(2026, 1, 1), date(2026, 11, 3))
    last = Span(date(2025, 1, 1), date(2025, 12, 31))
    page = year_report(settled().past(year, water=days(year, 15.0) | days(last, 12.0)), changes=True)
    assert page.ring is not None and page.ring.now_name == "2026"
    assert len(page.ring.before) == 365, "what is still to come is seen in the last one"
    (figures,) = page.sections
    assert figures.columns[1:4] == ("Jan", "Feb", "Mar") and figures.columns[-2:] == ("Dec", "year")
    assert figures.rows[0] == ("2026", *["15.0"] * 10, "–", "–", "15.0")
    assert figures.rows[1] == ("2025", *["12.0"] * 13)
    assert [one.id for one in page.sections] == ["warmth"]


def test_an_empty_log_makes_a_report_that_says_so():
    empty = season_report(settled().past(), Asked(pond="main", span=SUMMER))
    assert all(one.unknown and not one.rows for one in empty.sections if one.id != "spent")


def test_a_part_that_cannot_be_worked_out_says_so_and_the_rest_stands():
    log = settled(appliances=[{"name": "Pump", "power_w": 100}])
    past = log.past()
    odd = replace(past.pond, tariff=msgspec.convert({"windows": TWICE}, Tariff))
    past.held.on = lambda _: odd  # type: ignore[method-assign]
    told = season_report(past, Asked(pond="main", span=SUMMER))
    (spent,) = [one for one in told.sections if one.id == "spent"]
    assert spent.unknown[0].startswith("This could not be worked out: ")
    assert len(told.sections) == len(TITLES)


def test_each_part_has_the_title_it_is_known_by():
    told = season_report(busy_log().past(), Asked(pond="main", span=SUMMER))
    assert {one.id: one.title for one in told.sections} == TITLES
