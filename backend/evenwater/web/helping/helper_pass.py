"""What a helper's device brings: whose it is, which hand-over it is for, and how that stands.

A helper has no account. Their device holds a token like a session's; what it opens hangs on the hand-over as the
keepers have it in the log at that moment.
"""

from datetime import datetime
from typing import Literal

from msgspec import Struct

from evenwater.domain.away.links import HelperDevice, HelperLink
from evenwater.domain.away.scope import Scope, scope_of
from evenwater.domain.people import SignedIn
from evenwater.storage.database import Database
from evenwater.storage.helper_links import device_by_token, see_device
from evenwater.storage.people import person_names
from evenwater.web.errors import Refusal
from evenwater.web.plans.planning import Planner

Ended = Literal["revoked", "moved", "over"]

_WHY: dict[Ended, tuple[str, str]] = {
    "revoked": ("the keeper has ended this link", "ring the keeper; what is not sent yet stays on this phone"),
    "moved": ("this link was moved to another phone or browser", "open it there, or ask the keeper for a new one"),
    "over": ("this hand-over is over", "nothing more to do; thank you"),
}


class HelperPass(Struct, frozen=True, kw_only=True):
    """A device bound by a link, and what it is for; `ended`: why it opens nothing any more."""

    link: HelperLink
    device: HelperDevice
    scope: Scope | None
    ended: Ended | None

    @property
    def signed_in(self) -> SignedIn | None:
        """Who is asking; nobody when it has ended."""
        if self.ended is not None or self.scope is None:
            return None
        helper = self.scope.helper
        return SignedIn(helper.id, helper.name, self.device.id, self.device.device, self.link.hand_over)


async def find_pass(database: Database, planner: Planner, token: str, now: datetime) -> HelperPass | None:
    """The pass a token stands for, if it ever stood for one."""
    found = await device_by_token(database, token)
    if found is None:
        return None
    link, device = found
    scope = scope_of(await planner.known(now), link.hand_over, link.helper, now)
    return HelperPass(link=link, device=device, scope=scope, ended=_ended(link, device, scope))


async def lives_on(database: Database, found: HelperPass, now: datetime) -> bool:
    """Whether its cookie is to be given anew: once an hour, as of sessions."""
    return found.ended is None and await see_device(database, found.device, now)


async def keeper_names(database: Database, link: HelperLink) -> list[str]:
    """Who asked for help: whoever made the link."""
    names = await person_names(database)
    return [names[link.made_by]] if link.made_by in names else []


def ended_refusal(ended: Ended) -> Refusal:
    """401, with what became of the link as its code."""
    what, right = _WHY[ended]
    return Refusal(401, ended, what, where="link", right=right)


def _ended(link: HelperLink, device: HelperDevice, scope: Scope | None) -> Ended | None:
    if link.revoked_at is not None or scope is None:
        return "revoked"
    if device.ended_at is not None:
        return "moved"
    return "over" if scope.phase == "over" else None
