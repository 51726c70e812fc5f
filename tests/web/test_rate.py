from hypothesis import given
from hypothesis.strategies import floats, lists, sampled_from, tuples

from evenwater.web.rate import TokenBuckets


def test_a_full_bucket_gives_its_capacity_and_then_says_how_long_to_wait():
    buckets = TokenBuckets(capacity=3, refill_per_s=0.5)
    assert [buckets.take("a", 100.0) for _ in range(4)] == [0.0, 0.0, 0.0, 2.0]


def test_after_the_wait_it_said_there_is_exactly_one_more():
    buckets = TokenBuckets(capacity=1, refill_per_s=0.5)
    assert buckets.take("a", 100.0) == 0.0
    wait_s = buckets.take("a", 100.5)
    assert wait_s == 1.5
    assert buckets.take("a", 100.5 + wait_s) == 0.0
    assert buckets.take("a", 100.5 + wait_s) == 2.0


def test_being_refused_costs_nothing():
    buckets = TokenBuckets(capacity=1, refill_per_s=1.0)
    assert buckets.take("a", 0.0) == 0.0
    assert {buckets.take("a", 0.0) for _ in range(50)} == {1.0}


def test_one_key_does_not_slow_another():
    buckets = TokenBuckets(capacity=1, refill_per_s=1.0)
    assert buckets.take("a", 0.0) == 0.0
    assert buckets.take("a", 0.0) > 0.0
    assert buckets.take("b", 0.0) == 0.0


def test_a_long_rest_fills_a_bucket_to_its_capacity_and_no_further():
    buckets = TokenBuckets(capacity=2, refill_per_s=1.0)
    assert buckets.take("a", 0.0) == 0.0
    assert [buckets.take("a", 1e9) for _ in range(3)] == [0.0, 0.0, 1.0]


def test_a_clock_set_back_neither_fills_nor_locks_a_bucket():
    buckets = TokenBuckets(capacity=1, refill_per_s=1.0)
    assert buckets.take("a", 1000.0) == 0.0
    assert buckets.take("a", 10.0) == 1.0
    assert buckets.take("a", 11.0) == 0.0


def test_no_more_keys_are_kept_than_allowed_and_the_one_unused_longest_goes():
    buckets = TokenBuckets(capacity=1, refill_per_s=0.001, max_keys=2)
    for key in ("a", "b", "a", "c"):
        buckets.take(key, 0.0)
    assert len(buckets) == 2
    assert buckets.take("a", 0.0) > 0.0
    assert buckets.take("b", 0.0) == 0.0


@given(lists(tuples(sampled_from("abc"), floats(0.0, 50.0)), max_size=200))
def test_no_key_ever_passes_more_than_its_capacity_and_the_refill(calls):
    buckets = TokenBuckets(capacity=5, refill_per_s=0.2)
    for key in "abc":
        passed = [now for name, now in sorted(calls, key=lambda call: call[1]) if name == key]
        gone_on = [now for now in passed if buckets.take(key, now) == 0.0]
        assert len(gone_on) <= 5 + 0.2 * (max(passed, default=0.0) - min(passed, default=0.0)) + 1e-6
        assert len(gone_on) >= min(5, len(passed))
