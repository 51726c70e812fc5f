"""The report's document: whole in itself, nothing in it that runs, every word escaped."""

import re
from datetime import date
from html.parser import HTMLParser

import pytest
from conftest import ROOT

from evenwater.delivery.render.report_style import DARK, LIGHT, STYLE
from evenwater.delivery.render.season_report import STYLE_SUM, Links, season_page, year_page
from evenwater.domain.quantities import OtherUnit
from evenwater.domain.report.outlook import Mark, Pictured, Ring, SeasonReport, Section
from evenwater.domain.report.span import Span

EVIL = '</style><script>alert(1)</script>" onload="x'
SPAN = Span(date(2026, 4, 1), date(2026, 9, 30))


def report(word: str = "Work") -> SeasonReport:
    return SeasonReport(
        title=word,
        span=SPAN,
        made_on=date(2026, 11, 3),
        about=(word,),
        sections=(
            Section(
                id="work", title=word, says=(word,), columns=("", word), rows=((word, word),), unknown=(word,)
            ),
        ),
        ring=Ring(
            now=((date(2026, 4, 1), 10.0), (date(2026, 4, 2), 11.0)),
            before=(),
            now_name="2026",
            before_name="2025",
            unit=OtherUnit("°C", 1.0),
            marks=(Mark(1, date(2026, 4, 2), word),),
        ),
        photos=(Pictured("a" * 64, word), Pictured("b" * 64, word)),
    )  # fmt: skip


class Tags(HTMLParser):
    def __init__(self, page: str) -> None:
        super().__init__()
        self.seen: list[tuple[str, dict[str, str | None]]] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append((tag, dict(attrs)))


def test_nothing_is_fetched_and_nothing_runs():
    page = season_page(report(), {"a" * 64: b"jpeg"}, Links())
    tags = Tags(page).seen
    assert not {"script", "link", "iframe", "form", "object", "base"} & {tag for tag, _ in tags}
    addresses = [
        value for _, attrs in tags for name, value in attrs.items() if name in ("src", "href", "srcset", "poster")
    ]
    assert addresses == ["data:image/jpeg;base64,anBlZw=="]
    assert not [name for _, attrs in tags for name in attrs if name.startswith("on") or name == "style"]
    assert "url(" not in STYLE and "@import" not in STYLE


def test_what_it_may_not_do_stands_in_the_file_itself():
    page = season_page(report(), {}, Links())
    (policy,) = [attrs["content"] for tag, attrs in Tags(page).seen if attrs.get("http-equiv")]
    assert policy == (
        f"default-src 'none'; img-src data:; style-src 'sha256-{STYLE_SUM}'; base-uri 'none'; form-action 'none'"
    )


@pytest.mark.parametrize("make", [lambda word: season_page(report(word), {"a" * 64: b"x"}, Links()),
                                  lambda word: year_page(report(word), Links(((word, word),)))])  # fmt: skip
def test_words_of_the_keeper_are_no_markup(make):
    tame, wild = Tags(make("Word " * 9)).seen, Tags(make(EVIL)).seen
    assert [tag for tag, _ in tame] == [tag for tag, _ in wild]
    assert [sorted(attrs) for _, attrs in tame] == [sorted(attrs) for _, attrs in wild]


def test_a_file_leads_nowhere_and_a_page_leads_back():
    assert "<nav>" not in season_page(report(), {}, Links())
    assert '<a href="/report">Back</a>' in season_page(report(), {}, Links((("Back", "/report"),)))


def test_a_photo_that_is_not_here_leaves_no_hole_and_is_spoken_of():
    nothing, one = season_page(report(), {}, Links()), season_page(report(), {"b" * 64: b"x"}, Links())
    assert (nothing.count("<figure>"), one.count("<figure>")) == (0, 1)
    assert "2 photos not at home" in nothing and "1 photo not at home" in one
    assert "not at home" not in season_page(report(), {"a" * 64: b"x", "b" * 64: b"x"}, Links())


def test_sentences_in_a_table_have_the_whole_width_of_a_narrow_screen():
    short, long = (season_page(report(word), {}, Links()) for word in ("Work", "Rinse bar turned a quarter " * 3))
    assert 'class="many"' not in short and 'class="many"' in long


def test_its_colours_are_those_of_the_app():
    sheet = (ROOT / "frontend" / "styles" / "tokens.css").read_text(encoding="utf-8")
    found = re.findall(r"--([a-z]+): var\(--day, (#[0-9a-f]{6})\) var\(--night, (#[0-9a-f]{6})\)", sheet)
    # The first of each is the usual one; a stronger contrast, where it is asked for, comes after.
    usual = {name: (day, night) for name, day, night in reversed(found)}
    assert {name: (LIGHT[name], DARK[name]) for name in LIGHT} == {name: usual.get(name) for name in LIGHT}
    body = STYLE.split("*{box-sizing", 1)[1]
    assert not re.search(r"#[0-9a-f]{3,8}\b", body)
