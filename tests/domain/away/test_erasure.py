"""What is left when a helper's name is taken out: everything but the name."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.away.erasure import NOBODY, unnamed, unnamed_entry, without_helper


def test_of_two_helpers_the_other_one_stays_as_they_were():
    other = {"id": "i", "name": "Bo", "tel": "0123 456"}
    value = [{"id": "h", "name": "Nora", "tel": "0123 999"}, other]
    assert without_helper(value, "h") == [{"id": "h", "name": NOBODY}, other]
    assert without_helper(value, "x") == value
    assert without_helper(None, "h") is None


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
    entry = {
        "id": "may",
        "kind": "note",
        "pond": "may",
        "local_date": "may",
        "text": "May came in May",
        "value": ["May"],
    }
    assert unnamed_entry(entry, "May") == entry | {"text": f"{NOBODY} came in {NOBODY}", "value": [NOBODY]}


@given(st.text(min_size=1, max_size=20).filter(str.strip), st.text(max_size=60))
def test_taken_out_twice_is_taken_out_once(name, text):
    once = unnamed(text, name)
    if name.casefold() not in NOBODY.casefold():
        assert unnamed(once, name) == once
