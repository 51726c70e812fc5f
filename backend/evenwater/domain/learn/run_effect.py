"""Whether a repeating work holds longer since a change: its runs before and after, the one under way counted.

- A change in mid-run starts the clock anew: up to it the run held, after it another one begins.
- What is shown is looked at daily, and whoever looks often enough sees anything once: longer or shorter is claimed with
  chances that hold under daily looks, whatever day it is.
- A change noted after the fact, or the next day in a run already longer than any before, may have been noted because
  the run was long. The run it was noted in is no evidence of longer runs then; it is described, and the next one tells.
  Nor may it be missing: it counts among those before, as held until the note, or only short ones are left there.
- One who stopped writing anything down has not seen a quiet run: it counts to the last day something was written.
"""

from bisect import bisect_left
from collections.abc import Sequence
from datetime import date
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.book.outlook import EffectLine, Found
from evenwater.domain.learn.gap_grid import Compared, Held, compare, quiet_days
from evenwater.domain.learn.gaps import MOST_RUNS, Gaps, Run
from evenwater.domain.learn.learned_interval import FEWEST_RUNS, count_words, range_words
from evenwater.domain.learn.span import Span
from evenwater.domain.workings import Given, Step, Workings

SURE_LONGER: Final = 0.993
SURE_SHORTER: Final = 0.997
"""Chances it takes to claim. With 0.99 both ways one who looks daily for seven intervals is told of a change that did
nothing in 8 of 100 irregular histories, with these in under 5 (tests/simulations/test_change_effect.py). Shorter takes
more, for short runs come in quick succession and each is another chance to err."""
_ALIKE_RATIO: Final = 1.5
"""Within this factor either way, nine times in ten, runs are called as long as before. Our own rule of thumb."""
_MOST_QUIET_DAYS: Final = 180
"""Nobody waits longer for an answer. Our own rule of thumb."""
_LEFT_OUT: Final = ", the run it was noted in left out"


class Sides(Struct, frozen=True, kw_only=True):
    """The runs on either side of a change; the one under way, `open_days` so far, stands apart from `after`.

    `leaves_days`: how much longer it can run before it is due; None where no calendar asks.
    """

    before: Held
    after: Held
    open_days: int | None = None
    leaves_days: int | None = None

    @property
    def since(self) -> Held:
        """All runs after the change, the one under way as held."""
        held = self.after.held + ((float(self.open_days),) if self.open_days else ())
        return Held(self.after.ended, held)


def run_effect(of: str, title: str, gaps: Gaps, span: Span) -> EffectLine:
    """What a work's runs say of a change.

    Args:
        of: "job/ID".
        title: The job's text.
        gaps: Its whole history.
        span: The change and where its histories begin and end.

    Returns:
        One sentence, with its workings.
    """
    if _noted_in_a_long_run(gaps, span):
        span = replace(span, noted_late=True)
    sides = sides_of(gaps, span)
    before = sides_of(gaps, replace(span, noted_late=False)).before if span.noted_late else sides.before
    if len(before.ended) < FEWEST_RUNS:
        return EffectLine(of=of, title=title, found="too_early", says=_too_few_before(before))
    told = _told_before(before)
    if not sides.since.ended and not sides.since.held:
        return EffectLine(
            of=of,
            title=title,
            found="described" if span.noted_late else "too_early",
            says=_nothing_since(told, gaps, span),
        )
    both = compare(sides.before, sides.since)
    found = found_in(both)
    if found == "too_early" and (span.last is not None or len(sides.after.ended) >= MOST_RUNS):
        found = "no_difference"
    says = f"{told}, {_told_since(sides)}{_LEFT_OUT if span.noted_late else ''}: {_verdict(found, both, sides)}."
    return EffectLine(of=of, title=title, found=found, says=says, workings=_workings(sides, both, span))


def found_in(both: Compared) -> Found:
    """The claim the chances allow to one who looks every day."""
    if both.longer > SURE_LONGER:
        return "longer"
    if both.longer < 1.0 - SURE_SHORTER:
        return "shorter"
    alike = both.low_ratio > 1.0 / _ALIKE_RATIO and both.high_ratio < _ALIKE_RATIO
    return "no_difference" if alike else "too_early"


def sides_of(gaps: Gaps, span: Span) -> Sides:
    """The history split at the change (at its note, where that came late), each side's nearest runs."""
    split = bisect_left(gaps.runs, span.fresh_on, key=lambda run: run.began_on)
    runs = list(gaps.runs[max(0, split - MOST_RUNS - 1) : split + MOST_RUNS + 1])
    if gaps.done_on is not None and split + MOST_RUNS >= len(gaps.runs):
        watched = max(0, min(gaps.watched_days, (span.seen_on - gaps.done_on).days))
        runs.append(Run(began_on=gaps.done_on, ended_on=date.max, days=watched, needed=False))
    before = [_before(run, span) for run in runs if span.first <= run.began_on < span.fresh_on]
    after = [piece for run in runs if (piece := _after(run, span)) is not None][: MOST_RUNS + 1]
    present = after.pop() if after and after[-1].ended_on == date.max else None
    return Sides(
        before=_held(before[-MOST_RUNS - 1 :]),
        after=_held(after[:MOST_RUNS]),
        open_days=None if present is None else present.days,
        leaves_days=None if present is None or gaps.asked_days is None else gaps.asked_days - gaps.watched_days,
    )


def _noted_in_a_long_run(gaps: Gaps, span: Span) -> bool:
    """Noted on a later day than it was made, with the run of that day longer already than any by need before."""
    if span.noted_on == span.on:
        return False
    begun = [run.began_on for run in gaps.runs] + ([] if gaps.done_on is None else [gaps.done_on])
    present = max((on for on in begun if on <= span.noted_on), default=span.noted_on)
    longest = max((run.days for run in gaps.runs if run.needed and run.ended_on <= span.on), default=0)
    return 0 < longest < (span.noted_on - present).days


def _before(run: Run, span: Span) -> Run:
    """A run that began before the split, up to it."""
    if run.ended_on <= span.fresh_on:
        return run
    return replace(run, days=min(run.days, (span.fresh_on - run.began_on).days), needed=False)


def _after(run: Run, span: Span) -> Run | None:
    """What of a run belongs to after the split: all of it, or what is left with the clock started anew."""
    begins = max(run.began_on, span.fresh_on)
    if run.ended_on <= span.fresh_on or begins > span.end:
        return None
    if run.began_on < span.fresh_on:
        if span.noted_late:
            return None
        run = replace(run, days=max(0, run.days - (begins - run.began_on).days))
    if span.last is not None and run.ended_on > span.last:
        return replace(run, days=min(run.days, (span.last - begins).days), needed=False, ended_on=span.last)
    return run


def _held(runs: Sequence[Run]) -> Held:
    days = [(float(run.days), run.needed) for run in runs if run.days > 0]
    return Held(tuple(one for one, needed in days if needed), tuple(one for one, needed in days if not needed))


def _usual_days(runs: Held) -> int:
    return max(1, round((sum(runs.ended) + sum(runs.held)) / len(runs.ended)))


def _every(days: int) -> str:
    return "every day" if days == 1 else f"every {days} days"


def _told_before(before: Held) -> str:
    words = _every(_usual_days(before))
    return f"{words[:1].upper()}{words[1:]} before ({count_words(len(before.ended))})"


def _told_since(sides: Sides) -> str:
    if not sides.after.ended:
        by_need = " by need" if sides.after.held else ""
        return f"none{by_need} in {int(sum(sides.since.held))} since"
    return f"{_every(_usual_days(sides.since))} since ({count_words(len(sides.after.ended))})"


def _too_few_before(before: Held) -> str:
    if len(before.held) > len(before.ended) + 1:
        return (
            f"Too few to compare: of the runs before it {len(before.held)} ended because it was due, "
            "which tells nothing of the pond."
        )
    return f"Too few to compare: {count_words(len(before.ended))} ended by need before it, {FEWEST_RUNS} are needed."


def _nothing_since(told: str, gaps: Gaps, span: Span) -> str:
    if not span.noted_late:
        return f"{told}; too early to tell."
    quiet, late = (span.end - max(span.on, gaps.done_on or span.on)).days, (span.noted_on - span.on).days
    return (
        f"{told}, none in {quiet} since; noted {range_words(late, late)} after the fact, "
        "so this run is no evidence: the next one will tell."
    )


def _verdict(found: Found, both: Compared, sides: Sides) -> str:
    if found in ("longer", "shorter"):
        return f"very likely {found} now"
    if found == "no_difference":
        return f"no difference to be seen ({both.low_ratio:.1f} to {both.high_ratio:.1f} times as long)"
    more = _quiet_days(sides)
    if more is None:
        return "too early to tell"
    wait = f"too early: about {more} more quiet {'day' if more == 1 else 'days'} would settle it"
    if sides.leaves_days is not None and sides.leaves_days < more:
        return f"{wait}, but it is due before" if sides.leaves_days > 0 else f"{wait}, if it were not due already"
    return wait


def _quiet_days(sides: Sides) -> int | None:
    if sides.open_days is None:
        return None
    more = quiet_days(sides.before, sides.after, float(sides.open_days), SURE_LONGER, float(_MOST_QUIET_DAYS))
    return None if more is None else max(1, round(more))


def _workings(sides: Sides, both: Compared, span: Span) -> Workings:
    before, since = sides.before, sides.since
    return Workings(
        title="Whether it holds longer since the change",
        inputs=(
            Given("runs before, ended by need", _listed(before.ended), "days", "log"),
            Given("runs before, only held so long", _listed(before.held), "days", "log"),
            Given("runs since, ended by need", _listed(since.ended), "days", "log"),
            Given("runs since, only held so long", _listed(since.held), "days", "log"),
        ),
        steps=(
            Step("each run counts by a gamma law: its density if it ended, else its chance of holding so long", ""),
            Step("chance that the mean is longer since, all laws weighed", f"{both.longer:.1%}"),
            Step(
                "mean since over mean before, nine times in ten between",
                f"{both.low_ratio:.2f} to {both.high_ratio:.2f}",
            ),
            Step(
                "claimed above or below, because it is looked at daily",
                f"{SURE_LONGER:.1%} or {1.0 - SURE_SHORTER:.1%}",
            ),
        ),
        result=f"{both.longer:.1%} longer",
        source=(
            "Gamma laws on a grid, our own; runs cut off as in Kalbfleisch & Prentice (2002), The Statistical Analysis "
            "of Failure Time Data."
        ),
        warnings=_warnings(span),
    )


def _warnings(span: Span) -> tuple[str, ...]:
    if not span.noted_late:
        return ()
    late = (span.noted_on - span.on).days
    return (f"Noted {range_words(late, late)} after the fact: only runs begun later count as after it.",)


def _listed(days: Sequence[float]) -> str:
    return ", ".join(f"{one:g}" for one in days) or "none"
