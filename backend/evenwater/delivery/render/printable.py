"""The round on paper, and for a phone too old for the app: plain HTML, no script, fits A4 and Letter."""

from collections.abc import Sequence
from datetime import date, datetime
from html import escape
from zoneinfo import ZoneInfo

from evenwater.delivery.render.job_lines import job_section, whose_words
from evenwater.domain.rounds.jobs import Job, Plan
from evenwater.domain.rounds.today import JobNow

_PARTS = {"morning": "Morning", "midday": "Midday", "dusk": "Dusk", "bedtime": "Bedtime"}


def printable_round(plan: Plan, jobs: Sequence[Job], now: Sequence[JobNow], on: date, at: datetime) -> str:
    """One date's round, as it stands at that moment, as a page with boxes to tick and lines to write on."""
    states = {(one.pond, one.id): one for one in now}
    zone = ZoneInfo(plan.zone)
    made = plan.made_at.astimezone(zone)
    ponds = {pond.id: pond for pond in plan.ponds}
    rows: list[str] = []
    heading = ""
    for job in jobs:
        state = states.get((job.pond, job.id))
        if state is None:
            continue
        here = f"{_PARTS[job.part]} · {job.place}"
        if here != heading:
            rows.append(f"<h2>{escape(here)}</h2>")
            heading = here
        pond = ponds[job.pond]
        whose = [pond.name if len(ponds) > 1 else "", whose_words(job, plan.person_names)]
        rows.append(job_section(job, state, zone, at, pond, ", ".join(filter(None, whose))))
    if not rows:
        rows.append("<p>Nothing to do on this day.</p>")
    title = f"Round for {on:%A} {on.day} {on:%B}"
    return paper_page(title, f"<p>Worked out {made:%a %H:%M}.</p>{''.join(rows)}{_troubles(plan)}")


def _troubles(plan: Plan) -> str:
    steps = "".join(
        f"<h3>{escape(one.title)}</h3><ol>{''.join(f'<li>{escape(step)}</li>' for step in one.steps)}</ol>"
        for one in plan.troubles
    )
    ring = "".join(f"<li>{escape(one.name)}: {escape(one.tel)}</li>" for one in plan.ring)
    whom = f"<h3>Whom to ring</h3><ul>{ring}</ul>" if ring else ""
    return f"<h2 class=wrong>Something is wrong</h2>{steps}{whom}"


def paper_page(title: str, body: str) -> str:
    """A page without script; `body` is HTML already."""
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
    return paper_page(
        "Sign in",
        f"{said}<form method=post action=/print>"
        "<p><label>Name<br><input name=name autocomplete=username required></label></p>"
        "<p><label>Passphrase<br><input name=passphrase type=password autocomplete=current-password required></label>"
        "</p><p><button>Show the round</button></p></form>",
    )
