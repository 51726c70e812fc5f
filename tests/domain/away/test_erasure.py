"""What is left when a helper's name is taken out: everything but the name."""

from typing import Any
from uuid import UUID

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.away.erasure import NOBODY, unnamed, unnamed_entry, without_contact, without_helper
from evenwater.domain.pond import setting_value
from evenwater.domain.read_entries import read_entry


def entry(kind: str, **fields: Any) -> dict[str, Any]:
    stamp = "2026-11-03T16:30:00+00:00"
    when = {"happened_at": stamp, "recorded_at": stamp, "local_date": "2026-11-03", "zone": "UTC"}
    who = {"device": str(UUID(int=1)), "author": str(UUID(int=2))}
    return {"id": str(UUID(int=9)), "v": 1, "pond": "main", "kind": kind} | when | who | fields


def test_of_two_helpers_the_other_one_stays_as_they_were():
    other = {"id": "i", "name": "Bo", "tel": "0123 456"}
    value = [{"id": "h", "name": "Nora", "tel": "0123 999"}, other]
    assert without_helper(value, "h") == [{"id": "h", "name": NOBODY}, other]
    assert without_helper(value, "x") == value
    assert without_helper(None, "h") is None


def test_whoever_is_gone_is_rung_no_more_whatever_else_they_were_called():
    ring = [{"name": "Next door", "tel": "0123 999"}, {"name": "Bo", "tel": "0123 456"}]
    assert without_contact(ring, ["Nora", "0123 999"]) == ring[1:]
    assert without_contact(ring, ["BO"]) == ring[:1]
    assert without_contact(None, ["Bo"]) is None


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("Nora fed them", "A helper fed them"),
        ("ask NORA, or nora's brother", "ask A helper, or A helper's brother"),
        ("Norah and Eleonora", "Norah and Eleonora"),
        ("(Nora)", "(A helper)"),
        ("nothing of the kind", "nothing of the kind"),
    ],
)
def test_a_name_goes_as_a_whole_word_however_it_is_written(text, left):
    assert unnamed(text, "Nora") == left


@pytest.mark.parametrize("name", ["Åsa", "J. (Bo)", "a*b", "Zoë-Marie", "李"])
def test_names_of_any_letters_are_taken_as_they_stand(name):
    assert unnamed([{"says": f"so {name} said"}, 3, None], name) == [{"says": f"so {NOBODY} said"}, 3, None]


def test_ids_kinds_and_dates_of_an_entry_are_never_touched():
    note = entry("note", pond="may", text="May came in May")
    assert unnamed_entry(note, "May") == note | {"text": f"{NOBODY} came in {NOBODY}"}


@pytest.mark.parametrize(
    ("name", "target", "field", "value"),
    [
        ("Main", "hand-over/away", "jobs", ["main/covers-on"]),
        ("Dawn", "job/covers-off", "windows", {"day": {"part": "morning", "opens": "dawn+00:00", "closes": "12:00"}}),
        ("Paris", "pond", "zone", "Europe/Paris"),
    ],
)
def test_a_word_of_ours_that_is_somebodys_name_is_left_where_it_is_ours(name, target, field, value):
    setting = entry("set", target=target, field=field, value=value)
    assert unnamed_entry(setting, name) == setting


def test_beside_a_word_of_ours_the_name_goes_from_what_people_wrote():
    kit = {"kind": "pump", "name": "Dawn's pump"}
    setting = entry("set", target="pond", field="kit", value=[{"id": "dawn", **kit}])
    assert setting_value(read_entry(msgspec.json.encode(setting)))
    assert unnamed_entry(setting, "Dawn")["value"] == [{"id": "dawn", **kit, "name": f"{NOBODY}'s pump"}]


def test_a_text_without_room_for_more_can_be_read_afterwards():
    blanked = unnamed_entry(entry("note", text="Bo " + "x" * 1997), "Bo")
    assert read_entry(msgspec.json.encode(blanked)) and "Bo" not in blanked["text"]


def test_what_was_found_on_a_fish_is_words_of_ones_own_as_well():
    found = [{"where": "mouth", "text": "Nora saw a red spot"}]
    measure = entry("fish_measure", fish="ko", found=found)
    assert unnamed_entry(measure, "Nora")["found"] == [{"where": "mouth", "text": f"{NOBODY} saw a red spot"}]


def test_a_name_broken_over_two_lines_is_that_name():
    assert unnamed("as Nora\nQuist said", "Nora Quist") == f"as {NOBODY} said"


@given(st.text(min_size=1, max_size=20).filter(str.strip), st.text(max_size=60))
def test_taken_out_twice_is_taken_out_once(name, text):
    once = unnamed(text, name)
    if name.casefold() not in NOBODY.casefold():
        assert unnamed(once, name) == once
