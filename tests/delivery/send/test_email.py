"""E-mail through a real mail server: what arrives, and what each refusal means."""

import ssl
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest
from conftest import START
from post_office import PostOffice, html_of, text_of

from evenwater.delivery.send import email as sending
from evenwater.delivery.send.email import email_carrier
from evenwater.delivery.send.not_sent import NotSent
from evenwater.domain.messages import Message
from evenwater.settings import Smtp
from evenwater.web.access.authority import prepare_https

HOME = "https://pond.example.org"


@pytest.fixture
def office():
    with PostOffice().open() as opened:
        yield opened


def smtp(office: PostOffice, **more: object) -> Smtp:
    return Smtp(**{"host": "127.0.0.1", "port": office.port, "security": "none", "sender": "pond@example.org"} | more)


def message(**more: object) -> Message:
    usual = {
        "id": "0a1b",
        "key": "list/marit/2026-11-03/email",
        "person": "marit",
        "channel": "email",
        "to": "marit@example.org",
        "subject": "Tuesday's round: 6 jobs, 14 min",
        "text": "Covers on, by 17:40\n½ capful · 14 g\n",
        "html": "<p>Covers on, by 17:40</p>",
        "ways_out": {"unsubscribe": "/unsubscribe/secret-word", "on_it": "/on-it/other-word"},
        "made_at": START,
        "next_try_at": START,
    }
    return Message(**usual | more)


async def carry(office: PostOffice, one: Message | None = None, password: str | None = None, **more: object) -> None:
    await email_carrier(smtp(office, **more), lambda: password, HOME)(one or message())


async def refusal(office: PostOffice, one: Message | None = None, **more: object) -> NotSent:
    with pytest.raises(NotSent) as refused:
        await carry(office, one, **more)
    return refused.value


async def test_a_letter_arrives_whole_with_text_html_and_links(office):
    await carry(office, sender="The pond <pond@example.org>")
    (letter,) = office.wait_for(1)
    assert office.to == ["marit@example.org"]
    assert (letter["From"], letter["To"]) == ("The pond <pond@example.org>", "marit@example.org")
    assert letter["Subject"] == "Tuesday's round: 6 jobs, 14 min"
    assert letter["Message-ID"] == "<0a1b@example.org>"
    assert letter["Date"].datetime == START
    assert letter["Auto-Submitted"] == "auto-generated"
    assert "½ capful · 14 g" in text_of(letter)
    assert f"{HOME}/round" in text_of(letter)
    assert "Seen, I am on it:\nhttps://pond.example.org/on-it/other-word" in text_of(letter)
    assert f'<a href="{HOME}/round">' in html_of(letter)


async def test_it_can_be_ended_by_one_click_where_the_address_is_https(office):
    await carry(office)
    (letter,) = office.wait_for(1)
    assert letter["List-Unsubscribe"] == "<https://pond.example.org/unsubscribe/secret-word>"
    assert letter["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"


async def test_over_http_no_one_click_is_promised_since_mail_programs_must_not_follow_it(office):
    await email_carrier(smtp(office), lambda: None, "http://192.168.1.20:8420")(message())
    (letter,) = office.wait_for(1)
    assert letter["List-Unsubscribe"] == "<http://192.168.1.20:8420/unsubscribe/secret-word>"
    assert letter["List-Unsubscribe-Post"] is None


async def test_no_line_of_anybodys_becomes_a_header(office):
    evil = "Hello\r\nBcc: everyone@example.org\r\n\r\nNot the body"
    await carry(office, message(subject=evil))
    (letter,) = office.wait_for(1)
    assert letter["Bcc"] is None
    assert letter["Subject"] == "Hello Bcc: everyone@example.org Not the body"
    assert office.to == ["marit@example.org"]


@pytest.mark.parametrize(
    "to",
    [
        "marit@example.org\r\nBcc: everyone@example.org",
        "marit@example.org> RCPT TO:<everyone@example.org",
        "marit@example.org, everyone@example.org",
        "nobody",
        "",
    ],
)
async def test_an_address_that_is_none_goes_nowhere(office, to):
    refused = await refusal(office, message(to=to))
    assert refused.for_good
    assert office.taken == []


async def test_a_line_of_one_dot_does_not_end_the_letter(office):
    await carry(office, message(text="one\n.\nMAIL FROM:<x@example.org>\ntwo\n"))
    (letter,) = office.wait_for(1)
    assert "one\n.\nMAIL FROM:<x@example.org>\ntwo" in text_of(letter)


@pytest.mark.parametrize(
    ("field", "answer", "for_good", "why"),
    [
        ("refuse_to", "550 no such box", True, "the mail server refuses the address (550)"),
        ("refuse_to", "450 try later", False, "the mail server refuses the address (450)"),
        ("refuse_from", "553 not you", False, "the mail server refuses the sender's address (553)"),
        ("refuse_data", "554 smells", True, "the mail server refuses the message (554)"),
        ("refuse_data", "451 later", False, "the mail server refuses the message (451)"),
    ],
)
async def test_each_refusal_says_what_was_refused_and_whether_to_try_again(office, field, answer, for_good, why):
    setattr(office, field, answer)
    refused = await refusal(office)
    assert (refused.for_good, refused.why) == (for_good, why)


async def test_a_server_that_is_not_there_is_tried_again(office):
    office.stop()
    refused = await refusal(office)
    assert (refused.for_good, refused.why) == (False, "the mail server cannot be reached")


async def test_a_server_that_does_not_answer_is_left_in_time(office, monkeypatch):
    monkeypatch.setattr(sending, "TAKING_LIMIT_S", 0.2)
    office.pause_s = 5.0
    begun = time.monotonic()
    refused = await refusal(office)
    assert (refused.for_good, refused.why) == (False, "the mail server does not answer in time")
    assert time.monotonic() - begun < 3


async def test_a_slow_server_that_takes_it_has_taken_it(office):
    office.pause_s = 0.5
    await carry(office)
    assert len(office.wait_for(1)) == 1


async def test_the_password_is_the_one_that_stands_now(office):
    office.stop()
    office.user, office.password = "pond@example.org", "right"
    office.start()
    refused = await refusal(office, password="wrong", user="pond@example.org")
    assert refused.why == "the mail server refuses the user name or password (535)"
    assert "wrong" not in refused.why and not refused.for_good
    await carry(office, password="right", user="pond@example.org")
    assert len(office.wait_for(1)) == 1


async def test_an_unencrypted_server_gets_nothing_when_encryption_is_asked_for(office):
    refused = await refusal(office, security="starttls")
    assert "encryption" in refused.why
    assert (await refusal(office, security="tls")).why
    assert office.taken == []


@pytest.fixture
def certified(tmp_path: Path):
    """(a context that has a certificate for 127.0.0.1, a context that trusts it)."""
    https = prepare_https(tmp_path, frozenset({"127.0.0.1", "localhost"}), datetime.now(UTC))
    has = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    has.load_cert_chain(https.certificate, https.key)
    trusts = ssl.create_default_context(cadata=https.authority_der)
    return has, trusts


@pytest.mark.parametrize("security", ["starttls", "tls"])
async def test_an_encrypted_line_is_used_when_its_certificate_is_good_and_refused_when_not(certified, security):
    has, trusts = certified
    options = {"ssl_context": has} if security == "tls" else {"tls_context": has, "require_starttls": True}
    with PostOffice(**options).open() as office:
        refused = await refusal(office, security=security)
        assert not refused.for_good and office.taken == []
        await email_carrier(smtp(office, security=security), lambda: None, HOME, trusts)(message())
        assert len(office.wait_for(1)) == 1
