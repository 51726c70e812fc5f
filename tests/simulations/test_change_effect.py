"""Did it help, against works and readings whose truth is known: how often it claims what is not, and sees what is.

A hundred histories each, thirty where every day is looked at; `--long` a thousand and five hundred; `--seed N` for
others; -s shows the tables. The limits are those of the long run; few draws scatter, so the short run's are wider by
two standard deviations of the draw.

Claimed is at 0.98 at one look fixed beforehand, and as the page does, which is looked at daily.
"""

import numpy as np
import pytest
from gap_trial import (
    IRREGULAR,
    LAWS,
    MEAN_DAYS,
    REGULAR,
    claims,
    daily,
    history,
    looked_at,
    noted_because_it_was_long,
    seen_by,
    shown,
)
from reading_trial import COURSES, last_look, looks
from reading_trial import claims as claims_step
from schedule_trial import compared, widened

from evenwater.domain.learn.gap_grid import next_run
from evenwater.domain.learn.learned_interval import held_of

AT_ONE_LOOK = 0.98
ONE_LOOK_AFTER = round(5 * MEAN_DAYS)


@pytest.fixture
def count(full_size: bool) -> int:
    return 1000 if full_size else 100


@pytest.fixture
def few(full_size: bool) -> int:
    """Where every day is looked at."""
    return 500 if full_size else 30


def at_most(share: float, count: int) -> float:
    """A limit on a share, with two standard deviations of so few draws where the run is short."""
    return share if count >= 500 else share + 2.0 * (share * (1.0 - share) / count) ** 0.5


def at_least(share: float, count: int) -> float:
    return share if count >= 500 else share - 2.0 * (share * (1.0 - share) / count) ** 0.5


def one_look(seed: int, count: int, law: str, services: int, ratio: float, *, mid_run: bool) -> tuple[float, float]:
    """Share of histories with a claim five old intervals after the change: at one look, and as the page claims."""
    chance, found = np.random.default_rng(seed), []
    for _ in range(count):
        told = history(LAWS[law], chance, services, ratio, mid_run=mid_run)
        found.append(looked_at(told, told.change + ONE_LOOK_AFTER))
    at_one_look = np.mean([claims(one, AT_ONE_LOOK) for one in found])
    return float(at_one_look), float(np.mean([shown(one) for one in found]))


@pytest.mark.parametrize("services", (6, 10))
@pytest.mark.parametrize("law", LAWS)
def test_at_one_look_a_change_that_did_nothing_is_seldom_claimed(seed, count, law, services):
    for mid_run in (False, True):
        shares = one_look(seed, count, law, services, 1.0, mid_run=mid_run)
        where = "in mid-run" if mid_run else "at a service"
        print(
            f"\nnothing, {law}, {services}, {where}: {shares[0]:.3f} at 0.98, {shares[1]:.3f} on the page",
            end="",
        )
        assert shares[0] <= at_most(0.065, count)


@pytest.mark.parametrize("services, regular, irregular", ((6, 0.30, 0.15), (10, 0.50, 0.15)))
def test_a_tripling_is_seen_after_five_old_intervals(seed, count, services, regular, irregular):
    for law in LAWS:
        shares = one_look(seed, count, law, services, 3.0, mid_run=False)
        mid = one_look(seed, count, law, services, 3.0, mid_run=True)
        print(
            f"\ntripled, {law}, {services}: {shares[0]:.2f} at 0.98, {shares[1]:.2f} on the page; "
            f"changed in mid-run {mid[0]:.2f}, {mid[1]:.2f}",
            end="",
        )
        assert law in IRREGULAR + REGULAR
        assert shares[0] >= at_least(regular if law in REGULAR else irregular, count)


@pytest.mark.parametrize("services", (6, 10))
@pytest.mark.parametrize("law", LAWS)
def test_one_who_looks_every_day_is_seldom_ever_told_of_a_change_that_did_nothing(seed, few, law, services):
    chance, ever, ever_by_one_look = np.random.default_rng(seed), 0, 0
    for _ in range(few):
        told = history(LAWS[law], chance, services, 1.0)
        seen = [both for _, both in daily(told, 7)]
        ever += any(shown(both) for both in seen)
        ever_by_one_look += any(claims(both, AT_ONE_LOOK) for both in seen)
    print(
        f"\ndaily, {law}, {services}: ever {ever / few:.3f} on the page, {ever_by_one_look / few:.3f} at 0.98", end=""
    )
    assert ever / few <= at_most(0.05, few)


@pytest.mark.parametrize("law", LAWS)
def test_a_note_written_because_the_run_was_long_is_never_claimed_in_that_run(seed, few, law):
    chance = np.random.default_rng(seed)
    naive = in_run = later = 0
    for _ in range(few):
        told, noted = noted_because_it_was_long(LAWS[law], chance, 8)
        next_service = min(day for day in told.done if day >= noted)
        naive += any(shown(looked_at(told, day)) for day in range(noted, next_service))
        seen = list(daily(told, 7, noted))
        in_run += any(day < next_service for day, _ in seen)
        later += any(shown(both) for _, both in seen)
    print(
        f"\nnoted late, {law}: judged at once {naive / few:.3f}, in that run {in_run}, ever after {later / few:.3f}",
        end="",
    )
    assert in_run == 0
    assert naive > 0, "there was nothing to resist"
    assert later / few <= at_most(0.05, few)


@pytest.mark.parametrize("puts_off", (False, True), ids=["by the day it is due", "by need"])
@pytest.mark.parametrize("law", LAWS)
def test_a_wider_interval_is_not_taken_for_a_longer_lasting_work(seed, count, law, puts_off):
    chance, ours, naive = np.random.default_rng(seed), [], []
    for _ in range(count):
        counted, all_by_need = widened(LAWS[law], chance, 12, puts_off=puts_off)
        ours.append(claims(compared(counted), AT_ONE_LOOK))
        naive.append(claims(compared(all_by_need), AT_ONE_LOOK))
    print(f"\nwidened, {law}, puts off {puts_off}: {np.mean(ours):.3f}; every run by need {np.mean(naive):.3f}", end="")
    assert np.mean(ours) <= at_most(0.065, count)


@pytest.mark.parametrize("law", LAWS)
def test_about_half_of_the_next_runs_end_within_the_learned_range(seed, count, law):
    chance, inside, earlier = np.random.default_rng(seed), [], []
    for _ in range(count):
        told = history(LAWS[law], chance, 8, 1.0)
        low, high = next_run(held_of(seen_by(told, told.change)), (0.25, 0.75))
        need = LAWS[law](chance, MEAN_DAYS)
        inside.append(low <= need <= high)
        earlier.append(need < low)
    print(f"\nnext run, {law}: inside {np.mean(inside):.3f}, before {np.mean(earlier):.3f}", end="")
    # Half and a quarter would be exact. A work of pure chance is less regular than the prior of the shape expects, and
    # eight runs do not teach it: there the range holds two in five. Of a regular work it is somewhat too wide.
    assert at_least(0.40, count) <= np.mean(inside) <= at_most(0.68, count)
    assert np.mean(earlier) <= at_most(0.35, count)


@pytest.mark.parametrize("every_days", (1, 3))
@pytest.mark.parametrize("course", COURSES)
def test_readings_of_a_pond_nothing_was_done_to_are_seldom_ever_said_to_have_stepped(seed, few, course, every_days):
    chance, ever, seen = np.random.default_rng(seed), 0, 0
    for _ in range(few):
        ever += any(claims_step(found) for found in looks(COURSES[course], chance, every_days, 0.0))
        seen += claims_step(last_look(COURSES[course], chance, every_days, 3.0))
    print(f"\nreadings, {course}, every {every_days}: ever {ever / few:.3f}, a step of 3 seen {seen / few:.2f}", end="")
    assert ever / few <= at_most(0.05, few)
