"""How forecasts did, in numbers that were worked out by hand, and in words."""

from datetime import date, timedelta

from written_log import Log

from evenwater.domain.book.scores import scores_of
from evenwater.domain.book.shown_records import Shown
from evenwater.domain.fold import fold
from evenwater.domain.pond import Pond
from evenwater.domain.warmth.pond_air import HOUR, Samples

from .shown_log import dawn, evening, month, night, spent, trend

POND = Pond(id="main", zone="UTC")
READ = (5.0, 4.5, 5.0, 5.5, 4.0, 5.0)
FORETOLD = (5.1, 4.8, 5.0, 5.2, 4.9, 5.3)


def foretold_levels(count: int = len(READ)) -> tuple[Log, Shown]:
    log, shown = Log(), []
    for day, (value, middle) in enumerate(zip(READ[:count], FORETOLD, strict=False)):
        log.kh(value, evening(day + 1))
        shown.append(
            trend(evening(day), (evening(day + 1), middle - 0.5, middle, middle + 0.5), version=f"kh-{day % 2}")
        )
    return log, Shown(trends={"kh_dkh": shown})


def scored(log: Log, shown: Shown, pond: Pond = POND, samples: Samples = Samples()):  # noqa: B008
    return scores_of(pond, fold(log.entries).of_pond("main"), [], samples, shown, evening(60))


def test_bias_typical_error_and_band_are_what_hand_and_paper_say():
    (score,) = scored(*foretold_levels())
    # Measured less foretold: -0.1, -0.3, 0, +0.3, -0.9, -0.3; sizes in order 0, 0.1, 0.3, 0.3, 0.3, 0.9.
    assert (score.subject, score.title, score.unit) == ("trend/kh_dkh", "KH", "°dKH")
    assert (score.bias, score.typical_error, score.inside, len(score.rows)) == (-0.22, 0.3, 5, 6)
    assert score.model_versions == ("kh-0", "kh-1")
    assert score.says == "Off by 0.3 °dKH typically, 0.22 °dKH too high on average; 5 of 6 inside the band."


def test_the_keeper_s_own_unit_is_used_for_numbers_rows_and_words():
    log, shown = foretold_levels()
    (score,) = scored(log, shown, Pond(id="main", zone="UTC", units={"kh_dkh": "mg/L as CaCO₃"}))
    assert score.unit == "mg/L as CaCO₃"
    assert score.rows[0].measured == 89.2
    assert score.says.startswith("Off by 5.4 mg/L as CaCO₃ typically, 3.9 mg/L as CaCO₃ too high on average")


def test_a_few_forecasts_are_not_said_to_lean():
    (score,) = scored(*foretold_levels(4))
    assert score.says == "Off by 0.2 °dKH typically; 4 of 4 inside the band."


def test_only_the_last_thirty_are_looked_at():
    log, shown = Log(), []
    for day in range(40):
        log.kh(5.0, evening(day + 1))
        shown.append(trend(evening(day), (evening(day + 1), 4.5, 5.0 if day >= 10 else 9.0, 5.5)))
    (score,) = scored(log, Shown(trends={"kh_dkh": shown}))
    assert (len(score.rows), score.typical_error, score.bias) == (30, 0.0, 0.0)
    assert score.says == "Off by 0 °dKH typically; 30 of 30 inside the band."


def test_dawns_are_scored_by_a_probe_or_by_hand_in_degrees_celsius_or_fahrenheit():
    log = Log()
    log.write("cover", evening(0), covered_fraction=1.0)
    log.write("reading", dawn(1) + timedelta(minutes=20), quantity="temperature_c", value=14.0)
    log.write("cover", evening(1), covered_fraction=1.0)
    shown = Shown(dawns=[night(0, (14.1, 14.5, 14.9)), night(1, (13.6, 14.0, 14.4))])
    samples = Samples(measured={"water_c": [(dawn(2) - HOUR / 2, 14.25)]})
    (score,) = scored(log, shown, samples=samples)
    assert [(row.middle, row.measured) for row in score.rows] == [(14.5, 14.0), (14.0, 14.25)]
    assert (score.subject, score.typical_error, score.inside) == ("dawn", 0.38, 1)
    (warm,) = scored(log, shown, Pond(id="main", zone="UTC", units={"temperature_c": "°F"}), samples)
    assert (warm.rows[0].measured, warm.unit) == (57.2, "°F")
    assert warm.says == "Off by 0.68 °F typically; 1 of 2 inside the band."


def test_a_month_s_cost_is_told_in_the_currency_it_was_foretold_in():
    october = date(2026, 10, 1)
    shown = Shown(months=[month(evening(3), october, 35, 42, 49)], spent=[spent(october, 46.0)])
    (score,) = scored(Log(), shown)
    assert (score.subject, score.unit, score.bias) == ("month_cost", "£", 4.0)
    assert score.says == "Off by £4 typically; 1 of 1 inside the band."


def test_what_was_foretold_and_met_nothing_yet_has_no_score():
    assert scored(Log(), Shown(trends={"kh_dkh": [trend(evening(0), (evening(1), 4, 5, 6))]})) == ()
