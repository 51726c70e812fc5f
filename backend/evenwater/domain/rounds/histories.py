"""Which standing jobs need all their ticks, however old: where an interval is learned, or a change is to be judged."""

from datetime import date

from evenwater.domain.entries import Change
from evenwater.domain.fold import Known
from evenwater.domain.standing_job import AfterDone


def jobs_with_history(known: Known, on: date) -> frozenset[tuple[str, str]]:
    """(pond, standing job) of each, as the settings hold on that date."""
    learned = {
        (pond.id, job.id)
        for pond in known.ponds(on)
        for job in known.standing_jobs(pond.id, on)
        if isinstance(job.recur, AfterDone) and job.recur.learned
    }
    judged = {(one.entry.pond, job) for one in known.facts if isinstance(one.entry, Change) for job in one.entry.jobs}
    return frozenset(learned | judged)
