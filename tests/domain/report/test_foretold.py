"""Forecasts of the span against what came, and those of a year before."""

from datetime import UTC, date, datetime, timedelta

from evenwater.domain.book.shown_records import Kept, MonthSpent, Shown, ShownDawn, ShownMonth
from evenwater.domain.report.foretold import forecasts_part
from evenwater.domain.water.outlook import Trend

from .season_log import SUMMER, row_of, settled

TARIFF = {"otherwise_rate_per_kwh": 0.3, "currency": "£"}


def foretold_kh(log, *days: date, middle: float = 5.0) -> list[Kept[Trend]]:
    """Each evening the next day's KH."""
    found = []
    for on in days:
        band = (log.at(on), middle - 0.5, middle, middle + 0.5)
        words = {"quantity": "kh_dkh", "point": "pond", "label": "KH", "unit": "°dKH", "says": ""}
        trend = Trend(**words, past=(), forecast=(band,), wanted=(None, None))
        found.append(Kept(log.at(on - timedelta(days=1), 18), "kh-1", trend))
    return found


def test_forecasts_of_both_spans_stand_side_by_side():
    log = settled()
    days = [date(2025, 6, 1), *(date(2026, 6, day) for day in (1, 2, 3)), date(2026, 10, 9)]
    for on, value in zip(days, (5.1, 5.0, 5.2, 6.0, 9.0), strict=True):
        log.read("kh_dkh", on, value)
    part = forecasts_part(log.past(foretold=Shown(trends={"kh_dkh": foretold_kh(log, *days)})))
    assert part.columns[1:4] == ("within the band 2026", "typically off by", "within the band 2025")
    assert row_of(part.rows, "KH") == ("2 of 3", "0.20 °dKH", "1 of 1", "0.10 °dKH")


def test_a_dawn_is_met_by_what_the_probe_sent():
    log = settled(warm_low_c=12)
    log.write("cover", log.at(date(2026, 5, 1), 18), covered_fraction=1.0)
    dawn = datetime(2026, 5, 2, 4, 30, tzinfo=UTC)
    kept = Kept(log.at(date(2026, 5, 1), 18), "heat-1", ShownDawn(dawn_at=dawn, covered=(13.0, 13.5, 14.0)))
    part = forecasts_part(log.past(foretold=Shown(dawns=[kept]), hours=[(datetime(2026, 5, 2, 4, tzinfo=UTC), 13.8)]))
    assert row_of(part.rows, "Water at dawn") == ("1 of 1", "0.30 °C")


def test_a_month_s_cost_is_told_in_money():
    log = settled(tariff=TARIFF)
    month = date(2026, 5, 1)
    shown = ShownMonth(month=month, band=(30.0, 40.0, 50.0), currency="£")
    spent = Kept(log.at(date(2026, 6, 1)), "1", MonthSpent(month=month, cost=55.0, metered=True))
    foretold = Shown(months=[Kept(log.at(date(2026, 5, 3)), "1", shown)], spent=[spent])
    assert row_of(forecasts_part(log.past(foretold=foretold)).rows, "Cost of a month") == ("0 of 1", "£15")


def test_a_time_without_any_is_said():
    part = forecasts_part(settled().past(SUMMER))
    assert (part.rows, part.unknown) == ((), ("No forecast of this time has met what was to come of it.",))
