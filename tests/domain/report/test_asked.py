"""What a report may be asked to hold."""

import re
from datetime import date
from pathlib import Path

import pytest

from evenwater.domain.errors import DomainError
from evenwater.domain.report.asked import LONGEST_TITLE, MOST_PHOTOS, PARTS, Asked, check_asked, listed
from evenwater.domain.report.span import MOST_DAYS, Span

FRONTEND = Path(__file__).parents[3] / "frontend"
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


def test_the_form_offers_these_parts_and_knows_these_limits():
    words = (FRONTEND / "words" / "report-words.js").read_text(encoding="utf-8")
    offered = re.search(r"part: \{(.*?)\}", words, re.DOTALL)
    assert offered and tuple(re.findall(r"(\w+): \"", offered[1])) == PARTS
    photos = (FRONTEND / "pages" / "report" / "report-photos.js").read_text(encoding="utf-8")
    spans = (FRONTEND / "domain" / "report-spans.js").read_text(encoding="utf-8")
    assert f"MOST_PHOTOS = {MOST_PHOTOS};" in photos
    assert f"MOST_DAYS = {MOST_DAYS};" in spans
    form = (FRONTEND / "pages" / "report" / "report.js").read_text(encoding="utf-8")
    assert f"maxlength=${{{LONGEST_TITLE}}}" in form
