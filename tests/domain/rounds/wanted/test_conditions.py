"""Conditions in plain words both ways; what is not measured is not known, never "no"."""

from datetime import datetime, timedelta

import pytest
from written_log import NOW, Log

from evenwater.domain.fold import fold
from evenwater.domain.rounds.wanted.conditions import evaluate, evaluate_all
from evenwater.domain.rounds.wanted.told import Told, day_words
from evenwater.domain.standing_job import CoverStands, Foretold, Happened, Measured, WorkedOut
from evenwater.domain.warmth.outlook import PondWarmth, Tonight
from evenwater.domain.warmth.pond_air import Samples
from evenwater.domain.water.outlook import Judged, PondWater, Trend

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
TODAY = NOW.date()
OUTLET = Measured("total_chlorine_ug_per_l", "above", 20, "after_carbon")
COLD = Measured("temperature_c", "below", 10, for_days=3)


@pytest.fixture
def pond(log: Log) -> Log:
    log.pond()
    log.write("note", NOW - 50 * DAY, text="The log begins.")
    return log


def told(log: Log, **more: object) -> Told:
    known = fold(log.entries)
    (one,) = known.ponds(TODAY)
    standing = {job.id: job for job in known.standing_jobs("main", TODAY)}
    return Told(pond=one, facts=known.of_pond("main"), standing=standing, now=NOW, **more)


def read(log: Log, quantity: str, value: float, at: datetime, point: str = "pond") -> None:
    log.write("reading", at, quantity=quantity, value=value, point=point)


def ahead(series: str, values: list[float]) -> Samples:
    begins = NOW.replace(minute=0)
    return Samples(forecast=(NOW, {series: [(begins + n * HOUR, value) for n, value in enumerate(values)]}))


def test_a_reading_answers_in_words_both_ways(pond):
    read(pond, "total_chlorine_ug_per_l", 25, NOW - 3 * DAY, "after_carbon")
    said = evaluate(OUTLET, told(pond), TODAY)
    assert (said.holds, said.words) == (True, "total chlorine after the carbon was 25 µg/L on Sat, above 20")
    read(pond, "total_chlorine_ug_per_l", 10, NOW, "after_carbon")
    said = evaluate(OUTLET, told(pond), TODAY)
    assert (said.holds, said.reason) == (False, "Total chlorine after the carbon was 10 µg/L today, not above 20.")


def test_a_value_on_the_limit_is_neither_above_nor_below(pond):
    read(pond, "total_chlorine_ug_per_l", 20, NOW, "after_carbon")
    assert evaluate(OUTLET, told(pond), TODAY).holds is False
    below = Measured("total_chlorine_ug_per_l", "below", 20, "after_carbon")
    assert evaluate(below, told(pond), TODAY).holds is False


def test_what_was_never_measured_is_not_known_and_says_so(pond):
    said = evaluate(OUTLET, told(pond), TODAY)
    assert (said.holds, said.reason) == (None, "Not known: no reading of total chlorine after the carbon yet.")


def test_a_reading_too_old_is_not_known(pond):
    read(pond, "total_chlorine_ug_per_l", 25, NOW - 20 * DAY, "after_carbon")
    said = evaluate(OUTLET, told(pond), TODAY)
    assert said.holds is None
    assert said.reason == "Not known: total chlorine after the carbon was last read on 14 Oct."


def test_a_reading_of_another_point_says_nothing(pond):
    read(pond, "total_chlorine_ug_per_l", 500, NOW, "mains")
    assert evaluate(OUTLET, told(pond), TODAY).holds is None


def test_words_are_in_the_keepers_units(pond):
    pond.write("set", NOW, target="pond", field="units", value={"temperature_c": "°F", "kh_dkh": "meq/L"})
    read(pond, "temperature_c", 9, NOW)
    pond.kh(5.0, NOW)
    cold = evaluate(Measured("temperature_c", "below", 10), told(pond), TODAY)
    assert cold.words == "water temperature was 48.2 °F today, below 50"
    assert evaluate(Measured("kh_dkh", "above", 4), told(pond), TODAY).words == "KH was 1.783 meq/L today, above 1.427"


def test_a_day_to_come_is_judged_as_things_stand_and_says_so(pond):
    read(pond, "total_chlorine_ug_per_l", 25, NOW, "after_carbon")
    said = evaluate(OUTLET, told(pond), TODAY + 4 * DAY)
    assert said.words == "total chlorine after the carbon was 25 µg/L today, above 20, as it stands today"


def test_three_cold_days_need_a_cold_reading_three_days_ago_and_none_warm_since(pond):
    for days, warmth in ((2, 9.0), (1, 9.5), (0, 8.0)):
        read(pond, "temperature_c", warmth, NOW - days * DAY)
    said = evaluate(COLD, told(pond), TODAY)
    assert (said.holds, said.words) == (True, "water temperature below 10 at every reading of 3 days")


def test_a_warm_reading_among_them_breaks_the_cold_days(pond):
    for days, warmth in ((3, 9.0), (1, 10.5), (0, 8.0)):
        read(pond, "temperature_c", warmth, NOW - days * DAY)
    said = evaluate(COLD, told(pond), TODAY)
    assert (said.holds, said.words) == (False, "water temperature was 10.5 °C yesterday, not below 10 for 3 days")


def test_cold_since_yesterday_only_is_not_known_where_nothing_was_read_before(pond):
    read(pond, "temperature_c", 9, NOW - DAY)
    said = evaluate(COLD, told(pond), TODAY)
    assert said.holds is None
    assert said.reason == "Not known: water temperature is read since Mon 2 Nov only, not for 3 days."


def test_a_probe_says_the_same_as_a_reading(pond):
    hours = [(NOW - n * HOUR, 9.0) for n in range(80, -1, -1)]
    assert evaluate(COLD, told(pond, samples=Samples(measured={"water_c": hours})), TODAY).holds is True


def test_what_is_in_the_log_lately_holds_and_what_is_not_does_not(pond):
    change = Happened("water_change", within_days=3)
    assert evaluate(change, told(pond), TODAY).words == "no water change in 3 days"
    assert evaluate(Happened("water_change", 3, negated=True), told(pond), TODAY).holds is True
    pond.write("water_change", NOW - 2 * DAY, volume_l=500)
    said = evaluate(change, told(pond), TODAY)
    assert (said.holds, said.words) == (True, "a water change on Sun")
    assert evaluate(Happened("water_change", 3, negated=True), told(pond), TODAY).holds is False


def test_yesterday_counts_within_one_day_and_the_day_before_does_not(pond):
    pond.write("start_up", NOW - 2 * DAY, steps=[[0, 100]])
    assert evaluate(Happened("start_up", 1), told(pond), TODAY).holds is False
    pond.write("start_up", NOW - DAY, steps=[[0, 100]])
    assert evaluate(Happened("start_up", 1), told(pond), TODAY).words == "a start of the membrane yesterday"


def test_a_tick_of_a_job_and_work_on_the_kit_count_by_their_names(pond):
    pond.write("set", NOW - 50 * DAY, target="job/rinse", field="text", value="Rinse the drum")
    pond.write("set", NOW - 50 * DAY, target="job/rinse", field="service", value="drum_rinsed")
    rinsed = Happened("service/drum_rinsed", 5)
    assert evaluate(rinsed, told(pond), TODAY).holds is False
    pond.tick("rinse", TODAY, "day", NOW - HOUR)
    assert evaluate(rinsed, told(pond), TODAY).words == "drum rinsed today"
    assert evaluate(Happened("job/rinse", 5), told(pond), TODAY).words == "“Rinse the drum” done today"


def test_a_log_that_has_only_begun_cannot_say_what_did_not_happen():
    log = Log()
    log.pond()
    log.write("note", NOW - 2 * DAY, text="The log begins.")
    said = evaluate(Happened("water_change", 30, negated=True), told(log), TODAY)
    assert (said.holds, said.reason) == (None, "Not known: no water change yet, but the log begins on Sun only.")


def test_gusts_ahead_hold_as_soon_as_one_hour_reaches_them(pond):
    gale = Foretold("gust_m_per_s", "above", 15, within_h=24)
    said = evaluate(gale, told(pond, samples=ahead("gust_m_per_s", [4.0, 17.2, 5.0])), TODAY)
    assert (said.holds, said.words) == (True, "gusts 17 m/s within 24 h, above 15 m/s")
    said = evaluate(gale, told(pond, samples=ahead("gust_m_per_s", [4.0] * 30)), TODAY)
    assert (said.holds, said.words) == (False, "gusts 4 m/s within 24 h, not above 15 m/s")


def test_a_forecast_that_ends_too_soon_is_not_known_unless_it_has_decided(pond):
    short = told(pond, samples=ahead("gust_m_per_s", [4.0, 5.0]))
    said = evaluate(Foretold("gust_m_per_s", "above", 15, 24), short, TODAY)
    assert (said.holds, said.reason) == (None, "Not known: the forecast ends Tue 18:00.")
    assert evaluate(Foretold("gust_m_per_s", "below", 4.5, 24), short, TODAY).holds is False
    beyond = evaluate(Foretold("gust_m_per_s", "above", 15, 24), short, TODAY + 5 * DAY)
    assert (beyond.holds, beyond.reason) == (None, "Not known: no forecast of gusts for Sun 8 Nov.")


def test_snow_and_rain_add_up_over_the_hours(pond):
    snow = told(pond, samples=ahead("snow_cm", [1.0] * 24))
    assert evaluate(Foretold("snow_cm", "above", 20, 24), snow, TODAY).words == "snow 24 cm within 24 h, above 20 cm"


def test_a_nights_low_that_was_typed_answers_where_no_service_does(pond):
    frost = Foretold("air_low_c", "below", 0, within_h=24)
    assert evaluate(frost, told(pond), TODAY).reason == "Not known: no forecast of air."
    pond.write("air_forecast", NOW, on=str(TODAY), low_c=-3)
    said = evaluate(frost, told(pond), TODAY)
    assert (said.holds, said.words) == (True, "air at its coldest -3 °C within 24 h, below 0 °C")


def test_the_cover_stands_as_it_was_left(pond):
    pond.write("cover", NOW - HOUR, covered_fraction=1.0)
    assert evaluate(CoverStands(True), told(pond), TODAY).words == "the cover is on"
    assert evaluate(CoverStands(False), told(pond), TODAY).holds is False


def test_how_the_cover_lies_is_not_known_where_nobody_said():
    log = Log()
    log.pond(cover={"kind": "opaque"})
    assert evaluate(CoverStands(True), told(log), TODAY).holds is None


def test_numbers_of_the_pages_answer_and_are_not_known_without_them(pond):
    water = PondWater(
        pond="main",
        tag="",
        carbon_due=(TODAY + 4 * DAY, ""),
        judged=(
            Judged(
                quantity="nh3_mg_per_l",
                point="pond",
                label="",
                unit="",
                value=0.03,
                at=NOW,
                stale_at=NOW + DAY,
                answer="act_now",
            ),
        ),
        trends=(
            Trend(
                quantity="kh_dkh",
                point="pond",
                label="",
                unit="",
                past=(),
                forecast=((NOW + DAY, 3.0, 3.4, 3.8),),
                wanted=(None, None),
                says="",
            ),
        ),
    )
    warm = PondWarmth(
        pond="main",
        tag="",
        tonight=Tonight(dawn_at=NOW, covered=(), bare=(), covered_dawn=(8.0, 9.2, 10.0), bare_dawn=(0.0, 0.0, 0.0)),
    )
    asked = {
        WorkedOut("nh3_mg_per_l", "above", 0.025): "NH₃ is 0.03 mg/L, above 0.025 mg/L",
        WorkedOut("kh_tomorrow_dkh", "below", 4): "KH tomorrow about 3.4 °dKH, below 4 °dKH",
        WorkedOut("water_dawn_c", "below", 10): "the covered water at dawn about 9.2 °C, below 10 °C",
        WorkedOut("carbon_days_left", "below", 5): "the carbon lasts 4 days, below 5 days",
    }
    for condition, words in asked.items():
        said = evaluate(condition, told(pond, water=water, warmth=warm), TODAY)
        assert (said.holds, said.words) == (True, words)
        assert evaluate(condition, told(pond), TODAY).reason.startswith("Not known: ")
    assert evaluate(WorkedOut("level_fall_mm_per_day", "above", 2), told(pond), TODAY).holds is None


def test_of_several_one_that_does_not_hold_decides_then_one_that_is_not_known(pond):
    read(pond, "temperature_c", 12, NOW)
    cold, warm = Measured("temperature_c", "below", 10), Measured("temperature_c", "above", 10)
    assert evaluate_all((OUTLET, cold), told(pond), TODAY).holds is False
    assert evaluate_all((warm, OUTLET), told(pond), TODAY).holds is None
    read(pond, "total_chlorine_ug_per_l", 25, NOW, "after_carbon")
    said = evaluate_all((warm, OUTLET), told(pond), TODAY)
    assert said.reason == (
        "Water temperature was 12 °C today, above 10; total chlorine after the carbon was 25 µg/L today, above 20."
    )


@pytest.mark.parametrize(
    ("days", "words"),
    [(0, "today"), (1, "yesterday"), (3, "on Sat"), (6, "on Wed"), (7, "on 27 Oct"), (400, "on 29 Sep 2025")],
)
def test_days_are_named_as_short_as_is_plain(days, words):
    assert day_words(TODAY - days * DAY, TODAY) == words


def test_a_probe_silent_for_days_is_told_by_its_last_value(pond):
    sent = Samples(measured={"water_c": tuple((NOW - 80 * DAY + n * HOUR, 9.0) for n in range(24 * 77))})
    said = evaluate(Measured("temperature_c", "below", 10), told(pond, samples=sent), TODAY)
    assert (said.holds, said.words) == (None, "water temperature was last read on Sat")


def test_what_would_stand_further_back_than_is_looked_is_not_known(pond):
    pond.write("service", NOW - 300 * DAY, service="drum_rinsed")
    said = evaluate(Happened("water_change", 200, negated=True), told(pond), TODAY)
    assert (said.holds, said.words) == (None, "no water change in 90 days, and no further back is looked")
    assert evaluate(Happened("service/drum_rinsed", 320), told(pond), TODAY).holds
