"""The pond as it was set on any date."""

from datetime import date

from evenwater.domain.fold import fold
from evenwater.domain.report.held import Held

from .season_log import settled


def test_a_setting_holds_from_its_date_on_and_not_before():
    log = settled(inflow_l_per_day=100)
    at = log.at(date(2026, 6, 1))
    log.write("set", at, target="pond", field="inflow_l_per_day", value=300, effective_from="2026-06-01")
    known = fold(log.entries)
    held = Held(known, known.ponds(date(2026, 11, 1))[0])
    flows = [held.on(on).inflow_l_per_day for on in (date(2020, 1, 1), date(2026, 5, 31), date(2026, 6, 1))]
    assert flows == [100, 100, 300]
