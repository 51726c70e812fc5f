"""What a report may be asked to hold."""

from datetime import date

import pytest

from evenwater.domain.errors import DomainError
from evenwater.domain.report.asked import MOST_PHOTOS, PARTS, Asked, check_asked, listed
from evenwater.domain.report.span import Span

SPAN = Span(date(2026, 4, 1), date(2026, 9, 30))


def test_unless_chosen_nothing_private_is_in_it():
    asked = check_asked(Asked(pond="main", span=SPAN))
    assert (asked.people, asked.notes, asked.place, asked.photos) == (False, False, False, ())
    assert asked.parts == PARTS


@pytest.mark.parametrize(
    "wrong",
    [{"parts": ("weather",)}, {"parts": ()}, {"photos": ("a",) * (MOST_PHOTOS + 1)}, {"title": "a" * 81}],
)
def test_what_cannot_be_says_what_would_be_right(wrong):
    with pytest.raises(DomainError) as refused:
        check_asked(Asked(pond="main", span=SPAN, **wrong))
    assert refused.value.where == next(iter(wrong))
    assert refused.value.right


def test_a_list_names_each_once():
    assert listed("ring, water,,ring") == ("ring", "water")
