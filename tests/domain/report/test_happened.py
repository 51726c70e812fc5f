"""What the ring marks."""

from datetime import date, timedelta

from evenwater.domain.report.happened import MOST_MARKS, marks_of

from .season_log import SUMMER, days, settled


def texts(log, *, changes: bool = True, **more):
    return [(one.on, one.text) for one in marks_of(log.past(**more), changes=changes)[0]]


def test_marks_are_numbered_by_date():
    log = settled()
    log.write("change", log.at(date(2026, 6, 1)), text="Trap fitted")
    log.write("service", log.at(date(2026, 5, 1)), service="membrane_changed")
    log.write("service", log.at(date(2026, 5, 2)), service="drum_rinsed")
    marks, left_out = marks_of(log.past(), changes=True)
    assert [(one.number, one.text) for one in marks] == [(1, "Membrane changed"), (2, "Trap fitted")]
    assert left_out == 0
    assert texts(log, changes=False) == [(date(2026, 5, 1), "Membrane changed")]


def test_fish_that_were_measured_came_and_went():
    log = settled()
    for fish in ("yuki", "kin"):
        log.fish(fish)
        log.measure(fish, (log.at(date(2026, 11, 3)) - log.at(date(2026, 9, 1))).days, 50)
    log.write("fish_move", log.at(date(2026, 7, 1)), count=1, fish=["kin"], from_pond="main", how="died")
    log.write("fish_move", log.at(date(2026, 5, 1)), count=5, to_pond="main", how="new")
    assert [text for _, text in texts(log)] == ["5 fish came", "Kin died", "2 fish measured"]


def test_the_season_agreed_to_begins_and_ends():
    log = settled()
    steps = {"from_c": 12, "to_c": 18, "starts_on": "2026-04-10", "degrees_per_step": 1, "days_per_step": 3}
    log.write("set", log.at(date(2026, 4, 9)), target="pond", field="season", value=steps)
    assert texts(log) == [
        (date(2026, 4, 10), "Step-up begins, 12 °C to 18 °C"),
        (date(2026, 4, 28), "Step-up ends at 18 °C"),
    ]


def test_a_pause_of_the_food_has_two_ends():
    log = settled()
    for on in (date(2026, 4, 1), date(2026, 4, 2), date(2026, 5, 1), date(2026, 5, 2)):
        log.write("feed", log.at(on), feed_g=10)
    assert texts(log) == [(date(2026, 4, 2), "Last food for 28 days"), (date(2026, 5, 1), "Food again")]


def test_a_long_outage_is_marked_and_a_short_one_is_not():
    log = settled()
    for on, minutes in ((date(2026, 6, 1), 20), (date(2026, 7, 1), 90)):
        log.write("power", log.at(on), on=False)
        log.write("power", log.at(on) + timedelta(minutes=minutes), on=True)
    assert texts(log) == [(date(2026, 7, 1), "Power out for 1.5 h")]


def test_the_extremes_are_marked_where_half_the_days_are_known():
    water = days(SUMMER, 20.0) | {date(2026, 8, 3): 25.0, date(2026, 4, 4): 9.0}
    assert [text for _, text in texts(settled(), water=water)] == ["Coldest day, 9 °C", "Warmest day, 25 °C"]
    assert texts(settled(), water={date(2026, 8, 3): 25.0}) == []


def test_what_matters_less_gives_way_and_is_counted():
    log = settled()
    for nth in range(MOST_MARKS + 3):
        log.write("service", log.at(SUMMER.first + timedelta(days=nth)), service="carbon_changed")
    log.write("fish_move", log.at(SUMMER.last), count=1, to_pond="main", how="new")
    marks, left_out = marks_of(log.past(), changes=True)
    assert (len(marks), left_out, marks[-1].text) == (MOST_MARKS, 4, "1 fish came")
