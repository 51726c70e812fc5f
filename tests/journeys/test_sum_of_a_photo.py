"""A photo's sum, reckoned by the app itself where the browser has none to offer, is SHA-256."""

import hashlib
import random

import pytest
from journeys.phones import sign_in
from journeys.photo_phone import note_with, open_book, photos_at, photos_on, shot
from journeys.waiting import until
from playwright.sync_api import Page

RECKON = """async (messages) => {
  const { modules } = await import("/main.js");
  await import("/later.js");
  const { reckonedSha256 } = modules["/offline/sha256.js"];
  const bytes = (hex) => Uint8Array.from(hex.match(/../g) ?? [], (two) => parseInt(two, 16)).buffer;
  return messages.map((hex) => reckonedSha256(bytes(hex)));
}"""
# NIST's examples for SHA-256 (csrc.nist.gov, "SHA256.pdf"), with those of a message of no bytes and of a million "a"s.
PUBLISHED = {
    b"abc": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
    b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq": (
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"
    ),
    b"": "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    b"a" * 1_000_000: "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0",
}


@pytest.fixture
def page(home, phone) -> Page:
    phone.goto(home.url)
    return phone


def test_published_sums_come_out(page):
    assert page.evaluate(RECKON, [message.hex() for message in PUBLISHED]) == list(PUBLISHED.values())


def test_messages_of_every_length_around_a_block_and_of_a_photos_size_agree_with_hashlib(page):
    chance = random.Random(180_4)
    messages = [chance.randbytes(length) for length in [*range(200), 299_999, 300_000]]
    assert page.evaluate(RECKON, [one.hex() for one in messages]) == [
        hashlib.sha256(one).hexdigest() for one in messages
    ]


def test_on_plain_http_where_the_browser_offers_no_sum_a_photo_goes_home_all_the_same(keeper, phone, home):
    phone.add_init_script("Object.defineProperty(crypto, 'subtle', { value: undefined })")
    sign_in(phone)
    open_book(phone)
    note_with(phone, "A look", shot(1))
    until(lambda: len(photos_at(home)) == 1, "the photo is home", phone)
    assert [one["sum"] for one in photos_on(phone)] == photos_at(home)
