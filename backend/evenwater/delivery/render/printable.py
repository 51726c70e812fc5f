"""The round on paper, and for a phone too old for the app: plain HTML, no script, fits A4 and Letter."""

from collections.abc import Sequence
from datetime import date
from html import escape
from zoneinfo import ZoneInfo

from evenwater.domain.rounds.jobs import Job, Plan, PondInPlan
from evenwater.domain.rounds.today import JobNow

_PARTS = {"morning": "Morning", "midday": "Midday", "dusk": "Dusk", "bedtime": "Bedtime"}
_MANY_CAPFULS = 4.0
_QUARTERS = {0: "", 1: "¼", 2: "½", 3: "¾"}
_WORDS = {"done": "done", "not_done": "not done", "stood_down": "not needed", "held_back": "held back"}


def printable_round(plan: Plan, jobs: Sequence[Job], now: Sequence[JobNow], on: date) -> str:
    """One date's round as a page with boxes to tick and lines to write on."""
    states = {one.id: one for one in now}
    zone = ZoneInfo(plan.zone)
    made = plan.made_at.astimezone(zone)
    ponds = {pond.id: pond for pond in plan.ponds}
    rows: list[str] = []
    heading = ""
    for job in jobs:
        state = states.get(job.id)
        if state is None:
            continue
        here = f"{_PARTS[job.part]} · {job.place}"
        if here != heading:
            rows.append(f"<h2>{escape(here)}</h2>")
            heading = here
        rows.append(_row(job, state, zone, ponds[job.pond], len(ponds) > 1))
    if not rows:
        rows.append("<p>Nothing to do on this day.</p>")
    title = f"Round for {on:%A} {on.day} {on:%B}"
    return _page(title, f"<p>Worked out {made:%a %H:%M}.</p>{''.join(rows)}{_troubles(plan)}")


def _row(job: Job, now: JobNow, zone: ZoneInfo, pond: PondInPlan, name_it: bool) -> str:
    until = f"by {job.closes_at.astimezone(zone):%H:%M}"
    word = _WORDS.get(now.state)
    box = "☒" if now.state == "done" else "☐"
    amount = amount_words(now.amount_g, pond.capful_g) if now.amount_g else ""
    whose = f" ({escape(pond.name)})" if name_it else ""
    parts = [f"<b>{box} {escape(job.text)}</b>{whose} <span>{word or until}</span>"]
    if amount and word is None:
        parts.append(f"<p class=amount>{escape(amount)}</p>")
    parts.append(f"<p>{escape(now.reason)}</p>")
    if word is None:
        parts += [f"<p>{escape(text)}</p>" for text in ((job.how or ""), *job.cautions) if text]
        parts.append("<p class=line>done at ________ by ________ note ________________________</p>")
    return f"<section>{''.join(parts)}</section>"


def amount_words(amount_g: float, capful_g: float | None) -> str:
    """An amount in words: capfuls and grams, grams first above four capfuls."""
    grams = f"{amount_g:.0f} g"
    if not capful_g:
        return grams
    quarters = round(amount_g / capful_g * 4)
    whole, rest = divmod(quarters, 4)
    number = f"{whole or ''}{_QUARTERS[rest]}" or "0"
    capfuls = f"{number} {'capful' if 0 < quarters <= 4 else 'capfuls'}"
    return f"{grams} · {capfuls}" if amount_g > _MANY_CAPFULS * capful_g else f"{capfuls} · {grams}"


def _troubles(plan: Plan) -> str:
    steps = "".join(
        f"<h3>{escape(one.title)}</h3><ol>{''.join(f'<li>{escape(step)}</li>' for step in one.steps)}</ol>"
        for one in plan.troubles
    )
    ring = "".join(f"<li>{escape(one.name)}: {escape(one.tel)}</li>" for one in plan.ring)
    whom = f"<h3>Whom to ring</h3><ul>{ring}</ul>" if ring else ""
    return f"<h2 class=wrong>Something is wrong</h2>{steps}{whom}"


def _page(title: str, body: str) -> str:
    return (
        "<!doctype html><html lang=en><head><meta charset=utf-8>"
        # Without it an old browser sends the form with no word of where it came from, and it is refused.
        "<meta name=referrer content=same-origin>"
        '<meta name=viewport content="width=device-width,initial-scale=1">'
        f"<title>{escape(title)}</title><link rel=stylesheet href=/styles/paper.css></head>"
        f"<body><h1>{escape(title)}</h1>{body}</body></html>"
    )


def sign_in_page(problem: str | None) -> str:
    """Sign-in without a script."""
    said = f"<p role=alert><b>{escape(problem)}</b></p>" if problem else ""
    return _page(
        "Sign in",
        f"{said}<form method=post action=/print>"
        "<p><label>Name<br><input name=name autocomplete=username required></label></p>"
        "<p><label>Passphrase<br><input name=passphrase type=password autocomplete=current-password required></label>"
        "</p><p><button>Show the round</button></p></form>",
    )
