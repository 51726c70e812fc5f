"""The order of a day's jobs: by part of the day, then as one walks, and what must come first before what waits for it.

Within a part one stays at a place until nothing there can be done any more. `after` holds within a part alone: between
parts the clock has decided already.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import get_args

from evenwater.domain.rounds.jobs import Job
from evenwater.domain.standing_job import DayPart, StandingJob

_PARTS: tuple[str, ...] = get_args(DayPart)
_Key = tuple[int, int, str, str]


def in_walking_order(
    jobs: Sequence[Job], standing: Mapping[str, StandingJob], places: Sequence[str]
) -> tuple[list[Job], tuple[str, ...]]:
    """One pond's jobs of a day as one walks them, and a sentence for each ring of jobs that wait for each other.

    Args:
        jobs: One pond's jobs of one date.
        standing: The rules that made them, by id.
        places: The keeper's places in walking order; others follow, by the first job there.
    """
    rank = _ranks(standing, places)

    def key(job: Job) -> _Key:
        rule = standing.get(job.standing_job)
        return rank.get(job.place, len(rank)), rule.order if rule else 0, job.standing_job, job.id

    walked: list[Job] = []
    said: dict[str, None] = {}
    for part in _PARTS:
        here = sorted((job for job in jobs if job.part == part), key=key)
        waits = _waits(here, standing)
        for ring in _rings(waits):
            said[_ring_words(ring, here)] = None
            for name in ring:
                waits[name] -= set(ring)
        walked += _walk(here, waits)
    return walked, tuple(said)


def _ranks(standing: Mapping[str, StandingJob], places: Sequence[str]) -> dict[str, int]:
    others = [rule.place for rule in sorted(standing.values(), key=lambda rule: (rule.order, rule.id))]
    return {place: nth for nth, place in enumerate(dict.fromkeys([*places, *others]))}


def _waits(here: Sequence[Job], standing: Mapping[str, StandingJob]) -> dict[str, set[str]]:
    """For each rule among these jobs, those of the others that come first."""
    names = dict.fromkeys(job.standing_job for job in here)
    return {
        name: {first for first in (standing[name].after if name in standing else ()) if first in names}
        for name in names
    }


def _rings(waits: Mapping[str, set[str]]) -> Iterator[tuple[str, ...]]:
    """Groups of names that wait for each other, or a name that waits for itself."""
    reach: dict[str, set[str]] = {}
    for name in waits:
        found: set[str] = set()
        ahead = list(waits[name])
        while ahead:
            here = ahead.pop()
            if here not in found:
                found.add(here)
                ahead += waits[here]
        reach[name] = found
    told: set[str] = set()
    for name in waits:
        if name in reach[name] and name not in told:
            ring = tuple(other for other in waits if other in reach[name] and name in reach[other])
            told.update(ring)
            yield ring


def _ring_words(ring: Sequence[str], here: Sequence[Job]) -> str:
    names = [next(job.name for job in here if job.standing_job == name) for name in ring]
    if len(names) == 1:
        return f"“{names[0]}” is set to come after itself: that is passed over."
    listed = ", ".join(f"“{name}”" for name in names[:-1])
    return f"{listed} and “{names[-1]}” are set to wait for each other: no order is kept between them."


def _walk(here: Sequence[Job], waits: Mapping[str, set[str]]) -> Iterator[Job]:
    left = list(here)
    place: str | None = None
    while left:
        undone = {job.standing_job for job in left}
        ready = [job for job in left if not waits[job.standing_job] & undone]
        following = next((job for job in ready if job.place == place), ready[0])
        place = following.place
        left.remove(following)
        yield following
