"""By which address people reach this server, as links that leave the app say it."""

from evenwater.settings import Settings
from evenwater.web.visit import Visit


def public_base(settings: Settings, visit: Visit) -> str:
    """Scheme, host and port, without a slash at the end: as set, else as whoever asks now reached us."""
    return (settings.public_url or visit.origin).rstrip("/")
