"""An alarm in words: what is so, what to do first, whom to ring, who else hears of it."""

from collections.abc import Sequence
from html import escape

from msgspec import Struct

from evenwater.delivery.render.written import Written, numbered, one_line, paragraphs
from evenwater.domain.contact import Contact
from evenwater.domain.rounds.heard.alarms import NEXT_AFTER, Concern


class Telling(Struct, frozen=True):
    """What is so, and who hears of it after this person, if nobody says that they are on it."""

    concern: Concern
    next_name: str | None = None


def alarm_message(tellings: Sequence[Telling], ring: Sequence[Contact]) -> Written:
    """What somebody is told.

    Args:
        tellings: All there is to tell, at least one, the most urgent first.
        ring: Whom to ring, first to last.
    """
    titles = [one_line(one.concern.title) for one in tellings]
    more = len(titles) - 1
    whom = [one_line(f"{one.name}: {one.tel}") for one in ring]
    alike = len({one.next_name for one in tellings}) == 1
    rows, html = list[str](), list[str]()
    last_to_act = max((at for at, one in enumerate(tellings) if one.concern.act_now), default=None)
    for place, (title, one) in enumerate(zip(titles, tellings, strict=True)):
        says = [one_line(one.concern.says, 2500), "" if alike else _then(one.next_name)]
        steps = [one_line(step, 500) for step in one.concern.first]
        rows += [f"{title}.", says[0], "\n".join(f"{at}. {step}" for at, step in enumerate(steps, 1)), says[1]]
        html.append(f"<h1>{escape(title)}</h1>{paragraphs(says[:1])}{numbered(steps)}{paragraphs(says[1:])}")
        if whom and place == last_to_act:
            rows.append("\n".join(["Whom to ring:", *(f"- {one}" for one in whom)]))
            html.append(f"<h2>Whom to ring</h2>{numbered(whom)}")
    if alike:
        rows.append(_then(tellings[0].next_name))
        html.append(paragraphs(rows[-1:]))
    subject = f"{one_line(titles[0], 160)}, and {more} more" if more else titles[0]
    return Written(subject, "\n\n".join(filter(None, rows)) + "\n", "".join(html))


def _then(next_name: str | None) -> str:
    if next_name is None:
        return ""
    minutes = int(NEXT_AFTER.total_seconds() // 60)
    return one_line(f"If nobody is on it, {next_name} hears of it {minutes} minutes after you.")


def notice_message(text: str) -> Written:
    """Something to know that asks nobody to be on it; its first words are the subject."""
    plain = one_line(text, 1000)
    return Written(one_line(plain.partition(": ")[0], 120), f"{plain}\n", paragraphs([plain]))
