"""The plain listener beside an https server: the page that walks through trusting it, and a way in for helpers.

A helper is never asked to trust a household's own authority. By this door their phone works while it reaches home, and
keeps nothing for no signal; what it may do is the same. Nobody signs in here, and a keeper's session is not taken: its
cookie never travels without TLS.
"""

from typing import Final

from litestar import Litestar
from litestar.types import HTTPScope, Receive, Scope, Send

from evenwater.web.access.gate import carries_session

HELPERS_PAGE: Final = "/h"
_API: Final = ("/api/start", "/api/sync", "/api/helper/", "/api/photos/")


class PlainDoor:
    """Chooses between the two applications by the path; `app` is the whole one, `trust` the page and the way to it."""

    def __init__(self, app: Litestar, trust: Litestar) -> None:
        self._app, self._trust = app, trust

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "http" and self._is_for_helpers(scope):
            scope.setdefault("state", {})["plain_door"] = True
            await self._app(scope, receive, send)
        else:
            await self._trust(scope, receive, send)

    def _is_for_helpers(self, scope: HTTPScope) -> bool:
        """What their phone asks for; a page is theirs once it is bound, before that only the one of the link."""
        path = scope["path"]
        if path.startswith(_API) or path == HELPERS_PAGE or path in self._app.state.assets:
            return True
        return scope["method"] == "GET" and path.count("/") == 1 and path != "/trust" and carries_session(scope)
