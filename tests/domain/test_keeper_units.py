"""Sentences speak in the keeper's units."""

from datetime import timedelta

import pytest
from written_log import NOW, Log, jobs_of, starter

from evenwater.domain.fold import fold
from evenwater.domain.keeper_units import change_number, level_words, unit_for, with_unit
from evenwater.domain.pond import Pond
from evenwater.domain.water.page import water_of

STORED = Pond(id="main")
CACO3 = Pond(id="main", units={"kh_dkh": "mg/L as CaCO₃", "temperature_c": "°F"})


def test_a_level_is_told_in_the_unit_chosen():
    assert level_words(STORED, "kh_dkh", 5.0) == "5 °dKH"
    # 1 °dKH is 17.848 mg/L as CaCO3; 20 °C are 68 °F by definition.
    assert level_words(CACO3, "kh_dkh", 5.0) == "89.24 mg/L as CaCO₃"
    assert level_words(CACO3, "temperature_c", 20.0) == "68 °F"
    assert level_words(CACO3, "ph", 7.5) == "7.5"


def test_a_change_has_no_offset_and_as_many_decimals_as_tell_as_much():
    assert change_number(CACO3, "temperature_c", 1.0, 1) == "1.8"
    assert change_number(CACO3, "kh_dkh", 0.214, 2) == "3.8"
    assert change_number(STORED, "kh_dkh", 0.214, 2) == "0.21"
    meq = Pond(id="main", units={"kh_dkh": "meq/L"})
    assert change_number(meq, "kh_dkh", 0.214, 2) == "0.076"


def test_a_unit_nobody_knows_is_passed_over():
    assert unit_for(Pond(id="main", units={"kh_dkh": "spoons"}), "kh_dkh").unit == "°dKH"
    assert with_unit("7.5", "") == "7.5"


@pytest.mark.parametrize("units", [{}, {"kh_dkh": "mg/L as CaCO₃"}])
def test_no_sentence_of_the_water_or_the_dose_speaks_in_another_unit_than_the_keeper_s(units):
    log = Log()
    log.pond(volume_l=20_000, inflow_l_per_day=400, source_kh_dkh=1.0, units=units)
    log.job(starter("buffer"))
    for day in range(12, 0, -2):
        log.kh(4.0 + 0.1 * day, NOW - timedelta(days=day))
    known = fold(log.entries)
    page = water_of(known, known.ponds(NOW.date())[0], NOW.date(), NOW, [], ())
    said = [one.says for one in page.trends] + [one.why for one in page.judged]
    said += [cell for one in page.findings for row in one.rows for cell in row]
    job = jobs_of(log.plan(), 0, "buffer")[0]
    said += [job.reason, job.chart.limit_reason]
    unit = units.get("kh_dkh", "°dKH")
    assert sum(unit in one for one in said) >= 4
    assert unit == "°dKH" or not [one for one in said if "°dKH" in one]
