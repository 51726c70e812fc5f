"""A message as an e-mail: headers, text and HTML, and the links that open, answer or end it.

- Nothing anybody wrote can become a header: what holds a line break is refused by `email` itself, and a subject is
  made one line before.
- Links only lead to pages; what they offer happens when a button is pressed there. One-click unsubscribing (RFC 8058)
  is offered where the address is https, as it has to be.
"""

from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime
from html import escape

from evenwater.delivery.render.written import one_line
from evenwater.domain.email_address import email_address
from evenwater.domain.messages import Message

SENT_AS = SMTP.clone(max_line_length=500)
"""Headers are folded late: many a mail program looks for a link on the first line of `List-Unsubscribe`."""
_STYLE = "max-width:40em;margin:0 auto;padding:1em;font:16px/1.45 system-ui,sans-serif;color:#1d2528;background:#ffffff"
_OPENS = {"/round": "Open the round"}
_ON_IT = "Seen, I am on it"
_NO_MORE = "No more of these by e-mail"


def letter(message: Message, sender: str, base_url: str) -> EmailMessage:
    """The e-mail a message is.

    Args:
        message: What is said, to whom.
        sender: Whom it comes from: an address, or "name <address>".
        base_url: Where the app is reached, without a slash at the end.

    Raises:
        NoAddress: an address is none.
    """
    made = EmailMessage(policy=SMTP)
    from_address = address_of(sender)
    made["From"] = from_address
    made["To"] = Address(addr_spec=email_address(message.to))
    made["Subject"] = one_line(message.subject)
    made["Date"] = format_datetime(message.made_at)
    made["Message-ID"] = message_id(message, from_address.domain)
    made["Auto-Submitted"] = "auto-generated"
    links = _links(message, base_url)
    if end := message.ways_out.get("unsubscribe"):
        made["List-Unsubscribe"] = f"<{base_url}{end}>"
        if base_url.startswith("https://"):
            made["List-Unsubscribe-Post"] = "List-Unsubscribe=One-Click"
    rows = [message.text.rstrip("\n"), *(f"{words}:\n{url}" for words, url in links)]
    made.set_content("\n\n".join(rows) + "\n", cte="quoted-printable")
    if message.html is not None:
        made.add_alternative(_page(message, links), subtype="html", cte="quoted-printable")
    return made


def message_id(message: Message, domain: str) -> str:
    """The same however often it is sent, so that whoever gets two can know them for one."""
    return f"<{message.id}@{domain or 'localhost'}>"


def address_of(text: str) -> Address:
    """An address, with its name where it has one: "pond@example.org", "The pond <pond@example.org>".

    Raises:
        NoAddress: it is none.
    """
    name, bracket, spec = text.rpartition("<")
    if not bracket:
        return Address(addr_spec=email_address(text))
    return Address(one_line(name.strip().strip('"'), 100), addr_spec=email_address(spec.removesuffix(">")))


def _links(message: Message, base_url: str) -> list[tuple[str, str]]:
    links = [(_OPENS.get(message.link, "Open evenwater"), f"{base_url}{message.link}")]
    if path := message.ways_out.get("on_it"):
        links.insert(0, (_ON_IT, f"{base_url}{path}"))
    if path := message.ways_out.get("unsubscribe"):
        links.append((_NO_MORE, f"{base_url}{path}"))
    return links


def _page(message: Message, links: list[tuple[str, str]]) -> str:
    rows = "".join(f'<p><a href="{escape(url)}">{escape(words)}</a></p>' for words, url in links)
    return (
        f"<!doctype html><html lang=en><head><meta charset=utf-8><title>{escape(message.subject)}</title></head>"
        f'<body style="{_STYLE}">{message.html}<hr>{rows}</body></html>\n'
    )
