"""GET /api/book: what a phone no longer holds is found at home, page by page."""

from datetime import timedelta
from typing import Any
from uuid import UUID

import httpx
import pytest
from kept_log import settle_pond, write_entry

from evenwater.web.answers import book


@pytest.fixture
async def database(household: Any) -> Any:
    await settle_pond(household.database, name="Long pond", zone="Europe/Berlin")
    return household.database


async def write(household: Any, number: int, days_ago: float, kind: str = "note", **fields: Any) -> str:
    at = household.now - timedelta(days=days_ago)
    when = {"happened_at": at.isoformat(), "local_date": at.date().isoformat()}
    own = {"text": f"note {number}"} if kind == "note" else {}
    return await write_entry(household.database, number, kind=kind, placed_at=at, **{**own, **when, **fields})


async def ask(keeper: httpx.AsyncClient, **asked: Any) -> dict[str, Any]:
    answer = await keeper.get("/api/book", params=asked)
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def texts(page: dict[str, Any]) -> list[str]:
    return [one["entry"].get("text") for one in page["entries"]]


async def test_it_goes_back_page_by_page_to_the_beginning(
    household: Any, database: Any, keeper: httpx.AsyncClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(book, "PAGE", 3)
    for number in range(1, 8):
        await write(household, number, 100 * number)
    asked, found = {"group": "said"}, list[str]()
    while True:
        page = await ask(keeper, **asked)
        found += texts(page)
        if page["next"] is None:
            break
        asked["before"] = page["next"]
    assert found == [f"note {number}" for number in range(1, 8)]


async def test_a_call_that_has_looked_long_enough_says_from_where_to_go_on(
    household: Any, database: Any, keeper: httpx.AsyncClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(book, "_STRIDE", 2)
    monkeypatch.setattr(book, "_LOOK_MOST", 4)
    for number in range(1, 7):
        await write(household, number, number)
    await write(household, 7, 400, text="First frogs.")
    first = await ask(keeper, text="frogs", group="said")
    assert (first["entries"], first["back_to"]) == ([], "2026-11-21")
    assert first["next"]
    second = await ask(keeper, text="frogs", group="said", before=first["next"])
    assert (texts(second), second["next"]) == (["First frogs."], None)


async def test_words_numbers_and_choices_narrow_it(household: Any, database: Any, keeper: httpx.AsyncClient) -> None:
    await write(household, 1, 200, "reading", quantity="kh_dkh", value=5.5)
    await write(household, 2, 199, "reading", quantity="kh_dkh", value=5.0)
    await write(household, 3, 198, "fish_measure", fish="aki", length_cm=5.5, length_is="total")
    assert [one["entry"]["kind"] for one in (await ask(keeper, text="5,5"))["entries"]] == ["fish_measure", "reading"]
    assert len((await ask(keeper, text="kh 5.5"))["entries"]) == 1
    assert [one["entry"]["kind"] for one in (await ask(keeper, fish="aki"))["entries"]] == ["fish_measure"]
    assert len((await ask(keeper, since="2026-05-08", until="2026-05-09", pond="main"))["entries"]) == 1


async def test_an_empty_book_ends_where_it_begins(household: Any, keeper: httpx.AsyncClient) -> None:
    assert await ask(keeper) == {"entries": [], "about": [], "next": None, "back_to": None}


async def test_what_was_taken_back_says_so_and_a_take_back_brings_what_it_is_about(
    household: Any, database: Any, keeper: httpx.AsyncClient
) -> None:
    note = await write(household, 1, 200)
    await write(household, 2, 100, "take_back", entry=note)
    page = await ask(keeper, until="2026-09-01")
    assert [(one["entry"]["kind"], one["taken_back"]) for one in page["entries"]] == [
        ("take_back", False),
        ("note", True),
    ]
    assert [one["entry"]["id"] for one in page["about"]] == [note]


async def test_who_wrote_it_is_found_by_name(household: Any, database: Any, keeper: httpx.AsyncClient) -> None:
    aki = (await keeper.get("/api/start")).json()["person"]["id"]
    await write(household, 1, 200, author=aki)
    await write(household, 2, 199, author=str(UUID(int=5)))
    assert texts(await ask(keeper, text="aki note")) == ["note 1"]
    assert texts(await ask(keeper, person=aki)) == ["note 1"]


@pytest.mark.parametrize(
    ("asked", "where"),
    [
        ({"before": "yesterday"}, "before"),
        ({"before": "2026-11-03T16:30:00/4"}, "before"),
        ({"before": "2026-11-03T16:30:00+00:00/99999999999999999999"}, "before"),
        ({"before": "0001-01-01T00:00:00+23:59/1"}, "before"),
        ({"before": "9999-12-31T23:59:59-23:59/1"}, "before"),
        ({"group": "everything"}, "group"),
        ({"text": "k" * 201}, "text"),
        ({"since": "soon"}, "since"),
        ({"since": "0001-01-01"}, "since"),
        ({"until": "9999-12-31"}, "until"),
        ({"since": "2026-11-03", "until": "2026-11-02"}, "since"),
        ({"of_files": "perhaps"}, "of_files"),
    ],
)
async def test_what_cannot_be_asked_is_named(keeper: httpx.AsyncClient, asked: dict[str, str], where: str) -> None:
    answer = await keeper.get("/api/book", params=asked)
    assert (answer.status_code, answer.json()["where"]) == (400, where), answer.text
    assert answer.json()["right"]
