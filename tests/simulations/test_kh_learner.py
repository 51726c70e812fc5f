"""The KH learner against ponds finer than its model: 100, `--long` 1,000; `--seed N` for others; -s shows the tables.

A keeper follows the plan for half a year: kit rounding, a biased reader, missed tests, two weeks away, doses nobody
wrote down, points in the wrong place, feeding that pauses, a season's warmth, volume and trickle off by 10 and 20 %.
"""

import statistics

import pytest
from kh_figures import HEAD, covered, ponds_below, reads_as_foretold, run, table, told, tomorrow_ratio
from kh_trial import EVERY_DAYS, STEPS, Outcome


@pytest.fixture(scope="module")
def outcomes(request: pytest.FixtureRequest) -> list[Outcome]:
    seed = int(request.config.getoption("--seed"))
    ponds = 1000 if request.config.getoption("--long") else 100
    found = run(ponds, seed)
    print(f"\n{ponds} ponds, seed {seed}; loss in °dKH a day, tomorrow's error (rms) in °dKH", HEAD, sep="\n")
    for row in table(found):
        print(row)
    return found


@pytest.mark.parametrize("well_known", [True, False])
def test_the_band_of_the_loss_holds_it_about_nine_times_in_ten_and_is_narrow(outcomes, well_known):
    evenings = told(outcomes, well_known)
    # Nine in ten are promised; where volume and trickle are known well it is a little wide, for nobody can tell it so.
    assert 0.85 <= covered(evenings) <= 0.985
    assert 2 * statistics.median(one.loss_half_width for one, _ in evenings) <= (0.13 if well_known else 0.15)
    for every in EVERY_DAYS:
        assert covered([pair for pair in evenings if pair[0].every_days == every]) >= 0.80


def test_few_ponds_are_misjudged_for_good(outcomes):
    assert ponds_below(outcomes, 0.75) <= 0.20


def test_tomorrow_s_kh_is_foretold_better_than_by_simple_guesses(outcomes):
    often = [pair for pair in told(outcomes) if pair[0].every_days <= 3]
    weekly = [pair for pair in told(outcomes) if pair[0].every_days == 7]
    print(
        f"against the better simple guess: often read {tomorrow_ratio(often):.2f}, weekly {tomorrow_ratio(weekly):.2f}"
    )
    assert tomorrow_ratio(often) <= 0.8
    assert tomorrow_ratio(weekly) <= 0.9


def test_the_level_is_known_better_than_by_the_last_reading(outcomes):
    ours = statistics.fmean(abs(one.level_error) for one, _ in told(outcomes))
    last = statistics.fmean(abs(one.last_error) for one, _ in told(outcomes))
    print(f"mean error of the level {ours:.3f}, of the last reading {last:.3f}")
    assert ours <= 0.75 * last


@pytest.mark.parametrize("step", STEPS)
def test_the_next_reading_is_the_rounded_forecast_nearly_as_often_as_can_be(outcomes, step):
    evenings = told(outcomes)
    ours, best = reads_as_foretold(evenings, step), reads_as_foretold(evenings, step, "truth")
    print(f"kit step {step:g}: the rounded forecast is read {ours:.2f}, the rounded truth {best:.2f}")
    assert ours >= 0.85 * best


def test_the_limit_on_the_rise_is_passed_on_no_evening(outcomes):
    print(
        f"real rise at most {max(one.real_rise_share for one in outcomes):.2f} of the limit (unwritten doses, volume)"
    )
    assert max(one.rise_share for one in outcomes) <= 1.0 + 1e-9
