"""How heavy a day is."""

import pytest
from domain.rounds.rounds_jobs import a_job

from evenwater.domain.rounds.walk.load import load_of


@pytest.mark.parametrize(
    ("minutes", "load"), [(0, "light"), (29, "light"), (30, "usual"), (74, "usual"), (75, "heavy")]
)
def test_a_day_is_as_heavy_as_its_minutes(minutes, load):
    assert load_of([a_job("a", minutes=minutes)]) == (minutes, load)


def test_only_what_is_wanted_counts():
    states = ("stood_down", "held_back", "not_known")
    assert load_of([a_job("a", minutes=5), *(a_job("b", minutes=50, state=state) for state in states)])[0] == 5


def test_a_day_without_jobs_is_light():
    assert load_of([]) == (0, "light")
