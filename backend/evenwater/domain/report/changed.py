"""What was changed in the span, and whether it helped."""

from evenwater.domain.entries import Change
from evenwater.domain.report.outlook import Section
from evenwater.domain.report.past import Past
from evenwater.domain.report.span import short_day
from evenwater.domain.report.words import counted


def changes_part(past: Past) -> Section:
    """A row for each change, in the keeper's own words, with what its histories say of it by now."""
    effects = sorted((one for one in past.book.effects if past.span.holds(one.on)), key=lambda one: one.on)
    rows = tuple(
        (short_day(one.on), one.text, " ".join(line.says for line in one.lines) or "Nothing was named to judge it by.")
        for one in effects
    )
    before = sum(isinstance(one.entry, Change) for one in past.before)
    return Section(
        id="changes",
        title="Changes, and whether they helped",
        says=(f"{counted(len(rows), 'change')}; a year before {before}.",) if rows else (),
        columns=("", "what", "what came of it") if rows else (),
        rows=rows,
        unknown=() if rows else ("No change was recorded in this time.",),
    )
