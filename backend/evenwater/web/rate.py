"""How often one peer may ask.

A bucket per key holds up to `capacity` tokens and gains `refill_per_s` a second; each call takes one. The caller
brings the clock, so tests wait for nothing and a clock that is set back only stops the refill for a while.
"""

from collections import OrderedDict
from dataclasses import dataclass


@dataclass
class _Bucket:
    tokens: float
    at_s: float


class TokenBuckets:
    """Buckets by key, at most `max_keys` of them: the one unused longest makes room, and starts full if it returns."""

    def __init__(self, capacity: int, refill_per_s: float, max_keys: int = 10_000) -> None:
        self._capacity, self._refill_per_s, self._max_keys = capacity, refill_per_s, max_keys
        self._buckets: OrderedDict[str, _Bucket] = OrderedDict()

    def __len__(self) -> int:
        return len(self._buckets)

    def take(self, key: str, now_s: float) -> float:
        """Take one token. Gives 0 to go on, or the seconds [s] until there is one; nothing is taken then."""
        bucket = self._buckets.setdefault(key, _Bucket(self._capacity, now_s))
        self._buckets.move_to_end(key)
        if len(self._buckets) > self._max_keys:
            self._buckets.popitem(last=False)
        gained = max(0.0, now_s - bucket.at_s) * self._refill_per_s
        bucket.tokens, bucket.at_s = min(self._capacity, bucket.tokens + gained), now_s
        if bucket.tokens < 1.0:
            return (1.0 - bucket.tokens) / self._refill_per_s
        bucket.tokens -= 1.0
        return 0.0
