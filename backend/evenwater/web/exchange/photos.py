"""/api/photos: pictures come in by the sum of their bytes, and are shown under it.

- What is sent is drawn anew and thrown away (`storage/picture.py`); what is shown under a sum is that drawing, for ever
  the same, so a browser may keep it.
- Sending again is always safe: a photo that is here already says so.
- A device whose home was restored asks which photos it lacks, and sends those.
"""

import hashlib
from collections.abc import Callable
from datetime import datetime, timedelta

from litestar import Response, Router, get, post, put
from litestar.di import NamedDependency, Provide
from litestar.params import FromPath, JSONBody, RawBody

from evenwater.domain.entries import Sha256
from evenwater.domain.people import SignedIn
from evenwater.settings import Settings
from evenwater.storage.database import Database
from evenwater.storage.helper_log import add_helper_photo, photos_since, sent_photo
from evenwater.storage.photos import KeptPhoto, NoRoom, PhotoStore, Size
from evenwater.web.errors import Refusal
from evenwater.web.exchange.photo_records import Lacking, LackingAsked, PhotoKept
from evenwater.web.exchange.photo_schema import ASKED, LACKING, KeepOperation, ShowOperation
from evenwater.web.helping.helper_pass import HelperPass
from evenwater.web.openapi import with_examples
from evenwater.web.packing import PACKED_ALREADY

MAX_PHOTO = 5_000_000
HELPERS_PHOTOS_A_DAY = 60
_FOR_EVER = {"Cache-Control": "private, max-age=31536000, immutable"}


@put(
    "/{photo_sum:str}",
    status_code=200,
    request_max_body_size=MAX_PHOTO,
    summary="Keep a photo under the SHA-256 of its bytes",
    operation_class=KeepOperation,
)
async def keep(
    photo_sum: FromPath[Sha256],
    body: RawBody,
    signed_in: NamedDependency[SignedIn],
    helper_pass: NamedDependency[HelperPass | None],
    database: NamedDependency[Database],
    photos: NamedDependency[PhotoStore],
    clock: NamedDependency[Callable[[], datetime]],
) -> PhotoKept:
    """What is kept is drawn anew, upright, at most 1600 pixels long, without place, time or anything else in it."""
    found = hashlib.sha256(body).hexdigest()
    if found != photo_sum:
        raise Refusal(400, "wrong_sum", f"these bytes have the sum {found}", where="path", right="send the photo again")
    await _require_turn(database, helper_pass, clock())
    author = None if helper_pass else signed_in.person_id  # a helper is no person of the household
    try:
        photo, was_here = await photos.keep(photo_sum, body, author, clock())
    except NoRoom as full:
        raise Refusal(
            507,
            "photos_full",
            f"the household's photos fill the {full.room_bytes // 1_000_000} MB there are for them",
            where="photos",
            right="more room with --photo-room where the server is started; photos wait on the phone until then",
        ) from None
    if helper_pass and helper_pass.scope:
        scope = helper_pass.scope
        await add_helper_photo(database, photo_sum, scope.hand_over.id, scope.helper.id, clock())
    return PhotoKept(photo_sum, "already_here" if was_here else "accepted", photo.width_px, photo.height_px)


@post(
    "/lacking",
    status_code=200,
    summary="Which of these photos are not here",
    operation_class=with_examples(given=ASKED, answered=LACKING),
)
async def lacking(data: JSONBody[LackingAsked], photos: NamedDependency[PhotoStore]) -> Lacking:
    """Asked by a device whose home was put back from a copy."""
    return Lacking(await photos.lacking(data.sums))


@get("/{photo_sum:str}", opt={PACKED_ALREADY: True}, summary="A photo", operation_class=ShowOperation)
async def whole(
    photo_sum: FromPath[Sha256],
    helper_pass: NamedDependency[HelperPass | None],
    database: NamedDependency[Database],
    photos: NamedDependency[PhotoStore],
) -> Response[bytes]:
    """As a JPEG, at most 1600 pixels long."""
    await _require_sight(database, helper_pass, photo_sum)
    return await _shown(photos, photo_sum, "whole")


@get("/{photo_sum:str}/small", opt={PACKED_ALREADY: True}, summary="A photo, small", operation_class=ShowOperation)
async def small(
    photo_sum: FromPath[Sha256],
    helper_pass: NamedDependency[HelperPass | None],
    database: NamedDependency[Database],
    photos: NamedDependency[PhotoStore],
) -> Response[bytes]:
    """As a JPEG, at most 320 pixels long."""
    await _require_sight(database, helper_pass, photo_sum)
    return await _shown(photos, photo_sum, "small")


async def _shown(photos: PhotoStore, photo_sum: str, size: Size) -> Response[bytes]:
    content = await photos.read(await _photo(photos, photo_sum), size)
    if content is None:
        raise _not_here()
    return Response(content, media_type="image/jpeg", headers=_FOR_EVER)


async def _photo(photos: PhotoStore, photo_sum: str) -> KeptPhoto:
    """The photo of that sum.

    Raises:
        Refusal: 404 not_found.
    """
    photo = await photos.find(photo_sum)
    if photo is None:
        raise _not_here()
    return photo


async def _require_turn(database: Database, helper_pass: HelperPass | None, now: datetime) -> None:
    """A link that went astray must not fill the household's disk.

    Raises:
        Refusal: 429 slow_down; the photo waits on the phone.
    """
    scope = helper_pass.scope if helper_pass else None
    if scope is None:
        return
    if await photos_since(database, scope.hand_over.id, now - timedelta(days=1)) >= HELPERS_PHOTOS_A_DAY:
        right = f"no more than {HELPERS_PHOTOS_A_DAY} in a day; the others wait on the phone"
        raise Refusal(429, "slow_down", "many photos already", where="photos", right=right, Retry_After="3600")


async def _require_sight(database: Database, helper: HelperPass | None, photo_sum: str) -> None:
    """The one place that decides who may see which photo: keepers all, helpers those of their hand-over and their own.

    Raises:
        Refusal: 404 not_found; who may not see a photo is not told that it is here.
    """
    scope = helper.scope if helper else None
    if scope is None:
        return
    if scope.is_over or not (photo_sum in scope.pictures or await sent_photo(database, photo_sum, scope.hand_over.id)):
        raise _not_here()


def _not_here() -> Refusal:
    return Refusal(404, "not_found", "no such photo is here", where="path", right="the sum of a photo that was sent")


def photo_routes(database: Database, settings: Settings) -> Router:
    """The routes, with the household's photos at hand."""
    store = PhotoStore(database, settings.photo_room_mb * 1_000_000)
    return Router(
        path="/api/photos",
        route_handlers=[keep, lacking, whole, small],
        dependencies={"photos": Provide(lambda: store, sync_to_thread=False)},
    )
