"""Passphrases: hashed with Argon2id, checked in the same time whether or not there is anybody of that name.

Source:
    RFC 9106 section 4, second recommended option (t=3, p=4, 64 MiB), which is argon2-cffi's default.
"""

import secrets
from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import VerifyMismatchError

_HASHER = PasswordHasher()
# Neither 0/O nor 1/I/L: it is read off a screen and typed on a phone.
_READABLE = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"


def hash_passphrase(passphrase: str) -> str:
    """The hash to keep. Slow by design: never on the event loop."""
    return _HASHER.hash(passphrase)


def is_passphrase(passphrase_hash: str | None, passphrase: str) -> bool:
    """Whether the passphrase is the one; without a hash it is not, and that takes as long to say. Slow by design."""
    nobodys = _nobodys_hash()  # for every call alike, or the first unknown name of a run would be slower
    try:
        _HASHER.verify(passphrase_hash or nobodys, passphrase)
    except VerifyMismatchError:
        return False
    return passphrase_hash is not None


@cache
def _nobodys_hash() -> str:
    return _HASHER.hash(secrets.token_urlsafe())


def readable_secret(groups: int) -> str:
    """A random secret in groups of four, each worth 19.8 bits: "K7MF-2Q9P"."""
    return "-".join("".join(secrets.choice(_READABLE) for _ in range(4)) for _ in range(groups))
