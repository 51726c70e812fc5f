"""The page that walks through trusting the household's authority, and the authority itself to download.

With --https it is served twice: by the application, and alone on a plain listener (`trust_app`), since a phone that
trusts nothing yet would meet a warning instead of the page.

- A plain page proves nothing about itself: it says to compare the fingerprint with the one in the server's terminal.
- No script, no stylesheet to fetch: what style there is stands in the page, allowed by its hash.
"""

import base64
import hashlib
from html import escape
from typing import Any

from litestar import Litestar, Request, Response, Router, get
from litestar.datastructures import State
from litestar.params import FromPath
from litestar.response import Redirect

from evenwater.settings import Settings
from evenwater.web import errors
from evenwater.web.access.authority import Https
from evenwater.web.access.gate import Gate
from evenwater.web.headers import CONTENT_POLICY
from evenwater.web.visit import Visit

_STYLE = (
    ":root{color-scheme:light dark;font:1.125rem/1.5 system-ui,sans-serif}"
    "body{max-width:36rem;margin:0 auto;padding:1rem}h1{font-size:1.6rem;line-height:1.25}h2{font-size:1.25rem}"
    "a.wide{display:block;padding:1rem;border:2px solid;border-radius:.875rem;text-align:center;font-weight:600}"
    "code{font-size:1.0625rem}li{margin-bottom:.5rem}summary{min-height:3.5rem;align-content:center}"
)
_STYLE_HASH = base64.b64encode(hashlib.sha256(_STYLE.encode()).digest()).decode()
_POLICY = f"{CONTENT_POLICY}; style-src 'sha256-{_STYLE_HASH}'"

_PAGE = """<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Trust this household's server · evenwater</title>
<style>{style}</style>
<main>
<h1>Trust this household's server</h1>
<p>evenwater works at the pond without signal only over https. This server made its own authority for that; each phone
has to be told once to trust it. It can vouch for this server alone: {names}.</p>
<h2>1 · Compare</h2>
<p>The server's terminal shows this fingerprint (SHA-256). If it shows another one, stop here: somebody stands between
you and the server.</p>
<p><code>{fingerprint}</code></p>
<h2>2 · Get it</h2>
<p><a class="wide" href="/trust/authority.crt" download="evenwater-authority.crt">Get the authority</a></p>
<h2>3 · Trust it</h2>
<details open><summary>iPhone or iPad</summary>
<ol>
<li>Do step 2 in Safari, and allow the profile to be downloaded.</li>
<li>Settings → General → VPN &amp; Device Management → the profile named “evenwater at …” → Install.</li>
<li>Settings → General → About → Certificate Trust Settings → switch “evenwater at …” on.</li>
</ol></details>
<details open><summary>Android</summary>
<ol>
<li>Settings → search for “CA certificate” (often Security → More → Encryption &amp; credentials → Install a
certificate).</li>
<li>CA certificate → Install anyway → choose evenwater-authority.crt.</li>
<li>To check: Trusted credentials → User shows the same fingerprint.</li>
<li>Use Chrome. Firefox takes no authority of the phone's by itself.</li>
</ol></details>
<h2>4 · Open it</h2>
<p><a class="wide" href="{address}">Open {address}</a></p>
<p>No warning may appear there. Then add it to the home screen.</p>
<p>To take the trust away again, remove the profile (iPhone) or the user credential (Android) in the same place.</p>
</main>
</html>
"""


def _in_lines(fingerprint: str) -> str:
    """A fingerprint that breaks after each eighth byte, so that two of them are compared line by line."""
    octets = fingerprint.split(":")
    return ":<wbr>".join(":".join(octets[start : start + 8]) for start in range(0, len(octets), 8))


def trust_routes(settings: Settings, https: Https) -> Router:
    """GET /trust and GET /trust/authority.crt, open to all."""

    @get("/trust", include_in_schema=False)
    async def trust_page(request: Request[Any, Any, State]) -> Response[str]:
        visit: Visit = request.state.visit
        port = "" if settings.port == 443 else f":{settings.port}"
        page = _PAGE.format(
            style=_STYLE,
            names=escape(", ".join(https.names)),
            fingerprint=_in_lines(https.fingerprint),
            address=escape(f"https://{visit.host}{port}/"),
        )
        headers = {"Content-Security-Policy": _POLICY, "Cache-Control": "no-store"}
        return Response(page, media_type="text/html", headers=headers)

    @get("/trust/authority.crt", include_in_schema=False)
    async def authority() -> Response[bytes]:
        headers = {"Content-Disposition": 'attachment; filename="evenwater-authority.crt"', "Cache-Control": "no-store"}
        return Response(https.authority_der, media_type="application/x-x509-ca-cert", headers=headers)

    return Router(path="/", route_handlers=[trust_page, authority])


def trust_app(settings: Settings, https: Https) -> Litestar:
    """What the plain listener beside an https server serves: these two, and the way to them from anywhere else."""

    @get(["/", "/{path:path}"], include_in_schema=False)
    async def elsewhere(path: FromPath[str] = "") -> Redirect:
        return Redirect("/trust")

    app = Litestar(
        route_handlers=[trust_routes(settings, https), elsewhere],
        exception_handlers=errors.HANDLERS,
        openapi_config=None,
    )
    app.asgi_handler = Gate(app.asgi_handler, settings)
    return app
