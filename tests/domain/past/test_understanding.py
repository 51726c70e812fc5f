"""What a table is taken for: columns by their words and numbers, units by header or size."""

import pytest

from evenwater.domain.past.header_words import hear
from evenwater.domain.past.meanings import meanings
from evenwater.domain.past.table import Row
from evenwater.domain.past.understanding import Choices, ColumnChoice, Understanding, understand


def understood(head: list[str], *rows: list[str], choices: Choices | None = None) -> Understanding:
    table = [Row(number, cells) for number, cells in enumerate([head, *rows], 1)]
    return understand(";", table, choices or Choices(), meanings(40, 16_000))


def column(head: str, *cells: str) -> tuple[str, str, bool]:
    found = understood(["Date", head], *([f"{day}.3.2026", cell] for day, cell in enumerate(cells, 10))).columns[1]
    return found.meaning, found.unit, found.sure


@pytest.mark.parametrize(
    ("header", "meaning", "unit"),
    [
        ("Datum", "date", ""),
        ("Uhrzeit", "time", ""),
        ("KH", "kh_dkh", ""),
        ("Karbonathärte [°dH]", "kh_dkh", "°dKH"),
        ("Alkalinity ppm", "kh_dkh", "mg/L as CaCO₃"),
        ("GH (mmol/l)", "gh_dgh", "mmol/L"),
        ("pH-Wert", "ph", ""),
        ("Wassertemp. (°F)", "temperature_c", "°F"),
        ("NO2-N", "nitrite_n_mg_per_l", "mg/L as N"),
        ("Nitrat (mg/l NO3)", "nitrate_n_mg_per_l", "mg/L as NO₃"),
        ("NH3/NH4", "tan_mg_n_per_l", ""),
        ("Leitwert µS/cm", "ec25_us_per_cm", "µS/cm"),
        ("Gesamtchlor mg/l", "total_chlorine_ug_per_l", "mg/L"),
        ("free chlorine µg/L", "free_chlorine_ug_per_l", "µg/L"),
        ("Chlorid", "chloride_mg_per_l", ""),
        ("Sauerstoff mg/l", "oxygen_mg_per_l", "mg/L"),
        ("O2 %", "left_out", ""),
        ("Natron (Kappen)", "dose_g", "capfuls"),
        ("Wasserwechsel in %", "water_change_l", "% of the pond"),
        ("Futter kg", "feed_g", "kg"),
        ("Salz kg", "salt_g", "kg"),
        ("Salinity ppt", "salinity_g_per_l", "g/L"),
        ("Lufttemperatur °C", "air_temperature_c", "°C"),
        ("Luftfeuchte %", "relative_humidity_fraction", "%"),
        ("Heizung Zähler", "heater_meter_kwh", ""),
        ("KH Soll", "left_out", ""),
        ("Bemerkungen", "note", ""),
        ("kh_dkh", "kh_dkh", "°dKH"),
    ],
)
def test_headers_are_heard(header: str, meaning: str, unit: str) -> None:
    heard = hear(header)
    assert (heard.meaning, heard.unit) == (meaning, unit)


@pytest.mark.parametrize(
    ("header", "point"),
    [
        ("KH Leitungswasser", "mains"),
        ("Chlorine after carbon", "after_carbon"),
        ("EC permeate", "after_membrane"),
        ("Luft Filterhaus", "filter_house"),
    ],
)
def test_where_the_water_was_taken_is_heard(header: str, point: str) -> None:
    assert hear(header).point == point


def test_a_header_below_title_lines_is_found_and_none_is_made_up() -> None:
    told = understood(["My pond", ""], ["", ""], ["Date", "KH"], ["3.3.2026", "5"])
    assert (told.header_line, told.first_line) == (3, 4)
    bare = understood(["3.3.2026", "5"], ["4.3.2026", "5"])
    assert (bare.header_line, bare.first_line) == (None, 1)
    assert [one.meaning for one in bare.columns] == ["date", "left_out"]


@pytest.mark.parametrize(
    ("header", "cells", "unit", "sure"),
    [
        ("KH", ["5", "6", "5.5"], "°dKH", True),
        ("KH", ["89", "98", "107"], "mg/L as CaCO₃", False),
        ("KH °dKH", ["89", "98", "107"], "mg/L as CaCO₃", False),
        ("KH", ["5", "5", "5", "5", "60"], "°dKH", True),
        ("Temp", ["54", "60", "58"], "°F", False),
        ("Temp °C", ["12", "14", "9"], "°C", True),
        ("Nitrate", ["20", "25", "30"], "mg/L as NO₃", False),
        ("Nitrite", ["0.1", "0.2"], "mg/L as NO₂", False),
        ("NO3-N", ["5", "6"], "mg/L as N", True),
        ("TAN", ["0.1", "0.2"], "mg/L as N", True),
        ("NH4", ["0.1", "0.2"], "mg/L as N", False),
        ("Chlorine", ["0.05", "0.02"], "mg/L", False),
        ("EC", ["0.42", "0.45", "0.4"], "mS/cm", False),
    ],
)
def test_a_silent_header_leaves_the_unit_to_the_size(header: str, cells: list[str], unit: str, sure: bool) -> None:
    assert column(header, *cells)[1:] == (unit, sure)


def test_a_second_column_of_the_same_is_left_out_and_asked_about() -> None:
    told = understood(["Date", "KH °dKH", "KH evening"], ["3.3.2026", "5", "6"]).columns
    assert [(one.meaning, one.sure) for one in told[1:]] == [("kh_dkh", True), ("left_out", False)]


def test_cells_that_are_not_what_the_header_says_are_left_out() -> None:
    assert column("KH", "good", "bad", "good") == ("left_out", "", False)
    assert column("pH", "", "-", "") == ("left_out", "", True)


def test_a_column_shows_its_own_decimal_sign_and_others_follow() -> None:
    told = understood(["Date", "KH", "EC"], ["3.3.2026", "5,5", "1.250"], ["4.3.2026", "6,5", "980"]).columns
    assert [one.decimal for one in told[1:]] == [",", ","]
    chosen = understood(["Date", "KH"], ["3.3.2026", "5,5"], choices=Choices(decimal=".")).columns
    assert chosen[1].decimal == "."


def test_a_chosen_point_holds_for_all_that_name_none() -> None:
    told = understood(["Date", "KH", "EC permeate"], ["3.3.2026", "5", "9"], choices=Choices(point="mains")).columns
    assert [one.point for one in told[1:]] == ["mains", "after_membrane"]


def test_what_was_chosen_is_sure() -> None:
    choices = Choices(columns={1: ColumnChoice("nitrate_n_mg_per_l", "mg/L as N")}, date_order="mdy")
    told = understood(["Date", "Test"], ["3/4/2026", "10"], choices=choices)
    assert (told.columns[1].unit, told.columns[1].sure, told.date_order, told.date_sure) == (
        "mg/L as N",
        True,
        "mdy",
        True,
    )
