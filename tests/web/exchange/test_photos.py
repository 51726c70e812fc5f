"""Photos over the wire: by the sum of their bytes, drawn anew, for those signed in, within the room there is."""

import asyncio
import hashlib
from collections.abc import AsyncIterator
from typing import Any

import httpx
import pytest
from pictures import CAMERA, bomb, grainy, jpeg, noted_jpeg, opened, picture, png

from evenwater.web.exchange.photos import MAX_PHOTO

JPEG = {"Content-Type": "image/jpeg"}
SENT = noted_jpeg(picture(2000, 1500))


def path_of(content: bytes) -> str:
    return f"/api/photos/{hashlib.sha256(content).hexdigest()}"


async def send(keeper: httpx.AsyncClient, content: bytes = SENT) -> httpx.Response:
    return await keeper.put(path_of(content), content=content, headers=JPEG)


def problem(answer: httpx.Response, status: int, code: str) -> dict[str, str]:
    assert answer.status_code == status, answer.text
    told = answer.json()
    assert told["code"] == code and told["what"] and told["right"]
    return told


async def test_a_photo_goes_in_and_comes_out_as_a_jpeg_of_its_pixels_alone(keeper: httpx.AsyncClient) -> None:
    answer = await send(keeper)
    assert answer.status_code == 200
    assert answer.json() == {
        "sum": path_of(SENT).rpartition("/")[2],
        "verdict": "accepted",
        "width_px": 1600,
        "height_px": 1200,
    }
    for path, size in ((path_of(SENT), (1600, 1200)), (f"{path_of(SENT)}/small", (320, 240))):
        shown = await keeper.get(path)
        assert shown.status_code == 200
        found = opened(shown.content)
        assert found.format == "JPEG" and found.size == size
        assert not found.getexif() and not found.getexif().get_ifd(0x8825)
        assert CAMERA.encode() not in shown.content and b"Exif" not in shown.content


async def test_a_picture_is_shown_as_nothing_else_and_kept_by_this_persons_browser_for_ever(
    keeper: httpx.AsyncClient,
) -> None:
    await send(keeper)
    shown = await keeper.get(path_of(SENT), headers={"Accept-Encoding": "br, gzip"})
    assert shown.headers["content-type"] == "image/jpeg"
    assert shown.headers["x-content-type-options"] == "nosniff"
    assert shown.headers["cache-control"] == "private, max-age=31536000, immutable"
    assert shown.headers["cross-origin-resource-policy"] == "same-origin"
    assert "content-encoding" not in shown.headers, "a JPEG is packed already"


async def test_sent_again_it_is_here_already_and_one(keeper: httpx.AsyncClient, household: Any) -> None:
    answers = await asyncio.gather(*(send(keeper) for _ in range(4)))
    assert sorted(answer.json()["verdict"] for answer in answers) == ["accepted", *["already_here"] * 3]
    assert len(list((household.settings.data / "photos").rglob("*.jpg"))) == 2


async def test_a_photo_spoilt_on_its_way_is_refused_by_its_sum(keeper: httpx.AsyncClient) -> None:
    answer = await keeper.put(path_of(SENT), content=SENT[:-1] + b"\0", headers=JPEG)
    assert "send" in problem(answer, 400, "wrong_sum")["right"]
    assert (await keeper.get(path_of(SENT))).status_code == 404


@pytest.mark.parametrize(
    ("sent", "code"),
    [
        (b"not a picture", "no_picture"),
        (b"", "no_picture"),
        (jpeg(picture())[:-400], "no_picture"),
        (bomb(), "too_many_pixels"),
        (b"<html><script>alert(1)</script>" + jpeg(picture()), "no_picture"),
    ],
    ids=["words", "nothing", "cut short", "a bomb", "a page with a picture in it"],
)
async def test_what_cannot_be_kept_is_refused_by_name(keeper: httpx.AsyncClient, sent: bytes, code: str) -> None:
    problem(await send(keeper, sent), 400, code)
    assert (await keeper.get(path_of(sent))).status_code == 404


async def test_a_picture_with_a_script_behind_it_is_shown_without_it(keeper: httpx.AsyncClient) -> None:
    sent = jpeg(picture()) + b"<script>fetch('/api/sign-out', {method: 'POST'})</script>"
    assert (await send(keeper, sent)).status_code == 200
    shown = await keeper.get(path_of(sent))
    assert b"script" not in shown.content and shown.headers["content-type"] == "image/jpeg"


async def test_a_png_comes_out_as_a_jpeg(keeper: httpx.AsyncClient) -> None:
    sent = png(picture())
    assert (await send(keeper, sent)).status_code == 200
    assert opened((await keeper.get(path_of(sent))).content).format == "JPEG"


async def test_forty_megabytes_are_refused_whether_the_size_is_told_or_not(keeper: httpx.AsyncClient) -> None:
    sent = bytes(40_000_000)
    problem(await send(keeper, sent), 413, "too_large")

    async def piecemeal() -> AsyncIterator[bytes]:
        for _ in range(40):
            yield bytes(1_000_000)

    problem(await keeper.put(path_of(sent), content=piecemeal(), headers=JPEG), 413, "too_large")
    problem(await send(keeper, bytes(MAX_PHOTO + 1)), 413, "too_large")


async def test_a_household_whose_room_is_full_is_told_so_and_keeps_what_it_has(make_household: Any) -> None:
    household = await make_household(photo_room_mb=1)
    keeper = await household.settle()
    count, answer = 0, None
    while count < 40:
        answer = await send(keeper, jpeg(grainy(count), quality=95))
        if answer.status_code != 200:
            break
        count += 1
    assert answer is not None
    told = problem(answer, 507, "photos_full")
    assert "1 MB" in told["what"] and "--photo-room" in told["right"]
    kept = [one for one in (household.settings.data / "photos").rglob("*") if one.is_file()]
    assert len(kept) == 2 * count and sum(one.stat().st_size for one in kept) <= 1_000_000
    assert count > 0 and (await keeper.get(path_of(jpeg(grainy(0), quality=95)))).status_code == 200


@pytest.mark.parametrize(
    "name",
    [
        "..%2f..%2fevenwater.sqlite",
        "%2e%2e%2fevenwater.sqlite",
        "../evenwater.sqlite",
        "A" * 64,
        "a" * 63,
        "a" * 65,
        "a" * 64 + "%0a",
        "a" * 64 + ".jpg",
        "a" * 64 + "%00",
    ],
)
async def test_a_name_that_is_no_sum_opens_nothing(keeper: httpx.AsyncClient, name: str) -> None:
    for method in ("GET", "PUT"):
        answer = await keeper.request(method, f"/api/photos/{name}", content=SENT if method == "PUT" else None)
        assert answer.status_code in (400, 404, 405), answer.text
        assert set(answer.json()) == {"code", "what", "where", "right"}


async def test_nobody_sees_sends_or_asks_after_a_photo_without_signing_in(
    household: Any, keeper: httpx.AsyncClient
) -> None:
    await send(keeper)
    nobody = household.caller()
    for method, path in (("GET", path_of(SENT)), ("GET", f"{path_of(SENT)}/small"), ("HEAD", path_of(SENT))):
        answer = await nobody.request(method, path)
        assert answer.status_code in (401, 405)
        assert opened_nothing(answer)
    problem(await send(nobody), 401, "sign_in")
    problem(await nobody.post("/api/photos/lacking", json={"sums": []}), 401, "sign_in")


def opened_nothing(answer: httpx.Response) -> bool:
    return b"JFIF" not in answer.content and answer.headers["cache-control"] == "no-store"


async def test_a_device_is_told_which_of_its_photos_are_lacking(keeper: httpx.AsyncClient) -> None:
    here = path_of(SENT).rpartition("/")[2]
    asked = {"sums": ["b" * 64, here, "a" * 64]}
    assert (await keeper.post("/api/photos/lacking", json=asked)).json() == {"lacking": ["b" * 64, here, "a" * 64]}
    await send(keeper)
    assert (await keeper.post("/api/photos/lacking", json=asked)).json() == {"lacking": ["b" * 64, "a" * 64]}
    problem(await keeper.post("/api/photos/lacking", json={"sums": ["../x"]}), 400, "not_right")
    problem(await keeper.post("/api/photos/lacking", json={"sums": ["a" * 64] * 501}), 400, "not_right")


async def test_a_photo_whose_file_was_taken_away_is_not_here(keeper: httpx.AsyncClient, household: Any) -> None:
    await send(keeper)
    for file in (household.settings.data / "photos").rglob("*.jpg"):
        file.unlink()
    problem(await keeper.get(path_of(SENT)), 404, "not_found")
