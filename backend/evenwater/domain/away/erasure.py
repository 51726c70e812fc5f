"""What is left of a helper who asks to be forgotten: what was done, by "A helper", without name and number.

Entries are facts and stay, under the helper's id, which says nothing about them. Their name and number stand in the
settings of hand-overs; anywhere else only where people wrote them in words of their own.
"""

import re
from typing import Any, Final, cast

NOBODY: Final = "A helper"
# Names of what a person writes or chooses freely; the rest of an entry are ids, dates and words of ours.
_FREE: Final = ("text", "reason", "override_reason", "value")


def without_helper(value: Any, helper: str) -> Any:
    """The value of a hand-over's `helpers`, with one of them blanked.

    >>> without_helper([{"id": "h", "name": "Nora", "tel": "123"}, {"id": "i", "name": "Bo"}], "h")
    [{'id': 'h', 'name': 'A helper'}, {'id': 'i', 'name': 'Bo'}]
    """
    if not isinstance(value, list):
        return value
    helpers = cast(list[Any], value)
    return [{"id": helper, "name": NOBODY} if _is(one, helper) else one for one in helpers]


def _is(one: Any, helper: str) -> bool:
    return isinstance(one, dict) and cast(dict[str, Any], one).get("id") == helper


def unnamed(value: Any, name: str) -> Any:
    """The same with a name taken out of every text, whole words alone, however it is written.

    >>> unnamed({"says": "nora and Norah", "n": 1}, "Nora")
    {'says': 'A helper and Norah', 'n': 1}
    """
    if isinstance(value, str):
        return _word(name).sub(NOBODY, value)
    if isinstance(value, list):
        return [unnamed(one, name) for one in cast(list[Any], value)]
    if isinstance(value, dict):
        return {key: unnamed(one, name) for key, one in cast(dict[str, Any], value).items()}
    return value


def unnamed_entry(entry: dict[str, Any], name: str) -> dict[str, Any]:
    """An entry with a name taken out of what people wrote in it."""
    return {key: unnamed(value, name) if key in _FREE else value for key, value in entry.items()}


def _word(name: str) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w){re.escape(name)}(?!\w)", re.IGNORECASE)
