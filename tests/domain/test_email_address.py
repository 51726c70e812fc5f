"""One plain address, or a clear no."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.email_address import NoAddress, email_address

GOOD = ("marit@example.org", "a.b+pond@mail.example.co.uk", "x@localhost", "o'neil@example.org", "1@2.example")
BAD = ("", "marit", "marit@", "@example.org", "a b@example.org", "a@b c.example", "a..b@example.org", ".a@example.org")
BAD += ("a@b@c.example", '"a b"@example.org', "a@[127.0.0.1]", "ä@example.org", "a@exämple.org", "a@-b.example")
BAD += ("a@example.org\n", "a@example.org\r\nBcc: b@example.org", "a@example.org,b@example.org", "<a@example.org>")
BAD += ("a" * 65 + "@example.org", "a@" + "b" * 64 + ".example", "a@" + ".".join(["b" * 60] * 5))


@pytest.mark.parametrize("text", GOOD)
def test_an_address_stays_as_it_is_but_for_blanks_about_it(text):
    assert email_address(f" {text} ") == text


@pytest.mark.parametrize("text", BAD)
def test_what_is_none_is_refused_with_an_example(text):
    with pytest.raises(NoAddress) as refused:
        email_address(text)
    assert (refused.value.where, refused.value.code) == ("email", "no_address")
    assert "marit@example.org" in refused.value.right


@given(st.text())
def test_whatever_passes_can_stand_in_a_header_and_a_command(text):
    try:
        address = email_address(text)
    except NoAddress:
        return
    assert address.isascii() and address.isprintable() and not set(address) & set(' \r\n<>,;:"()')
