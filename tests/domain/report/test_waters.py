"""Tests of the water: how many, how they lay, how many in range."""

from datetime import date

from evenwater.domain.report.waters import waters_part

from .season_log import SUMMER, row_of, settled


def test_a_quantity_has_its_spread_and_its_share_in_range():
    log = settled()
    for on, value in ((date(2026, 5, 1), 5.0), (date(2026, 6, 1), 6.0), (date(2026, 7, 1), 3.0)):
        log.read("kh_dkh", on, value, step=0.5)
    log.read("kh_dkh", date(2025, 6, 1), 2.0, step=0.5)
    part = waters_part(log.past())
    assert part.columns[-2:] == ("in range 2026", "in range 2025")
    assert row_of(part.rows, "KH (°dKH)") == ("3", "3 to 6", "5", "67 % of 3", "0 % of 1")


def test_ammonia_is_judged_by_its_toxic_part_with_ph_and_warmth_beside_it():
    log = settled()
    on, alone = date(2026, 6, 1), date(2026, 8, 1)
    for quantity, value in (("tan_mg_n_per_l", 0.5), ("ph", 8.5), ("temperature_c", 22.0)):
        log.read(quantity, on, value)
    log.read("tan_mg_n_per_l", alone, 0.5)
    part = waters_part(log.past())
    assert row_of(part.rows, "Ammonia (TAN)")[:2] == ("2", "0.5")
    toxic = row_of(part.rows, "Toxic part of the ammonia")
    # At 22 °C and pH 8.5 about an eighth of it is NH3: far over what is wanted.
    assert toxic[0] == "1"
    assert 0.06 < float(toxic[2]) < 0.09
    assert toxic[3] == "0 % of 1"


def test_the_keepers_own_range_judges():
    log = settled()
    log.read("gh_dgh", date(2026, 6, 1), 5.0)
    log.write("set", log.at(date(2026, 1, 1)), target="range/gh_dgh", field="drift_below", value=6.0)
    assert row_of(waters_part(log.past()).rows, "GH")[3] == "0 % of 1"


def test_what_was_not_tested_is_named():
    log = settled()
    log.read("kh_dkh", date(2026, 6, 1), 5.0)
    assert "Nitrite" in waters_part(log.past()).unknown[0]
    assert waters_part(settled().past()).unknown == ("The water was not tested in this time.",)


def test_a_test_after_the_span_does_not_count():
    log = settled()
    log.read("kh_dkh", SUMMER.last, 5.0)
    log.read("kh_dkh", date(2026, 10, 1), 1.0)
    assert row_of(waters_part(log.past()).rows, "KH")[:2] == ("1", "5")
