"""The growth learner on fish whose truth is known: how often its bands hold it, and how wide they are."""

import numpy as np
import pytest
from growth_truth import TrueFish, grown_fish

from evenwater.domain.fish.growth import GrowthCurve


@pytest.fixture(scope="module")
def trial(request):
    """(fish, what was learned of it)."""
    many = 1000 if request.config.getoption("--long") else 100
    chance = np.random.default_rng(int(request.config.getoption("--seed")))
    fish = [grown_fish(chance) for _ in range(many)]
    return [(one, GrowthCurve(one.points)) for one in fish]


def share(told: list[bool]) -> float:
    return sum(told) / len(told)


def slack(trial: list[object]) -> float:
    """What chance alone may take off either side: of a hundred fish two standard deviations are six in a hundred."""
    return 0.06 if len(trial) < 500 else 0.0


def test_the_end_length_lies_in_its_band_nine_times_in_ten(trial):
    inside = [one.l_inf_cm().low <= fish.l_inf_cm <= one.l_inf_cm().high for fish, one in trial]
    assert 0.85 - slack(trial) <= share(inside) <= 0.95 + slack(trial) / 2


def test_the_rate_lies_in_its_band_nine_times_in_ten(trial):
    inside = [one.k_per_year().low <= fish.k_per_year <= one.k_per_year().high for fish, one in trial]
    assert 0.85 - slack(trial) <= share(inside) <= 0.95 + slack(trial) / 2


def test_the_next_length_lies_where_it_was_foreseen_nine_times_in_ten(trial):
    def inside(fish: TrueFish, curve: GrowthCurve) -> bool:
        foreseen = curve.foresee(fish.next_years, (0.4**2 + (0.01 * fish.next_cm) ** 2) ** 0.5)
        return abs(fish.next_cm - foreseen.middle) <= 1.645 * foreseen.sd

    assert 0.85 - slack(trial) <= share([inside(fish, curve) for fish, curve in trial]) <= 0.97


def test_with_more_sessions_the_bands_are_narrower(trial):
    def width(few: bool) -> float:
        chosen = [one for fish, one in trial if (len(fish.points) <= 6) == few]
        return float(np.median([one.l_inf_cm().high - one.l_inf_cm().low for one in chosen]))

    assert width(few=False) < 0.9 * width(few=True)


def test_the_learned_rate_is_nearer_than_what_koi_do_in_general(trial):
    learned = [abs(np.log(one.k_per_year().middle / fish.k_per_year)) for fish, one in trial]
    before = [abs(np.log(0.24 / fish.k_per_year)) for fish, _ in trial]
    assert float(np.median(learned)) < 0.8 * float(np.median(before))
