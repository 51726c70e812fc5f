"""Every setting of the server, in one place. The command line fills it; nothing else is configurable."""

from ipaddress import ip_address
from pathlib import Path
from typing import Literal
from urllib.parse import urlsplit

from msgspec import Struct

DATABASE_NAME = "evenwater.sqlite"
PHOTO_ROOM_MB = 2000
BACKUP_KEEP = 7
SMTP_PASSWORD_NAME = "smtp-password"
SMTP_PORTS = {"starttls": 587, "tls": 465, "none": 25}
WEATHER_URL = "https://api.open-meteo.com/v1/forecast"
_LOOPBACK_NAMES = frozenset({"localhost", "127.0.0.1", "[::1]"})


class Smtp(Struct, frozen=True, kw_only=True):
    """The mail server lists go out by; its password stands in a file of its own (`Settings.secrets`)."""

    host: str
    port: int = 587
    security: Literal["starttls", "tls", "none"] = "starttls"
    user: str | None = None
    sender: str = "evenwater@localhost"


class Settings(Struct, frozen=True, kw_only=True):
    """How this server is to be run.

    `public_names`: host names it answers to besides loopback's. `trusted_proxies`: peers whose X-Forwarded-* count.
    `example`: the data folder holds the invented pond, which opens with one tap on this machine. `weather_url`: the
    weather service, asked only for ponds that have switched it on. `photo_room_mb`: how much of the disk the
    household's photos may take. `public_url`: where people reach it from anywhere, as messages and links of helpers say
    it; without one, by the first public name. `backup_to`: the folder a backup is put into once a day, of which the
    newest `backup_keep` stay; none without a folder. `json_lines`: whether what it says while it runs is JSON.
    """

    data: Path
    frontend: Path
    host: str = "127.0.0.1"
    port: int = 8420
    public_names: tuple[str, ...] = ()
    trusted_proxies: tuple[str, ...] = ()
    https: bool = False
    example: bool = False
    weather_url: str = WEATHER_URL
    photo_room_mb: int = PHOTO_ROOM_MB
    public_url: str | None = None
    smtp: Smtp | None = None
    backup_to: Path | None = None
    backup_keep: int = BACKUP_KEEP
    json_lines: bool = False

    @property
    def database(self) -> Path:
        """The file everything is kept in."""
        return self.data / DATABASE_NAME

    @property
    def secrets(self) -> Path:
        """The folder of passwords and keys: 0700, each file 0600, and never part of a copy of the household."""
        return self.data / "secrets"

    @property
    def on_loopback(self) -> bool:
        """Whether only this machine can reach the server, as far as we are told: no proxy, no other name."""
        if self.public_names or self.trusted_proxies:
            return False
        if self.host == "localhost":
            return True
        try:
            return ip_address(self.host).is_loopback
        except ValueError:
            return False

    @property
    def host_names(self) -> frozenset[str]:
        """Host names a request may carry, without port: loopback's, our own, and the public ones."""
        return _LOOPBACK_NAMES | {self.host} | set(self.public_names)

    def address(self, port: int, came_by: str | None = None) -> str:
        """Where people reach this server, without a slash at the end: what every link that leaves the app begins with.

        As it was set; else as whoever asks came by; else, and where that is good on this machine alone, by the first
        public name.

        Args:
            port: The one it listens on.
            came_by: Scheme, host and port of whoever asks; None while nobody does.
        """
        if self.public_url is not None:
            return self.public_url.rstrip("/")
        if came_by is not None and not (self.public_names and is_loopback(came_by)):
            return came_by
        name = self.public_names[0] if self.public_names else "localhost"
        host = f"[{name}]" if ":" in name and not name.startswith("[") else name
        return f"{'https' if self.https else 'http'}://{host}:{port}"


def is_loopback(address: str) -> bool:
    """Whether "http://localhost:8420" and the like lead nowhere but to this machine."""
    host = urlsplit(address).hostname
    return f"[{host}]" in _LOOPBACK_NAMES or host in _LOOPBACK_NAMES
