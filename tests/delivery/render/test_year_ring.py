"""The ring: where dates and degrees stand, that marks have room, that gaps stay open."""

import re
from datetime import date, timedelta
from itertools import combinations
from xml.etree import ElementTree

from hypothesis import given, settings
from hypothesis import strategies as st

from evenwater.delivery.render.year_ring import year_ring
from evenwater.domain.quantities import OtherUnit
from evenwater.domain.report.outlook import Mark, Ring

CELSIUS = OtherUnit("°C", 1.0)


def ring(now=(), before=(), marks=(), unit=CELSIUS):
    return Ring(
        now=tuple(now), before=tuple(before), now_name="2026", before_name="2025", unit=unit, marks=tuple(marks)
    )


def year(value: float, days: int = 365, first: date = date(2026, 1, 1)):
    return [(first + timedelta(days=nth), value) for nth in range(days)]


def parsed(drawn: str) -> ElementTree.Element:
    return ElementTree.fromstring(drawn)


def paths(drawn: str, name: str) -> list[list[tuple[float, float]]]:
    found = [one.get("d", "") for one in parsed(drawn).iter("path") if one.get("class") == name]
    return [[(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", d)] for d in found]


def distance(point: tuple[float, float]) -> float:
    return ((point[0] - 200) ** 2 + (point[1] - 200) ** 2) ** 0.5


def test_the_year_begins_at_the_top_and_goes_round_by_the_clock():
    (line,) = [one for one in paths(year_ring(ring(year(10))), "now-line") if len(one) > 2]
    assert len(line) == 365
    top, right, below, left = (line[nth] for nth in (0, 91, 182, 273))
    assert abs(top[0] - 200) < 1 and top[1] < 200
    assert right[0] > 200 and abs(right[1] - 200) < 2
    assert below[1] > 200 and abs(below[0] - 200) < 2
    assert left[0] < 200 and abs(left[1] - 200) < 4


def test_warmer_lies_further_out_and_both_years_by_one_scale():
    drawn = year_ring(ring(year(20), year(10, first=date(2025, 1, 1))))
    now = max((one for one in paths(drawn, "now-line")), key=len)
    before = max((one for one in paths(drawn, "before-line")), key=len)
    assert distance(now[0]) > distance(before[0]) + 20


def test_fahrenheit_makes_the_same_shape():
    warm = {on: distance(max(paths(year_ring(ring(year(20), unit=on)), "now-line"), key=len)[0]) for on in (
        CELSIUS, OtherUnit("°F", 1.8, 32.0))}  # fmt: skip
    assert max(warm.values()) - min(warm.values()) < 25
    assert "°F" in year_ring(ring(year(20), unit=OtherUnit("°F", 1.8, 32.0)))


def test_a_gap_of_weeks_is_left_open():
    days = [*year(10, 40), *year(10, 40, date(2026, 4, 1))]
    assert len([one for one in paths(year_ring(ring(days)), "now-line") if len(one) > 2]) == 2


def test_what_it_shows_is_said_for_who_does_not_see_it():
    drawn = parsed(year_ring(ring(year(10), year(8, 100, date(2025, 1, 1)))))
    assert drawn.get("role") == "img"
    says = drawn.get("aria-label") or ""
    assert says.endswith("2026: 10.0 to 10.0 °C over 365 days; 2025: 8.0 to 8.0 °C over 100 days.")


def test_words_in_it_are_no_markup():
    odd = year_ring(ring(year(10), unit=OtherUnit("<b>", 1.0)))
    assert "<b>" not in odd
    parsed(odd)


@settings(max_examples=40)
@given(st.lists(st.dates(date(2026, 1, 1), date(2026, 12, 31)), max_size=24))
def test_no_two_marks_lie_on_each_other(dates):
    marks = [Mark(number, on, "x") for number, on in enumerate(sorted(dates), 1)]
    drawn = parsed(year_ring(ring(year(10), marks=marks)))
    spots = [
        (float(one.get("cx", 0)), float(one.get("cy", 0))) for one in drawn.iter("circle") if one.get("class") == "spot"
    ]
    assert len(spots) == len(marks)
    assert all(0 <= value <= 400 for spot in spots for value in spot)
    assert all((ax - bx) ** 2 + (ay - by) ** 2 >= 19**2 for (ax, ay), (bx, by) in combinations(spots, 2))
