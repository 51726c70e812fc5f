"""The water's temperature beside the year before."""

from datetime import date

from evenwater.domain.report.warm import warm_part

from .season_log import SUMMER, days, row_of, settled


def test_means_and_extremes_stand_beside_those_of_the_year_before():
    water = days(SUMMER, 20.0, 22.0) | days(SUMMER.before, 18.0)
    water |= {date(2026, 8, 3): 26.04, date(2025, 5, 1): 11.0}
    part = warm_part(settled().past(water=water))
    assert part.columns == ("", "2026", "2025")
    assert row_of(part.rows, "Mean") == ("21 °C", "18 °C")
    assert row_of(part.rows, "Warmest day")[0] == "26 °C on 3 Aug"
    assert row_of(part.rows, "Coldest day")[1] == "11 °C on 1 May"
    assert row_of(part.rows, "August") == ("21.2 °C", "18 °C")
    assert part.unknown == ()


def test_days_in_the_keepers_band_are_counted():
    part = warm_part(settled(warm_low_c=21, warm_high_c=25).past(water=days(SUMMER, 20.0, 22.0, 24.0)))
    assert row_of(part.rows, "Within your band") == ("122 of 183 days",)


def test_it_says_what_is_not_known_and_leaves_the_empty_year_out():
    known = dict(list(days(SUMMER, 20.0).items())[:40])
    part = warm_part(settled().past(water=known))
    assert part.columns == ("", "2026")
    assert part.unknown == (
        "On 143 days nobody and nothing read the water's temperature.",
        "Its temperature a year before was not recorded.",
    )
    assert [row[0] for row in part.rows][-2:] == ["April", "May"]


def test_without_any_reading_it_is_one_sentence():
    part = warm_part(settled().past())
    assert (part.rows, part.unknown) == ((), ("The water's temperature was not recorded in this time.",))


def test_it_speaks_the_keepers_unit():
    part = warm_part(settled(units={"temperature_c": "°F"}).past(water=days(SUMMER, 20.0)))
    assert row_of(part.rows, "Mean") == ("68 °F",)
