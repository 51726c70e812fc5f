"""Samples that were sent, one by one: what is new is kept in one transaction, what cannot be is named.

A refused sample holds up no other, and the call succeeds all the same: whoever sent it may forget all of it. A value
that stands there already with another value stays as it was sent first.
"""

import json
from collections.abc import Collection, Iterable, Iterator
from datetime import datetime
from typing import Any, cast

import msgspec
from msgspec import Struct

from evenwater.domain.errors import DomainError, require_one_of
from evenwater.domain.warmth.sample_table import SentSample
from evenwater.domain.warmth.series import check_sample, series_name
from evenwater.storage.database import Database
from evenwater.storage.samples import Fate, Sample, keep_samples
from evenwater.web.errors import Problem, problem_of

Read = tuple[int, SentSample | DomainError | msgspec.ValidationError]
_NAMED_AT_MOST = 500


class RefusedSample(Struct, frozen=True):
    """Which sample was refused, and why. `index`: its place in `samples` from 0; of a table its line from 1."""

    index: int
    code: str
    what: str
    where: str
    right: str


class SampleAnswer(Struct, frozen=True):
    """What became of all that was sent. `refused` names the first 500 of `refused_count`."""

    accepted: int
    already: int
    refused_count: int
    refused: list[RefusedSample]


def read_json(body: bytes) -> Iterator[Read]:
    """One sample, or {"samples": [...]}; a broken one among several is named and the others are read.

    Raises:
        msgspec.MsgspecError, UnicodeDecodeError: neither.
    """
    found = _decoded(body)
    if isinstance(found, dict) and set(cast(dict[str, Any], found)) == {"samples"}:
        samples = msgspec.convert(found["samples"], list[Any])
    else:
        samples = [msgspec.convert(found, dict[str, Any])]
    return ((index, _sample(one)) for index, one in enumerate(samples))


def _decoded(body: bytes) -> Any:
    try:
        return msgspec.json.decode(body)
    except msgspec.DecodeError as error:
        # A probe that has come loose is NaN to many loggers, and they write it so; the others are still to be read.
        try:
            found = json.loads(body)
            json.dumps(found, ensure_ascii=False).encode()  # halves of characters are in no text
            return found
        except ValueError:
            raise error from None


def _sample(one: Any) -> SentSample | msgspec.ValidationError:
    try:
        return msgspec.convert(one, SentSample)
    except msgspec.ValidationError as error:
        return error


async def keep_sent(
    database: Database, pond: str, allowed: Collection[str], read: Iterable[Read], now: datetime
) -> SampleAnswer:
    """Keep what can be kept of a pond's samples, all of it or, when the disk fails, none.

    Raises:
        StorageUnavailable: nothing was kept.
    """
    good: list[tuple[int, Sample]] = []
    refused: list[RefusedSample] = []
    for index, one in read:
        try:
            good.append((index, _checked(pond, allowed, one, now)))
        except (DomainError, msgspec.ValidationError) as error:
            refused.append(_refused(index, problem_of(error)))
    fates = await keep_samples(database, [sample for _, sample in good])
    for (index, sample), fate in zip(good, fates, strict=True):
        if fate.verdict == "refused":
            refused.append(_refused(index, _other_value(sample, fate)))
    verdicts = [fate.verdict for fate in fates]
    refused.sort(key=lambda one: one.index)
    return SampleAnswer(verdicts.count("accepted"), verdicts.count("already"), len(refused), refused[:_NAMED_AT_MOST])


def _checked(
    pond: str, allowed: Collection[str], one: SentSample | DomainError | msgspec.ValidationError, now: datetime
) -> Sample:
    if isinstance(one, Exception):
        raise one
    require_one_of("series", one.series[:60], allowed)
    check_sample(one.series, one.at, one.value, now)
    return Sample(series_name(pond, one.series), one.at, one.value)


def _refused(index: int, problem: Problem) -> RefusedSample:
    return RefusedSample(index, problem.code, problem.what, problem.where, problem.right)


def _other_value(sample: Sample, fate: Fate) -> Problem:
    return Problem(
        "other_value",
        f"{sample.series.partition('/')[2]} has another value at that time",
        "value",
        f"{fate.kept:.10g}, as it was sent first",
    )
