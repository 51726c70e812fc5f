"""By which ways messages leave this server, as its settings have it."""

import logging
from collections.abc import Callable
from datetime import datetime
from email.utils import parseaddr
from ipaddress import ip_address
from urllib.parse import urlsplit

from evenwater.delivery.send.email import email_carrier
from evenwater.delivery.send.not_sent import Carrier
from evenwater.delivery.send.push import PushCarrier
from evenwater.domain.messages import Channel
from evenwater.settings import SMTP_PASSWORD_NAME, Settings
from evenwater.storage.database import Database
from evenwater.storage.secret_files import read_secret
from evenwater.storage.vapid_key import vapid_key

log = logging.getLogger("evenwater.push")


def carriers(
    settings: Settings, database: Database, clock: Callable[[], datetime], port: int
) -> dict[Channel, Carrier]:
    """Every way there is, by channel."""
    found: dict[Channel, Carrier] = {}
    if settings.smtp is not None:
        found["email"] = email_carrier(settings.smtp, lambda: smtp_password(settings), settings.address(port))
    try:
        found["push"] = PushCarrier(database, vapid_key(settings.secrets), push_contact(settings, port), clock)
    except OSError as error:  # everything else still goes out
        log.error(
            "no notifications: the folder %s can be neither read nor written (%s)", settings.secrets, error.strerror
        )
    return found


def push_contact(settings: Settings, port: int) -> str:
    """By which address a push service may reach whoever runs this server: its name, else the one mail comes from."""
    host = urlsplit(settings.address(port)).hostname or ""
    if "." in host and not _is_number(host):
        return f"https://{host}"
    sender = parseaddr(settings.smtp.sender)[1] if settings.smtp is not None else ""
    return f"mailto:{sender or 'evenwater@localhost'}"


def _is_number(host: str) -> bool:
    try:
        ip_address(host)
    except ValueError:
        return False
    return True


def smtp_password(settings: Settings) -> str | None:
    """The mail server's password, as `evenwater mail set-password` kept it; None without one."""
    kept = read_secret(settings.secrets / SMTP_PASSWORD_NAME)
    return kept.decode() if kept is not None else None
