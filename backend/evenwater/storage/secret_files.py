"""Passwords and keys, each in a file of its own: 0600, in a folder that is 0700, and in no copy of the database.

A file is replaced whole, so a cut in the middle leaves the old one or the new one. What a caller gets is bytes and
stays out of logs and answers.
"""

import contextlib
import os
import secrets
from collections.abc import Callable
from pathlib import Path


def read_secret(path: Path) -> bytes | None:
    """What the file holds; None where there is none, or an empty one.

    Raises:
        OSError: it is there and cannot be read.
    """
    try:
        os.chmod(path, 0o600)  # a restored copy may have come back open to others
        return path.read_bytes() or None
    except FileNotFoundError:
        return None


def write_secret(path: Path, secret: bytes) -> None:
    """Keep it, in place of what was there.

    Raises:
        OSError: the folder cannot be written.
    """
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    os.chmod(path.parent, 0o700)
    aside = path.with_name(f"{path.name}.{secrets.token_hex(4)}")
    handle = os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(secret)
            out.flush()
            os.fsync(out.fileno())
        os.replace(aside, path)
    except BaseException:
        with contextlib.suppress(OSError):
            aside.unlink()
        raise


def read_or_make(path: Path, make: Callable[[], bytes]) -> bytes:
    """What the file holds; where there is none, what `make` gives, kept from now on.

    Raises:
        OSError: the file can neither be read nor made.
    """
    kept = read_secret(path)
    if kept is None:
        kept = make()
        write_secret(path, kept)
    return kept
