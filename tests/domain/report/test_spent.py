"""Energy, water and money beside the year before, and what of it is not known."""

from datetime import date

from evenwater.domain.report.spent import spent_part

from .season_log import row_of, settled
from .test_energy import HEATER, LONG, MAY, TARIFF


def test_water_is_told_as_it_was_set_and_as_it_was_changed():
    log = settled(inflow_l_per_day=200)
    log.write("note", log.at(date(2025, 1, 1)), text="The pond begins.")
    log.write("water_change", log.at(date(2026, 5, 3)), volume_l=800)
    log.write("dose", log.at(date(2026, 5, 4)), substance="sodium_bicarbonate", amount_g=1500)
    part = spent_part(log.past(MAY))
    assert row_of(part.rows, "Water trickled in") == ("6.2 m³", "6.2 m³")
    assert row_of(part.rows, "Water changed") == ("800 L", "–")
    assert row_of(part.rows, "Buffer given") == ("1.5 kg", "–")


def test_gallons_are_told_as_gallons():
    log = settled(inflow_l_per_day=200, units={"volume": "US gal"})
    log.write("note", log.at(date(2026, 1, 1)), text="The pond begins.")
    assert row_of(spent_part(log.past(MAY)).rows, "Water trickled in") == ("1,638 US gal",) * 2


def test_money_is_summed_as_far_as_it_is_known():
    pumps = [{"name": "Pump", "power_w": 100}]
    past = settled(heater=HEATER, tariff=TARIFF, appliances=pumps).past(MAY, counter=LONG)
    part = spent_part(past)
    assert row_of(part.rows, "Heating")[0] == "372 kWh"
    assert row_of(part.rows, "Cost of heating")[0] == "€37"
    assert row_of(part.rows, "Together")[0] == "€56"
    assert part.unknown == ()


def test_it_says_which_prices_and_readings_are_lacking():
    log = settled(heater=HEATER)
    log.write("feed", log.at(date(2026, 5, 3)), feed_g=100)
    log.write("water_change", log.at(date(2026, 5, 3)), volume_l=800)
    assert spent_part(log.past(MAY)).unknown == (
        "What the heater took is not known for 31 days: its counter was not read.",
        "What a kWh costs is not known: no tariff is set.",
        "What the food cost is not known: no price is set for it.",
        "What the water and the buffer cost is not known here.",
    )


def test_before_the_pond_was_told_of_nothing_is_known_to_have_run():
    log = settled(date(2026, 5, 12), inflow_l_per_day=100, appliances=[{"name": "Pump", "power_w": 100}])
    part = spent_part(log.past(MAY))
    assert row_of(part.rows, "Water trickled in") == ("2.0 m³",)
    assert row_of(part.rows, "Pumps") == ("48 kWh",)
    assert part.unknown[0] == "Pumps and trickle count from 12 May 2026, when the pond was first told of."
