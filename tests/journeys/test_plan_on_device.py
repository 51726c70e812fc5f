"""What a device keeps of a plan whose news leaves out what has not changed."""

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page

HEAD: dict[str, Any] = {
    "starter": [],
    "ponds": [{"id": "main"}, {"id": "quarantine"}],
    "water": [],
    "warmth": [],
    "book": [{"pond": "main", "tag": "b1"}, {"pond": "quarantine", "tag": "q1"}],
    "fish": [{"pond": "main", "tag": "f1"}],
    "back": [{"date": f"2026-10-{day}", "tag": f"d{day}"} for day in (20, 21, 22)],
    "dates": ["2026-11-03"],
}


def of_offline(page: Page, script: str, *told: object) -> Any:
    page.goto("/")
    return page.evaluate(f'async (told) => {{ const {{ modules }} = await import("/main.js"); {script} }}', list(told))


def merged(page: Page, old: dict[str, Any] | None, news: dict[str, Any]) -> dict[str, Any]:
    return of_offline(page, 'return modules["/offline/apply.js"].mergedHead(...told);', old, news)


def test_a_book_that_did_not_change_stays_and_a_closed_pond_s_goes(new_phone: Callable[..., Page]) -> None:
    news = HEAD | {"ponds": [{"id": "main"}], "book": [], "back": []}
    found = merged(new_phone(now=None), HEAD, news)
    assert found["book"] == [{"pond": "main", "tag": "b1"}]


def test_a_new_book_takes_the_old_one_s_place(new_phone: Callable[..., Page]) -> None:
    news = HEAD | {"book": [{"pond": "main", "tag": "b2"}], "back": []}
    found = merged(new_phone(now=None), HEAD, news)
    assert [one["tag"] for one in found["book"]] == ["b2", "q1"]


def test_fish_that_did_not_change_stay(new_phone: Callable[..., Page]) -> None:
    found = merged(new_phone(now=None), HEAD, HEAD | {"fish": []})
    assert found["fish"] == [{"pond": "main", "tag": "f1"}]


def test_days_gone_by_are_kept_for_two_weeks_oldest_first(new_phone: Callable[..., Page]) -> None:
    fresh = [{"date": "2026-11-02", "tag": "d02"}, {"date": "2026-10-22", "tag": "d22b"}]
    found = merged(new_phone(now=None), HEAD, HEAD | {"back": fresh, "book": []})
    assert [one["tag"] for one in found["back"]] == ["d20", "d21", "d22b", "d02"]
    later = merged(new_phone(now=None), found, HEAD | {"dates": ["2026-11-05"], "back": [], "book": []})
    assert [one["tag"] for one in later["back"]] == ["d22b", "d02"]


def test_an_older_home_sends_no_book_and_takes_none_away(new_phone: Callable[..., Page]) -> None:
    older = {name: value for name, value in HEAD.items() if name not in {"book", "back"}}
    found = merged(new_phone(now=None), None, older)
    assert (found["book"], found["back"]) == ([], [])


def test_the_device_says_which_books_and_days_gone_by_it_has(new_phone: Callable[..., Page]) -> None:
    tags = of_offline(new_phone(now=None), 'return modules["/offline/local-db.js"].tagsIn(...told);', HEAD)
    assert dict(tags) == {
        "book/main": "b1",
        "book/quarantine": "q1",
        "fish/main": "f1",
        "back/2026-10-20": "d20",
        "back/2026-10-21": "d21",
        "back/2026-10-22": "d22",
    }
