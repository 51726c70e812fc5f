"""Laws of a season report: whatever stands in the log, a whole page comes of it, and what is private stays out."""

from datetime import date, timedelta
from html.parser import HTMLParser
from typing import Any
from uuid import UUID

import msgspec
from domain.report.season_log import days, settled
from hypothesis import given, settings
from hypothesis import strategies as st
from properties.drawn_entries import entries, near_moments
from written_log import NOW

from evenwater.delivery.render.season_report import Links, season_page
from evenwater.domain.fold import Seen
from evenwater.domain.read_entries import read_entry
from evenwater.domain.report.asked import PARTS, Asked
from evenwater.domain.report.page import season_report
from evenwater.domain.report.span import Span

AUTUMN = Span(date(2026, 9, 1), date(2026, 11, 3))
SECRET = "Heronsgate"  # stands for a neighbour's name in somebody's own words
PRIVATE = {"note": "text", "not_done": "reason", "look": "text", "fish_seen": "text", "fish_measure": "text"}


@st.composite
def logs(draw: st.DrawFn) -> list[Seen]:
    """Up to thirty entries of every kind, in the last weeks and the same weeks a year before, some about known fish."""
    found: list[Seen] = []
    for number, content in enumerate(draw(st.lists(entries(near_moments), max_size=30)), 1000):
        told: dict[str, Any] = content | {"id": str(UUID(int=number)), "pond": "main"}
        if told["kind"] == "set":
            continue
        if told["kind"] in ("fish_measure", "fish_move", "fish_seen"):
            told["fish"] = "yuki" if told["kind"] == "fish_measure" else ["yuki"]
        if told["kind"] == "fish_move":
            told["to_pond"] = "main"
        if told["kind"] in PRIVATE:
            told[PRIVATE[told["kind"]]] = SECRET
        entry = read_entry(msgspec.json.encode(told))
        at = entry.happened_at - draw(st.sampled_from([timedelta(0), timedelta(days=365)]))
        found.append(Seen(entry, number, at, at.date()))
    return found


class Whole(HTMLParser):
    """Whether each element that was opened is closed, in order."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: Any) -> None:
        if tag not in ("meta", "img", "path", "circle"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in ("path", "circle"):
            assert self.open.pop() == tag


def told(log: list[Seen], water: dict[date, float], **chosen: Any) -> str:
    kept = settled(told_on=date(2026, 9, 20), heater={"power_w": 2000}, tariff={}, inflow_l_per_day=100)
    kept.fish("yuki")
    kept.entries = [*kept.entries, *log]
    report = season_report(kept.past(AUTUMN, water=water), Asked(pond="main", span=AUTUMN, **chosen))
    assert [one.id for one in report.sections if one.id != "notes"] == [part for part in PARTS if part in FOUND]
    assert not any("could not be worked out" in line for one in report.sections for line in one.unknown)
    return season_page(report, {}, Links())


FOUND = set(PARTS) - {"ring", "photos"}
waters = st.lists(st.floats(-1, 40), max_size=9).map(lambda values: days(AUTUMN, *values) if values else {})


@settings(max_examples=60)
@given(logs(), waters)
def test_a_whole_page_comes_of_any_log(log, water):
    page = told(log, water)
    assert Whole(page).open == []
    assert SECRET not in page


@settings(max_examples=20)
@given(logs(), waters)
def test_what_was_written_in_free_words_comes_with_the_notes_alone(log, water):
    noted = any(AUTUMN.holds(one.on) and str(one.entry.__struct_config__.tag) == "note" for one in log)
    assert (SECRET in told(log, water, notes=True)) or not noted


def test_the_drawn_days_reach_to_today():
    assert AUTUMN.last == NOW.date()
