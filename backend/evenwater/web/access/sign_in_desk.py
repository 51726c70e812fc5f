"""What stands between a guess and an answer at sign-in: how often, how many at once, and the one-time code.

- An address has its own allowance, a name another, all names together a third: guessing from many addresses runs into
  the second, guessing many names into the third.
- A device its person used before has an allowance of its own: strangers who guess at a name do not keep its owner out.
- Two hashes are worked out at a time: each takes 64 MiB.
"""

import asyncio
import math
from datetime import datetime
from hmac import compare_digest

from evenwater.domain.people import Credential, name_key
from evenwater.web.access.passphrases import hash_passphrase, is_passphrase
from evenwater.web.errors import Refusal
from evenwater.web.rate import TokenBuckets

_CODE_TRIES = 10


class SignInDesk:
    """One per application. `one_time_code` is what the terminal shows, or None when it shows none."""

    def __init__(self, one_time_code: str | None) -> None:
        self._code = _letters(one_time_code or "")
        self._code_tries = _CODE_TRIES
        self._by_address = TokenBuckets(20, 1 / 30)
        self._by_name = TokenBuckets(10, 1 / 60)
        self._by_known_device = TokenBuckets(10, 1 / 60)
        self._together = TokenBuckets(60, 1 / 2)
        self._hashing = asyncio.Semaphore(2)

    def admit_address(self, source: str, now: datetime) -> None:
        """Count an attempt of an address, before anything is looked up.

        Raises:
            Refusal: 429 slow_down, with the seconds to wait.
        """
        _require_turn(self._by_address.take(source, now.timestamp()))

    def admit_name(self, name: str, device: str, found: Credential | None, now: datetime) -> None:
        """Count an attempt at a name.

        Raises:
            Refusal: 429 slow_down, with the seconds to wait; for a name nobody has just as for another.
        """
        now_s = now.timestamp()
        if found is not None and found.knows_device:
            _require_turn(self._by_known_device.take(f"{found.person.id} {device}", now_s))
        else:
            _require_turn(self._together.take("", now_s))
            _require_turn(self._by_name.take(name_key(name), now_s))

    def require_code(self, given: str) -> None:
        """Let the one through who can read the terminal.

        Raises:
            Refusal: 403 wrong_code; after ten of them 403 code_spent, whatever is given; no_code when none was made.
        """
        if not self._code:
            raise _no_code("no_code", "the server made no one-time code", "begin on the machine it runs on")
        if self._code_tries == 0:
            right = "start the server again; its terminal then shows a new one"
            raise _no_code("code_spent", "the one-time code is used up", right)
        self._code_tries -= 1
        if not compare_digest(_letters(given), self._code):
            raise _no_code("wrong_code", "this is not the one-time code", "the code the server's terminal shows")
        self._code_tries = _CODE_TRIES

    async def hash(self, passphrase: str) -> str:
        """A passphrase's hash, off the event loop."""
        async with self._hashing:
            return await asyncio.to_thread(hash_passphrase, passphrase)

    async def accepts(self, found: Credential | None, passphrase: str) -> bool:
        """Whether it is that person's passphrase, off the event loop, in the same time when there is nobody."""
        async with self._hashing:
            return await asyncio.to_thread(is_passphrase, found.passphrase_hash if found else None, passphrase)


def _letters(code: str) -> bytes:
    return "".join(one for one in code.upper() if one.isalnum()).encode()


def _require_turn(wait_s: float) -> None:
    if wait_s > 0:
        seconds = math.ceil(wait_s)
        raise Refusal(
            429, "slow_down", "too many attempts", right=f"try again in {seconds} s", Retry_After=str(seconds)
        )


def _no_code(code: str, what: str, right: str) -> Refusal:
    return Refusal(403, code, what, where="code", right=right)
