"""What is left of a helper who asks to be forgotten: what was done, by "A helper", without name and number.

Entries are facts and stay, under the helper's id, which says nothing about them. Their name and number stand in the
settings of hand-overs; anywhere else only where people wrote them in words of their own. A name may be a word of ours
as well: Dawn, of whom "dawn+00:30" says nothing. So no text is blanked where the entry could not be read afterwards.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from typing import Any, Final, cast

import msgspec

from evenwater.domain.entries import Set
from evenwater.domain.errors import DomainError
from evenwater.domain.pond import setting_value
from evenwater.domain.read_entries import read_entry

NOBODY: Final = "A helper"
SHORT: Final = "…"
"""Where a text has no room for more."""
# Names of what a person writes or chooses freely; the rest of an entry are ids, dates and words of ours.
_FREE: Final = ("text", "reason", "override_reason", "found", "value")
Entry = dict[str, Any]


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


def without_contact(value: Any, words: Sequence[str]) -> Any:
    """The value of a `ring` without whoever has one of these names or numbers: nobody is rung without a number.

    >>> without_contact([{"name": "Nora", "tel": "123"}, {"name": "Bo", "tel": "456"}], ["nora"])
    [{'name': 'Bo', 'tel': '456'}]
    """
    if not isinstance(value, list):
        return value
    known = {one.casefold() for one in words}
    return [one for one in cast(list[Any], value) if not (isinstance(one, dict) and known & _told(one))]


def _told(contact: Any) -> set[str]:
    return {str(contact.get("name")).casefold(), str(contact.get("tel")).casefold()}


def unnamed(value: Any, name: str, instead: str = NOBODY) -> Any:
    """The same with a name taken out of every text, whole words alone, however it is written.

    >>> unnamed({"says": "nora and Norah", "n": 1}, "Nora")
    {'says': 'A helper and Norah', 'n': 1}
    """
    if isinstance(value, str):
        return _word(name).sub(instead, value)
    if isinstance(value, list):
        return [unnamed(one, name, instead) for one in cast(list[Any], value)]
    if isinstance(value, dict):
        return {key: unnamed(one, name, instead) for key, one in cast(dict[str, Any], value).items()}
    return value


def unnamed_entry(entry: Entry, name: str) -> Entry:
    """An entry with a name taken out of what people wrote in it, and that can be read as before."""
    if all(unnamed(entry.get(key), name) == entry.get(key) for key in _FREE):
        return entry
    readable = _as_setting if _as_setting(entry) else _as_entry
    for path in _texts({key: entry[key] for key in _FREE if key in entry}):
        for instead in (NOBODY, SHORT):
            blanked = _changed(entry, path, lambda text, by=instead: unnamed(text, name, by))
            if readable(blanked):
                entry = blanked
                break
    return entry


def _texts(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to each text in a value."""
    if isinstance(value, str):
        yield path
    elif isinstance(value, dict):
        for key, one in cast(dict[str, Any], value).items():
            yield from _texts(one, (*path, key))
    elif isinstance(value, list):
        for at, one in enumerate(cast(list[Any], value)):
            yield from _texts(one, (*path, at))


def _changed(value: Any, path: tuple[Any, ...], change: Callable[[str], str]) -> Any:
    """A copy of a value with the text at the end of that way changed."""
    if not path:
        return change(value)
    copy = value.copy()
    copy[path[0]] = _changed(value[path[0]], path[1:], change)
    return copy


def _as_entry(entry: Entry) -> bool:
    try:
        read_entry(msgspec.json.encode(entry))
    except (DomainError, msgspec.MsgspecError):
        return False
    return True


def _as_setting(entry: Entry) -> bool:
    """Whether it can be read, and if it is a setting, its value as well."""
    try:
        read = read_entry(msgspec.json.encode(entry))
        if isinstance(read, Set):
            setting_value(read)
    except (DomainError, msgspec.MsgspecError):
        return False
    return True


def _word(name: str) -> re.Pattern[str]:
    words = r"\s+".join(map(re.escape, name.split()))
    return re.compile(rf"(?<!\w){words}(?!\w)", re.IGNORECASE)
