"""Pages that a link in a message opens: what its button would do, and then what it did. No script, no sign-in."""

from html import escape

from evenwater.delivery.render.printable import paper_page
from evenwater.delivery.render.written import paragraphs


def act_page(title: str, says: str, button: str | None = None) -> str:
    """What is said, a paragraph a line, and a button, where there is one, that posts to the page's own address."""
    form = f"<form method=post><p><button>{escape(button)}</button></p></form>" if button else ""
    return paper_page(title, f"{paragraphs(says.splitlines())}{form}<p><a href=/round>Open evenwater</a></p>")
