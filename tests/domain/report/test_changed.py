"""Changes of the span, and what came of them."""

from datetime import date

from evenwater.domain.book.outlook import Effect, EffectLine, PondBook
from evenwater.domain.report.changed import changes_part

from .season_log import settled


def test_a_change_stands_with_what_its_history_says():
    log = settled()
    for on in (date(2026, 5, 1), date(2025, 5, 1)):
        log.write("change", log.at(on), text="Trap fitted")
    line = EffectLine(of="job/x", title="Pre-filter", found="longer", says="It holds twice as long.")
    effects = tuple(
        Effect(entry=str(on), on=on, text="Trap fitted", kit=None, lines=lines)
        for on, lines in ((date(2026, 10, 5), ()), (date(2026, 6, 1), ()), (date(2026, 5, 1), (line,)))
    )
    part = changes_part(log.past(book=PondBook(pond="main", tag="", effects=effects)))
    assert part.says == ("2 changes; a year before 1.",)
    assert part.rows == (
        ("1 May", "Trap fitted", "It holds twice as long."),
        ("1 Jun", "Trap fitted", "Nothing was named to judge it by."),
    )


def test_no_change_is_said():
    assert changes_part(settled().past()).unknown == ("No change was recorded in this time.",)
