"""`evenwater mail …`: the mail server's password, and whether mail goes out; and the options that name the server."""

import argparse
import asyncio
import sys
from datetime import UTC, datetime
from getpass import getpass
from ipaddress import ip_address
from typing import Any
from uuid import uuid4

from evenwater.carrying import smtp_password
from evenwater.commands.household import add_data_options, data_folder
from evenwater.commands.speaking import Parser, Stop, asked_for, say
from evenwater.delivery.render.letter import address_of
from evenwater.delivery.send.email import email_carrier
from evenwater.delivery.send.not_sent import Carrier, NotSent
from evenwater.domain.email_address import NoAddress
from evenwater.domain.messages import Message
from evenwater.settings import SMTP_PASSWORD_NAME, SMTP_PORTS, Settings, Smtp
from evenwater.storage.secret_files import write_secret

_EXAMPLES = """examples:
  evenwater mail set-password
  evenwater mail test you@example.org --smtp-host mail.example.org --smtp-user pond@example.org
"""


def add_options(parser: argparse.ArgumentParser) -> None:
    """Give a parser the options that name the mail server, and where links in messages lead."""
    parser.add_argument("--smtp-host", metavar="HOST", help="the mail server lists go out by")
    parser.add_argument("--smtp-port", type=int, metavar="PORT", help="its port (default: 587, with tls 465, none 25)")
    parser.add_argument(
        "--smtp-security",
        choices=list(SMTP_PORTS),
        default="starttls",
        help="how the line to it is encrypted (default %(default)s)",
    )
    parser.add_argument("--smtp-user", metavar="NAME", help="who signs in there; see `evenwater mail set-password`")
    parser.add_argument("--mail-from", metavar="ADDRESS", help="whom messages come from (default: --smtp-user)")
    parser.add_argument("--public-url", metavar="URL", help="where people reach this server, as links in messages say")


def add_command(commands: Any) -> None:
    """Add `mail`; each of its own commands sets `act`, to be called with what was asked."""
    parser: Parser = commands.add_parser(
        "mail",
        help="the mail server lists go out by",
        description="The mail server lists go out by: its password, and whether mail goes out.",
        epilog=_EXAMPLES,
    )
    within = parser.add_subparsers(required=True, metavar="COMMAND")
    setting = within.add_parser("set-password", help="keep the mail server's password, read from the keyboard or stdin")
    setting.set_defaults(act=_set_password)
    testing = within.add_parser("test", help="send a message now, and say what the mail server says")
    testing.add_argument("address", metavar="ADDRESS")
    add_options(testing)
    testing.set_defaults(act=_test)
    for command in (setting, testing):
        add_data_options(command)


def smtp_asked(asked: argparse.Namespace) -> Smtp | None:
    """The mail server as the options have it; None when none is named.

    Raises:
        Stop: the options do not go together.
    """
    if asked.smtp_host is None:
        if asked.smtp_port or asked.smtp_user or asked.mail_from:
            raise Stop("--smtp-port, --smtp-user and --mail-from go with --smtp-host: name the mail server.")
        return None
    port = asked.smtp_port or SMTP_PORTS[asked.smtp_security]
    if not 1 <= port <= 65_535:
        raise Stop(f"{port} is no port: choose one from 1 to 65535 with --smtp-port.")
    if asked.smtp_security == "none" and asked.smtp_user and not _is_this_machine(asked.smtp_host):
        raise Stop("a password goes to no mail server unencrypted: choose --smtp-security starttls or tls.")
    sender = asked.mail_from or (asked.smtp_user if asked.smtp_user and "@" in asked.smtp_user else None)
    if sender is None:
        raise Stop("--mail-from is missing: the address messages come from.")
    return Smtp(
        host=asked.smtp_host,
        port=port,
        security=asked.smtp_security,
        user=asked.smtp_user,
        sender=_an_address(sender, "--mail-from"),
    )


def public_url_asked(asked: argparse.Namespace) -> str | None:
    """Where links lead, without a slash at the end.

    Raises:
        Stop: it is no address of a site.
    """
    url: str | None = asked.public_url
    if url is None:
        return None
    scheme, _, rest = url.rstrip("/").partition("://")
    if scheme not in ("http", "https") or not rest or any(one in rest for one in "/?#@ "):
        raise Stop(f"{url!r} is no address of a site: give one like https://pond.example.org with --public-url.")
    return f"{scheme}://{rest}"


def _is_this_machine(host: str) -> bool:
    try:
        return host == "localhost" or ip_address(host).is_loopback
    except ValueError:
        return False


def _an_address(text: str, where: str) -> str:
    try:
        address_of(text)
    except NoAddress:
        raise Stop(f"{text!r} is no e-mail address: give one like pond@example.org ({where}).") from None
    return text


def _set_password(asked: argparse.Namespace) -> None:
    data = data_folder(asked)
    typed = asked_for("The mail server's password: ", getpass) if sys.stdin.isatty() else sys.stdin.readline()
    password = typed.rstrip("\r\n")
    if not password:
        raise Stop("no password was given: nothing was changed.")
    try:
        write_secret(data / "secrets" / SMTP_PASSWORD_NAME, password.encode())
    except OSError as error:
        raise Stop(f"cannot keep it in {data} ({error}): choose another folder with --data.") from error
    say(asked, "The password is kept; a running server uses it with its next message.", {"kept": True})


def _test(asked: argparse.Namespace) -> None:
    smtp = smtp_asked(asked)
    if smtp is None:
        raise Stop("--smtp-host is missing: name the mail server, as for `evenwater serve`.")
    settings = Settings(
        data=data_folder(asked), frontend=data_folder(asked), public_url=public_url_asked(asked), smtp=smtp
    )
    carry = email_carrier(smtp, lambda: smtp_password(settings), settings.address(settings.port))
    now = datetime.now(UTC)
    message = Message(
        id=uuid4().hex,
        key="test",
        person="",
        channel="email",
        to=_an_address(asked.address, "ADDRESS"),
        subject="evenwater: a test",
        text="Mail from this server arrives.",
        made_at=now,
        next_try_at=now,
    )
    try:
        asyncio.run(_send(carry, message))
    except NotSent as error:
        raise Stop(f"not sent: {error.why}.") from error
    say(asked, f"The mail server {smtp.host} took it: look at {asked.address}.", {"taken_by": smtp.host})


async def _send(carry: Carrier, message: Message) -> None:
    await carry(message)
