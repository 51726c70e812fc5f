"""What an e-mail address may be: one, plain, and nothing that could stand for more in a header or a command."""

import re

from evenwater.domain.errors import DomainError

_LOCAL = r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+(?:\.[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+)*"
_LABEL = r"[A-Za-z0-9](?:[A-Za-z0-9-]{0,61}[A-Za-z0-9])?"
_ADDRESS = re.compile(rf"(?P<local>{_LOCAL})@(?P<domain>{_LABEL}(?:\.{_LABEL})*)")
_LONGEST, _LONGEST_LOCAL = 254, 64


class NoAddress(DomainError):
    """It is no e-mail address, or one that mail servers cannot be told plainly."""

    code = "no_address"


def email_address(text: str) -> str:
    """The address, trimmed.

    Raises:
        NoAddress: it is none.

    Source:
        RFC 5321 section 4.1.2 (Mailbox) with a dot-string and a domain; quoted strings, address literals and letters
        outside ASCII are left out, which next to nobody has.

    >>> email_address(" marit@example.org ")
    'marit@example.org'
    """
    plain = text.strip(" ")
    found = _ADDRESS.fullmatch(plain)
    if found is None or len(plain) > _LONGEST or len(found["local"]) > _LONGEST_LOCAL:
        raise NoAddress(
            f"{text[:80]!r} is no e-mail address", where="email", right="one address, such as marit@example.org"
        )
    return plain
