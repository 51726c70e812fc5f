"""Notifications: sealed as RFC 8291 prints it, signed, sent to a real service over TLS, and what it may answer."""

import logging
from base64 import urlsafe_b64decode
from datetime import UTC, datetime, timedelta
from urllib.parse import urlsplit

import msgspec
import pytest
from cryptography.hazmat.primitives.asymmetric import ec
from push_service import HOST, Browser, PushService
from py_vapid import Vapid02
from py_vapid.jwt import decode

from evenwater.delivery.send import push
from evenwater.delivery.send.not_sent import NotSent
from evenwater.delivery.send.public_hosts import public_places
from evenwater.delivery.send.push import LENGTHS, PushCarrier, retry_after_s, sealed
from evenwater.domain.messages import Message
from evenwater.domain.people import Person
from evenwater.storage.people import add_first_person, begin_session, revoke_session
from evenwater.storage.push import Subscription, keep_subscription, subscriptions
from evenwater.storage.vapid_key import public_text, vapid_key

NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
MESSAGE = Message(
    id="m1",
    key="alarm/cover/marit/push/one",
    person="marit",
    channel="push",
    to="one",
    subject="Covers on: not done",
    text="Covers on was due by 17:40.\n\nOpen, the water would lose 1.9 °C by morning.",
    ways_out={"on_it": "/on-it/abc"},
    made_at=NOW,
    next_try_at=NOW,
)
ENDPOINT = f"https://{HOST}/send/s3cret-of-this-browser"


def b64(text: str) -> bytes:
    return urlsafe_b64decode(text + "=" * (-len(text) % 4))


def test_sealing_gives_the_bytes_of_rfc_8291_appendix_a():
    # Source: RFC 8291, section 5 and appendix A.
    private = int.from_bytes(b64("yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw"))
    browser = Subscription(
        id="",
        person_id="",
        device="",
        endpoint="",
        p256dh=b64("BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4"),
        auth=b64("BTBZMqHH6r4Tts7J_aSIgg"),
        made_at=NOW,
    )
    body = sealed(
        browser,
        b"When I grow up, I want to be a watermelon",
        salt=b64("DGv6ra1nlYgDCS1FRnbzlw"),
        key=ec.derive_private_key(private, ec.SECP256R1()),
    )
    assert body == b64(
        "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_"
        "yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN"
    )


@pytest.fixture
async def service(tmp_path):
    async with PushService(tmp_path / "push").running() as running:
        yield running


@pytest.fixture
def browser():
    return Browser()


@pytest.fixture
async def household(database, browser):
    assert await add_first_person(database, Person("marit", "Marit", NOW), "hash")
    await begin_session(database, "marit", "phone", "Marit's phone", "t1", NOW, "session-1")
    await keep_subscription(
        database,
        Subscription(
            id="one",
            person_id="marit",
            device="phone",
            endpoint=ENDPOINT,
            p256dh=browser.p256dh,
            auth=browser.auth,
            made_at=NOW,
        ),
    )
    return database


@pytest.fixture
def carrier(household, settings, service):
    key = vapid_key(settings.secrets)
    return PushCarrier(household, key, "https://pond.example", lambda: NOW, service.resolve, service.trust)


async def refused(carrier, message=MESSAGE) -> NotSent:
    with pytest.raises(NotSent) as caught:
        await carrier(message)
    assert "s3cret" not in caught.value.why and "127.0.0.1" not in caught.value.why
    return caught.value


async def test_the_browser_alone_reads_what_was_sent(carrier, service, browser):
    await carrier(MESSAGE)
    ((path, headers, body),) = service.calls
    assert path == urlsplit(ENDPOINT).path
    assert browser.read(body) == {
        "title": "Covers on: not done",
        "body": "Covers on was due by 17:40.\nOpen, the water would lose 1.9 °C by morning.",
        "tag": headers["topic"],
        "link": "/round",
        "on_it": "/on-it/abc",
    }
    assert b"Covers" not in body
    assert (headers["host"], headers["content-encoding"], headers["urgency"]) == (HOST, "aes128gcm", "high")
    assert int(headers["ttl"]) > 0 and len(headers["topic"]) == 32
    assert service.looked_up == [(HOST, 443)]


async def test_the_service_can_check_who_we_are(carrier, service, settings):
    await carrier(MESSAGE)
    authorization = service.calls[0][1]["authorization"]
    assert Vapid02.verify(authorization)
    parts = dict(one.split("=", 1) for one in authorization.removeprefix("vapid ").split(","))
    assert parts["k"] == public_text(vapid_key(settings.secrets))
    claims = decode(parts["t"], parts["k"])
    assert claims["aud"] == f"https://{HOST}" and claims["sub"] == "https://pond.example"
    assert NOW.timestamp() < claims["exp"] <= (NOW + timedelta(hours=24)).timestamp()


async def test_a_list_is_less_urgent_and_the_same_message_again_takes_the_place_of_the_first(carrier, service):
    listed = msgspec.structs.replace(MESSAGE, key="list/marit/2026-11-03/push/one")
    for message in (listed, listed, MESSAGE):
        await carrier(message)
    headers = [call[1] for call in service.calls]
    assert [one["urgency"] for one in headers] == ["normal", "normal", "high"]
    assert headers[0]["topic"] == headers[1]["topic"] != headers[2]["topic"]


async def test_no_two_messages_are_sealed_alike(carrier, service):
    await carrier(MESSAGE)
    await carrier(MESSAGE)
    assert service.calls[0][2] != service.calls[1][2]
    assert service.calls[0][2][:16] != service.calls[1][2][:16]


@pytest.mark.parametrize("status", [404, 410])
async def test_a_browser_that_is_gone_is_forgotten(carrier, service, household, status):
    service.answers = [(status, {})]
    error = await refused(carrier)
    assert error.for_good and "Marit's phone takes no notifications any more" in error.why
    assert await subscriptions(household, NOW) == []
    assert (await refused(carrier)).for_good
    assert len(service.calls) == 1


async def test_what_is_too_long_is_sent_once_more_and_shorter(carrier, service, browser):
    service.answers = [(413, {}), (201, {})]
    await carrier(msgspec.structs.replace(MESSAGE, text="Buffer, 2½ capfuls · 68 g\n" * 500))
    texts = [browser.read(body)["body"] for _, _, body in service.calls]
    assert [len(one.encode()) <= most for one, most in zip(texts, LENGTHS, strict=True)] == [True, True]
    assert all(one.endswith("…") for one in texts) and len(texts[1]) > 100


async def test_what_is_too_long_even_then_is_given_up(carrier, service):
    service.answers = [(413, {})]
    assert (await refused(carrier)).for_good
    assert len(service.calls) == 2


@pytest.mark.parametrize(("status", "wait"), [(429, "120"), (503, "120"), (429, "Tue, 03 Nov 2026 16:32:00 GMT")])
async def test_a_busy_service_says_when_to_come_again(carrier, service, household, status, wait):
    service.answers = [(status, {"Retry-After": wait})]
    error = await refused(carrier)
    assert (error.for_good, error.again_after_s) == (False, 120.0)
    assert len(await subscriptions(household, NOW)) == 1


@pytest.mark.parametrize("status", [500, 502, 504])
async def test_a_service_in_trouble_is_tried_again(carrier, service, status):
    service.answers = [(status, {})]
    error = await refused(carrier)
    assert (error.for_good, error.again_after_s) == (False, None)


@pytest.mark.parametrize("status", [400, 401, 403, 301, 307])
async def test_a_refusal_is_for_good_and_nothing_is_followed_elsewhere(carrier, service, household, status):
    service.answers = [(status, {"Location": "https://127.0.0.1/"})]
    assert (await refused(carrier)).for_good
    assert len(service.calls) == 1 and len(await subscriptions(household, NOW)) == 1


async def test_a_service_that_hangs_is_not_waited_for(carrier, service, monkeypatch):
    monkeypatch.setattr(push, "TIME_LIMIT_S", 0.5)
    service.silent = True
    error = await refused(carrier)
    assert not error.for_good and "in time" in error.why


async def test_a_service_that_is_down_is_tried_again(carrier, service):
    service.port = 1
    error = await refused(carrier)
    assert not error.for_good and "could not be reached" in error.why


async def test_another_address_of_the_same_name_is_tried(household, settings, service):
    async def two(host, port):
        return [("127.0.0.1", 1), ("127.0.0.1", service.port)]

    await PushCarrier(household, vapid_key(settings.secrets), "mailto:a@b.cd", lambda: NOW, two, service.trust)(MESSAGE)
    assert len(service.calls) == 1


async def test_a_name_that_leads_home_is_never_called(household, settings, service):
    async def home(host, port):
        async def told(_host, _port):
            return ["127.0.0.1"]

        return await public_places(host, service.port, told)

    error = await refused(
        PushCarrier(household, vapid_key(settings.secrets), "mailto:a@b.cd", lambda: NOW, home, service.trust)
    )
    assert error.for_good and service.calls == []


async def test_a_certificate_of_another_name_is_not_believed(household, settings, service, browser):
    other = "https://other.example/send/s3cret"
    await keep_subscription(
        household,
        Subscription(
            id="two",
            person_id="marit",
            device="phone",
            endpoint=other,
            p256dh=browser.p256dh,
            auth=browser.auth,
            made_at=NOW,
        ),
    )
    key = vapid_key(settings.secrets)
    carrier = PushCarrier(household, key, "mailto:a@b.cd", lambda: NOW, service.resolve, service.trust)
    error = await refused(carrier, msgspec.structs.replace(MESSAGE, to="two"))
    assert not error.for_good and service.calls == []


async def test_a_device_that_was_signed_out_hears_nothing(carrier, service, household):
    assert await revoke_session(household, "session-1", NOW)
    assert (await refused(carrier)).for_good and service.calls == []


async def test_the_address_of_a_browser_stands_in_no_log(carrier, service, caplog):
    caplog.set_level(logging.INFO)
    await carrier(MESSAGE)
    service.answers = [(410, {})]
    await refused(carrier)
    assert "s3cret" not in caplog.text


@pytest.mark.parametrize(
    ("said", "wait_s"),
    [
        (None, None),
        ("", None),
        ("soon", None),
        ("0", 0.0),
        ("90", 90.0),
        ("999999999999", 86400.0),
        ("Tue, 03 Nov 2026 16:00:00 GMT", 0.0),
        ("Tue, 03 Nov 2026 17:30:00 GMT", 3600.0),
        ("-5", None),
    ],
)
def test_a_wait_is_read_in_both_its_forms(said, wait_s):
    assert retry_after_s(said, NOW) == wait_s
