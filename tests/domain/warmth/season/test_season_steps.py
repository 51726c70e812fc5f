"""The dates of a step-down and a step-up."""

from datetime import date

import pytest
from msgspec.structs import replace

from evenwater.domain.errors import OutOfRange
from evenwater.domain.kit import SeasonSteps
from evenwater.domain.warmth.season.season_steps import dated_settings

DOWN = SeasonSteps(from_c=18, to_c=12, starts_on=date(2026, 10, 25))


def told(steps: SeasonSteps) -> list[tuple[str, float]]:
    return [(one.on.isoformat(), one.setpoint_c) for one in dated_settings(steps)]


def test_a_step_down_goes_a_degree_every_three_days_over_the_change_of_the_clock():
    assert told(DOWN) == [
        ("2026-10-25", 18),
        ("2026-10-28", 17),
        ("2026-10-31", 16),
        ("2026-11-03", 15),
        ("2026-11-06", 14),
        ("2026-11-09", 13),
        ("2026-11-12", 12),
    ]


def test_a_step_up_at_two_and_a_half_days_is_never_sooner_than_agreed():
    up = SeasonSteps(from_c=12, to_c=14, starts_on=date(2028, 2, 27), degrees_per_step=0.5, days_per_step=2.5)
    assert told(up) == [
        ("2028-02-27", 12),
        ("2028-03-01", 12.5),
        ("2028-03-03", 13),
        ("2028-03-06", 13.5),
        ("2028-03-08", 14),
    ]


def test_the_last_step_takes_what_is_left():
    assert [at for _, at in told(replace(DOWN, to_c=16.3, degrees_per_step=0.7))] == [18, 17.3, 16.6, 16.3]


def test_from_a_setting_to_itself_is_one_setting():
    assert told(replace(DOWN, to_c=18)) == [("2026-10-25", 18)]


def test_tenths_add_up_without_a_step_too_many():
    settings = told(replace(DOWN, to_c=17, degrees_per_step=0.1, days_per_step=1))
    assert len(settings) == 11
    assert settings[3] == ("2026-10-28", 17.7)


@pytest.mark.parametrize(
    ("quantity", "value"),
    [("from_c", 33), ("to_c", 0.5), ("degrees_per_step", 3.1), ("days_per_step", 0.9), ("from_c", float("nan"))],
)
def test_what_lies_outside_a_range_is_refused_by_name(quantity, value):
    with pytest.raises(OutOfRange) as refused:
        dated_settings(replace(DOWN, **{quantity: value}))
    assert refused.value.where == quantity
