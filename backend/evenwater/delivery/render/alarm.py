"""An alarm in words: what is so, what to do first, whom to ring, who else hears of it."""

from collections.abc import Sequence
from html import escape

from evenwater.delivery.render.written import Written, numbered, one_line, paragraphs
from evenwater.domain.contact import Contact
from evenwater.domain.rounds.alarms import NEXT_AFTER, Concern


def alarm_message(concern: Concern, ring: Sequence[Contact], next_name: str | None) -> Written:
    """What somebody is told.

    Args:
        concern: What is so.
        ring: Whom to ring, first to last.
        next_name: Who hears of it after them, if nobody says that they are on it.
    """
    title, says = one_line(concern.title), one_line(concern.says, 2500)
    steps = [one_line(one, 500) for one in concern.first]
    whom = [one_line(f"{one.name}: {one.tel}") for one in ring] if concern.act_now else []
    then = _then(next_name)
    rows = [f"{title}.", says]
    if steps:
        rows.append("\n".join(f"{number}. {step}" for number, step in enumerate(steps, 1)))
    if whom:
        rows.append("\n".join(["Whom to ring:", *(f"- {one}" for one in whom)]))
    ringing = f"<h2>Whom to ring</h2>{numbered(whom)}" if whom else ""
    return Written(
        title,
        "\n\n".join(filter(None, [*rows, then])) + "\n",
        f"<h1>{escape(title)}</h1>{paragraphs([says])}{numbered(steps)}{ringing}{paragraphs([then])}",
    )


def _then(next_name: str | None) -> str:
    if next_name is None:
        return ""
    minutes = int(NEXT_AFTER.total_seconds() // 60)
    return one_line(f"If nobody is on it, {next_name} hears of it {minutes} minutes after you.")


def notice_message(text: str) -> Written:
    """Something to know that asks nobody to be on it; its first words are the subject."""
    plain = one_line(text, 1000)
    return Written(one_line(plain.partition(": ")[0], 120), f"{plain}\n", paragraphs([plain]))
