"""A season report as one HTML document that needs nothing beside it: style, drawing and photos stand inside.

It is the screen, the print and the file to send: no script, nothing fetched from anywhere. What it may not do is
written into it as well, so that it holds when somebody opens the file.
"""

import base64
import hashlib
import re
from collections.abc import Mapping, Sequence
from html import escape
from typing import Final

from msgspec import Struct

from evenwater.delivery.render.report_style import STYLE
from evenwater.delivery.render.year_ring import year_ring
from evenwater.domain.report.outlook import Pictured, Ring, SeasonReport, Section
from evenwater.domain.report.span import day_words, short_day
from evenwater.domain.report.words import counted

STYLE_SUM: Final = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()
_POLICY: Final = (
    f"default-src 'none'; img-src data:; style-src 'sha256-{STYLE_SUM}'; base-uri 'none'; form-action 'none'"
)
_FEW_ROWS: Final = 8
_FEW_COLUMNS: Final = 3
_SHORT_CELL: Final = 40
"""Letters of a cell that may be kept on one line."""


class Links(Struct, frozen=True):
    """Where the screen leads: (words, address) each; a file that is sent has none."""

    ways: tuple[tuple[str, str], ...] = ()


def season_page(report: SeasonReport, photos: Mapping[str, bytes], links: Links) -> str:
    """The whole report.

    Args:
        report: What it says.
        photos: JPEGs by their sum; of those that are missing it is said how many.
        links: Ways on, for the screen.
    """
    body = [
        _head(report.title, f"Season report, {report.span.words()}", report),
        _nav(links),
        _ring(report.ring) if report.ring else "",
        _photos(report.photos, photos),
        *(_section(one) for one in report.sections),
        _foot(report),
    ]
    return _document(f"{report.title}: {report.span.words()}", "season", "".join(body))


def year_page(report: SeasonReport, links: Links) -> str:
    """The year on a page: its ring, what happened, and the figures behind it."""
    name = report.ring.now_name if report.ring else ""
    body = [
        _head(report.title, f"The water's year {name}, {report.span.words()}", report),
        _nav(links),
        _ring(report.ring) if report.ring else "",
        *(_section(one) for one in report.sections),
        _foot(report),
    ]
    return _document(f"{report.title}: the year {name}", "year", "".join(body))


def _document(title: str, kind: str, body: str) -> str:
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">'
        '<meta name="viewport" content="width=device-width,initial-scale=1">'
        '<meta name="referrer" content="no-referrer">'
        f"<title>{escape(title)}</title><style>{STYLE}</style></head>"
        f'<body class="{kind}"><main>{body}</main></body></html>'
    )


def _head(title: str, subtitle: str, report: SeasonReport) -> str:
    about = "".join(f'<p class="quiet">{escape(one)}</p>' for one in report.about)
    return f"<header><h1>{escape(title)}</h1><p>{escape(subtitle)}</p>{about}</header>"


def _nav(links: Links) -> str:
    ways = "".join(f'<a href="{escape(address)}">{escape(words)}</a>' for words, address in links.ways)
    return f"<nav>{ways}</nav>" if ways else ""


def _ring(ring: Ring) -> str:
    if not ring.now and not ring.before:
        unknown = "The water's temperature was not recorded, so there is no ring."
        return f'<div class="ring"><p class="unknown">{unknown}</p></div>'
    marks = "".join(
        f'<li><b>{one.number}</b> <time datetime="{one.on.isoformat()}">{short_day(one.on)}</time>'
        f" <span>{escape(one.text)}</span></li>"
        for one in ring.marks
    )
    legend = f"<ol>{marks}</ol>" if marks else '<p class="quiet">Nothing happened that was written down.</p>'
    more = f'<p class="quiet">{ring.left_out} smaller things there was no room for.</p>' if ring.left_out else ""
    last = "" if ring.before else f'<p class="unknown">{escape(ring.before_name)} is not known.</p>'
    return f'<div class="ring">{year_ring(ring)}<div>{legend}{more}{last}</div></div>'


def _photos(asked: Sequence[Pictured], photos: Mapping[str, bytes]) -> str:
    figures = [
        f'<figure><img alt="{escape(one.caption)}" src="data:image/jpeg;base64,{_in_text(photos[one.sum])}">'
        f"<figcaption>{escape(one.caption)}</figcaption></figure>"
        for one in asked
        if one.sum in photos
    ]
    lacking = len(asked) - len(figures)
    said = f'<p class="unknown">{counted(lacking, "photo")} not at home, so not shown.</p>' if lacking else ""
    if not asked:
        return ""
    return f'<section><h2>Photos</h2><div class="photos">{"".join(figures)}</div>{said}</section>'


def _in_text(content: bytes) -> str:
    return base64.b64encode(content).decode()


def _section(section: Section) -> str:
    short = " short" if len(section.rows) + len(section.says) <= _FEW_ROWS else ""
    says = "".join(f"<li>{escape(one)}</li>" for one in section.says)
    unknown = "".join(f'<p class="unknown">{escape(one)}</p>' for one in section.unknown)
    listed = f'<ul class="sentences">{says}</ul>' if says else ""
    return (
        f'<section class="part{short}" id="{section.id}"><h2>{escape(section.title)}</h2>'
        f"{listed}{_table(section)}{unknown}</section>"
    )


def _table(section: Section) -> str:
    if not section.rows:
        return ""
    # Roles by name: on a narrow screen one of many columns, or of sentences, is laid out as blocks, and stays a table
    # to who hears it.
    sentences = any(len(cell) > _SHORT_CELL for row in section.rows for cell in row[1:])
    many = ' class="many"' if sentences or len(section.columns) > _FEW_COLUMNS else ""
    heads = "".join(f'<th scope="col" role="columnheader">{escape(one) or _UNNAMED}</th>' for one in section.columns)
    rows = "".join(
        f'<tr role="row"><th scope="row" role="rowheader">{_unbroken(row[0])}</th>'
        f"{_cells(section.columns[1:], row[1:])}</tr>"
        for row in section.rows
    )
    return (
        f'<table role="table"{many}><thead role="rowgroup"><tr role="row">{heads}</tr></thead>'
        f'<tbody role="rowgroup">{rows}</tbody></table>'
    )


_UNNAMED: Final = '<span class="unseen">What</span>'


def _cells(heads: Sequence[str], cells: Sequence[str]) -> str:
    pairs = zip(heads, cells, strict=True)
    return "".join(
        f'<td role="cell" data-head="{escape(head)}"><span>{_unbroken(cell)}</span></td>' for head, cell in pairs
    )


def _unbroken(cell: str) -> str:
    """A cell's words, a figure kept together with its unit."""
    return re.sub(r"(?<=\d) (?=\D)", "\N{NO-BREAK SPACE}", escape(cell)) if len(cell) <= _SHORT_CELL else escape(cell)


def _foot(report: SeasonReport) -> str:
    said = f"Written on {day_words(report.made_on)} from the pond's own log, by evenwater."
    return f'<footer><p class="quiet">{said}</p></footer>'
