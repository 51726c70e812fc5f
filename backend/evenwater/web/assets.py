"""Serves the frontend folder as it stands, and stamps the service worker with what is in it.

The worker's list of files is read off the folder: [path, "sha256-…"] each, and the build is the hash of that list. So a
change in any file makes a new worker, and a file spoilt on the way (a hotel's sign-in page, say) is never kept.

Nothing is built beforehand: what goes out is the folder as it is when the server starts, less comments and indents,
which half of a phone's first load would be otherwise, and with the modules in two scripts (see joining):
what the round needs, and what comes later. A third runs beside the page.
"""

import asyncio
import base64
import gzip
import hashlib
import mimetypes
import re
from functools import lru_cache
from pathlib import Path
from typing import cast

import brotli  # pyright: ignore[reportMissingTypeStubs]
import msgspec
from litestar import Request, Response, Router, get
from litestar.datastructures import State
from litestar.params import FromPath
from msgspec import Struct

from evenwater.web.errors import Refusal
from evenwater.web.joining import joined_modules, joined_sheets
from evenwater.web.packing import PACKED_ALREADY

SHELL = "/index.html"
MAIN = "/main.js"
LATER = "/later.js"
STYLES = "/styles/screen.css"
LATER_STYLES = "/styles/later.css"
PHOTO_WORKER = "/photo-worker.js"
WORKER = "/sw.js"
_NOT_SERVED = frozenset({"jsconfig.json", "README.md"})
_NOT_IN_WORKER = frozenset({WORKER, "/sw-retire.js"})
_NO_MODULES = _NOT_IN_WORKER | {"/floor.js", "/sw-push.js"}
_TYPES = {".js": "text/javascript", ".webmanifest": "application/manifest+json", ".svg": "image/svg+xml"}
_COMPRESSED = (".js", ".css", ".html", ".svg", ".webmanifest", ".json")


class Asset(Struct, frozen=True):
    """One file as it is served."""

    content: bytes
    media_type: str
    etag: str
    is_text: bool

    @property
    def packed(self) -> dict[str, bytes]:
        """The content by encoding, the smaller first. It takes a second or two when it is first asked for."""
        return _packed(self.content) if self.is_text else {}


def load_assets(folder: Path) -> dict[str, Asset]:
    """Every served file by its path on the site ("/main.js"), joined, the worker stamped."""
    found = [
        (file, file.stat())
        for file in sorted(folder.rglob("*"))
        if file.is_file() and file.name not in _NOT_SERVED and not file.name.startswith(".")
    ]
    return _loaded(folder, tuple((file, told.st_mtime_ns, told.st_size) for file, told in found))


@lru_cache(maxsize=4)
def _loaded(folder: Path, found: tuple[tuple[Path, int, int], ...]) -> dict[str, Asset]:
    """Of the same files the same: where many servers start in one process, as in tests, they are read once."""
    files = {"/" + file.relative_to(folder).as_posix(): _read(file) for file, *_ in found}
    _join(files)
    if WORKER in files:
        files[WORKER] = _stamped(files)
    return {path: _asset(path, content) for path, content in files.items()}


def _join(files: dict[str, bytes]) -> None:
    """Put every module into the script the page begins with or the one that comes later, the sheets likewise.

    What works beside the page gets a script of its own.

    The first script knows the sums of what comes later, so that a page never runs on files of two builds.
    """
    if SHELL in files:
        shell, sheets, later_sheets = joined_sheets(files[SHELL].decode(), STYLES)
        files[SHELL] = shell.encode()
        for path, some in ((STYLES, sheets), (LATER_STYLES, later_sheets)):
            if some:
                files[path] = b"".join(files.pop(one) for one in some)
    if MAIN in files:
        modules = {path: files[path].decode() for path in files if path.endswith(".js") and path not in _NO_MODULES}
        for path in modules:
            del files[path]
        main = joined_modules(modules, MAIN)
        if PHOTO_WORKER in modules:
            files[PHOTO_WORKER] = joined_modules(modules, PHOTO_WORKER).encode()
        if LATER in modules:
            files[LATER] = joined_modules(modules, LATER, after=MAIN).encode()
            main = main.replace("__LATER__", _sum(files[LATER]))
        if LATER_STYLES in files:
            main = main.replace("__LATER_STYLES__", _sum(files[LATER_STYLES]))
        files[MAIN] = main.encode()


def _sum(content: bytes) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(content).digest()).decode()


def _stamped(files: dict[str, bytes]) -> bytes:
    listed = [
        ["/" if path == SHELL else path, _sum(content)] for path, content in files.items() if path not in _NOT_IN_WORKER
    ]
    listing = msgspec.json.encode(listed)
    build = hashlib.sha256(listing + files[WORKER]).hexdigest()[:16]
    return files[WORKER].replace(b"__MANIFEST__", listing).replace(b"__BUILD__", build.encode())


# Whole lines, and types within one ("/** @type …"), as our own files are written; other people's modules keep theirs,
# which name their licence.
_COMMENTS = {
    ".js": re.compile(rb"^[ \t]*(?:/\*(?:(?!\*/)[\s\S])*\*/|//.*)[ \t]*\n|/\*\* @(?:(?!\*/).)*\*/ ?", re.MULTILINE),
    ".css": re.compile(rb"^[ \t]*/\*(?:(?!\*/)[\s\S])*\*/[ \t]*\n", re.MULTILINE),
}
# One space stays: what begins a line may mean something else than what stands within a block.
_INDENTS = re.compile(rb"^[ \t]+", re.MULTILINE)


def _read(file: Path) -> bytes:
    content = file.read_bytes()
    comments = _COMMENTS.get(file.suffix)
    if comments is None or file.parent.name == "vendor":
        return content
    return _INDENTS.sub(b" ", comments.sub(b"", content))


def _asset(path: str, content: bytes) -> Asset:
    suffix = Path(path).suffix
    media_type = _TYPES.get(suffix) or mimetypes.types_map.get(suffix, "application/octet-stream")
    return Asset(content, media_type, f'"{hashlib.sha256(content).hexdigest()[:32]}"', suffix in _COMPRESSED)


@lru_cache(maxsize=256)
def _packed(content: bytes) -> dict[str, bytes]:
    return {"br": cast(bytes, brotli.compress(content)), "gzip": gzip.compress(content, 9, mtime=0)}  # pyright: ignore[reportUnknownMemberType]


@get(["/", "/{path:path}"], include_in_schema=False, name="asset", opt={PACKED_ALREADY: True})
async def asset(request: Request[object, object, State], path: FromPath[str] = "") -> Response[bytes]:
    """A file of the frontend; a path without an ending is a deep link and gets the shell."""
    assets: dict[str, Asset] = request.app.state.assets
    name = "/" + path.lstrip("/")
    found = assets.get(SHELL if _is_deep_link(name) else name)
    if found is None:
        raise Refusal(404, "not_found", f"nothing at {name}", where="path", right="see /schema/openapi.json")
    headers = {"ETag": found.etag, "Cache-Control": "no-cache", "Vary": "Accept-Encoding"}
    if request.headers.get("if-none-match") == found.etag:
        return Response(b"", status_code=304, headers=headers)
    accepted = request.headers.get("accept-encoding", "")
    packed = await asyncio.to_thread(lambda: found.packed)  # aside: others wait for nothing when it is first asked for
    for encoding, body in packed.items():
        if encoding in accepted:
            return Response(body, media_type=found.media_type, headers=headers | {"Content-Encoding": encoding})
    return Response(found.content, media_type=found.media_type, headers=headers)


def _is_deep_link(name: str) -> bool:
    return "." not in name.rsplit("/", 1)[-1] and not name.startswith(("/api/", "/schema"))


asset_routes = Router(path="/", route_handlers=[asset])
