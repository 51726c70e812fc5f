"""Pages that a link in a message opens: what its button would do, and then what it did. No script, no sign-in."""

from html import escape

from evenwater.delivery.render.printable import paper_page


def act_page(title: str, says: str, button: str | None = None) -> str:
    """A sentence, and a button that posts to the page's own address where there is something to press."""
    form = f"<form method=post><p><button>{escape(button)}</button></p></form>" if button else ""
    return paper_page(title, f"<p>{escape(says)}</p>{form}<p><a href=/round>Open evenwater</a></p>")
