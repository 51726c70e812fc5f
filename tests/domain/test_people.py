"""What a name and a passphrase may be."""

import pytest

from evenwater.domain.errors import OutOfRange
from evenwater.domain.people import NotPlain, device_label, name_key, passphrase_text, person_name


def test_a_name_is_trimmed_and_its_spaces_made_single() -> None:
    assert person_name("  Aki\u00a0 \tTanaka ") == "Aki Tanaka"


@pytest.mark.parametrize("text", ["", "   ", "x" * 61])
def test_a_name_of_no_or_too_many_characters_is_refused(text: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        person_name(text)
    assert refused.value.right == "1 to 60 characters"


@pytest.mark.parametrize("text", ["A\x00ki", "A\x1b[31mki", "A\u202eki", "A\u2066ki", "\ud800", "A\x7f"])
def test_a_name_with_characters_nobody_sees_is_refused(text: str) -> None:
    with pytest.raises(NotPlain):
        person_name(text)


def test_a_line_break_cannot_stay_in_a_name() -> None:
    assert person_name("Aki\r\nSet-Cookie: x=1") == "Aki Set-Cookie: x=1"


@pytest.mark.parametrize("text", ["نام\u200cخانوادگی", "👩\u200d🌾", "Zoë", "小林"])
def test_names_of_the_world_are_taken(text: str) -> None:
    assert person_name(text) == text


@pytest.mark.parametrize(
    ("one", "other"), [("Straße", "STRASSE"), ("Zoe\u0308", "zoë"), ("ﬁn", "Fin"), ("A  b", "a b")]
)
def test_names_that_look_alike_are_one(one: str, other: str) -> None:
    assert name_key(one) == name_key(other)


def test_the_key_of_a_key_is_itself() -> None:
    for name in ("Straße", "ﬁn", "İpek", "Ａki", "ΐ"):
        assert name_key(name_key(name)) == name_key(name)


@pytest.mark.parametrize("length", [7, 201])
def test_a_passphrase_too_short_or_long_is_refused_and_not_repeated(length: int) -> None:
    with pytest.raises(OutOfRange) as refused:
        passphrase_text("k" * length)
    assert refused.value.right == "8 to 200 characters"
    assert "kkk" not in str(refused.value)


@pytest.mark.parametrize("length", [8, 200])
def test_a_passphrase_of_either_limit_is_taken(length: int) -> None:
    assert len(passphrase_text(" " * length)) == length


def test_a_passphrase_is_the_same_from_any_keyboard() -> None:
    assert passphrase_text("Teichwa\u0308chter") == passphrase_text("Teichwächter")


def test_a_device_label_is_made_fit_never_refused() -> None:
    assert device_label("Safari\r\non\x1b an  iPhone") == "Safari on an iPhone"
    assert device_label("\u202e") == "a device"
    assert len(device_label("x" * 500)) == 60
