"""What a browser may give as the address of its push service, and as its keys."""

from base64 import urlsafe_b64encode

import pytest

from evenwater.domain.push_address import NotAPushAddress, push_host, push_keys

POINT = urlsafe_b64encode(b"\x04" + bytes(64)).rstrip(b"=").decode()
SECRET = urlsafe_b64encode(bytes(16)).rstrip(b"=").decode()


@pytest.mark.parametrize(
    ("endpoint", "host"),
    [
        ("https://fcm.push.example/fcm/send/abc:def-ghi_jkl", "fcm.push.example"),
        ("https://web.push.example:443/QGq?x=1", "web.push.example"),
        ("https://XN--KOI-TEICH--Z5A.Example/a", "xn--koi-teich--z5a.example"),
    ],
)
def test_an_address_of_a_push_service_names_its_host(endpoint, host):
    assert push_host(endpoint) == host


@pytest.mark.parametrize(
    "endpoint",
    [
        *("", "push.example/a", "http://push.example/a", "ftp://push.example/a", "https:///a", "https://localhost/a"),
        *("https://127.0.0.1/a", "https://[::1]/a", "https://2130706433/a", "https://0x7f.0x0.0x0.0x1/a"),
        *("https://push.example:8420/a", "https://push.example:99999/a", "https://a:b@push.example/a"),
        *(
            "https://push.example/a#b",
            "https://push.example/ a",
            "https://push.example/\r\nX: 1",
            "https://push.example/ä",
        ),
        *("https://push_.example/a", "https://-push.example/a", "https://push.example./a", "https://püsh.example/a"),
        *("https://push.example/" + "a" * 1000, "https://push.example\\@evil.example/a", "https://[push.example/a"),
    ],
)
def test_anything_else_is_refused(endpoint):
    with pytest.raises(NotAPushAddress) as caught:
        push_host(endpoint)
    assert caught.value.where == "endpoint"


def test_keys_are_read_with_padding_and_without():
    for pad in ("", "="):
        assert push_keys(POINT + pad, SECRET + pad * 2) == (b"\x04" + bytes(64), bytes(16))


@pytest.mark.parametrize(
    ("p256dh", "auth", "where"),
    [
        ("", SECRET, "keys.p256dh"),
        (SECRET, SECRET, "keys.p256dh"),
        (urlsafe_b64encode(b"\x02" + bytes(64)).decode(), SECRET, "keys.p256dh"),
        (POINT, "", "keys.auth"),
        (POINT, POINT, "keys.auth"),
        (POINT, "ä", "keys.auth"),
        ("a", SECRET, "keys.p256dh"),
    ],
)
def test_keys_of_another_length_or_kind_are_refused(p256dh, auth, where):
    with pytest.raises(NotAPushAddress) as caught:
        push_keys(p256dh, auth)
    assert caught.value.where == where
