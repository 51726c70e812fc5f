"""Forecasts of the span in the track record."""

from datetime import date

from evenwater.domain.book.outlook import PondBook, Score, ScoreRow
from evenwater.domain.report.foretold import forecasts_part

from .season_log import settled


def test_only_days_of_the_span_count():
    days = (date(2026, 9, 28), date(2026, 9, 30), date(2026, 10, 2))
    rows = tuple(ScoreRow(on, 4.0, 5.0, 6.0, 5.0 + nth) for nth, on in enumerate(days))
    score = Score(
        subject="trend/kh_dkh", title="KH", unit="°dKH", rows=rows, bias=0, typical_error=0, inside=0,
        model_versions=("1",), says="",
    )  # fmt: skip
    part = forecasts_part(settled().past(book=PondBook(pond="main", tag="", scores=(score,))))
    assert part.rows == (("KH", "2 of 2", "0.5 °dKH"),)


def test_a_time_that_is_not_in_the_record_is_said():
    assert "No forecast of this time" in forecasts_part(settled().past()).unknown[0]
