"""Which ways messages leave by, and under what name."""

import pytest

from evenwater.carrying import carriers, push_contact
from evenwater.delivery.send.push import PushCarrier
from evenwater.settings import Settings, Smtp
from evenwater.storage.vapid_key import FILE_NAME


def made(tmp_path, **more):
    return Settings(data=tmp_path, frontend=tmp_path, **more)


@pytest.mark.parametrize(
    ("more", "base", "contact"),
    [
        ({}, "http://localhost:8420", "mailto:evenwater@localhost"),
        ({"public_url": "https://pond.example/"}, "https://pond.example", "https://pond.example"),
        ({"public_url": "https://pond.example:8443"}, "https://pond.example:8443", "https://pond.example"),
        ({"public_names": ("pond.home.example",), "https": True}, "https://pond.home.example:8420", None),
        ({"public_names": ("192.168.1.20",), "https": True}, "https://192.168.1.20:8420", "mailto:evenwater@localhost"),
        ({"public_names": ("fd00::1",), "https": True}, "https://[fd00::1]:8420", "mailto:evenwater@localhost"),
        ({"smtp": Smtp(host="m", sender="Pond <pond@home.example>")}, None, "mailto:pond@home.example"),
    ],
)
def test_the_server_says_by_which_name_it_can_be_reached(tmp_path, more, base, contact):
    settings = made(tmp_path, **more)
    assert settings.address(8420) == (base or "http://localhost:8420")
    assert push_contact(settings, 8420) == (contact or "https://pond.home.example")


async def test_a_folder_of_secrets_that_is_none_costs_only_the_notifications(tmp_path, database, clock, caplog):
    (tmp_path / "secrets").write_text("a file, where the folder should be")
    assert carriers(made(tmp_path, smtp=Smtp(host="m")), database, clock, 8420).keys() == {"email"}
    assert "no notifications" in caplog.text


async def test_notifications_need_no_setting_and_mail_does(tmp_path, database, clock):
    ways = carriers(made(tmp_path), database, clock, 8420)
    assert set(ways) == {"push"} and isinstance(ways["push"], PushCarrier)
    assert (tmp_path / "secrets" / FILE_NAME).stat().st_mode & 0o077 == 0
    assert set(carriers(made(tmp_path, smtp=Smtp(host="m")), database, clock, 8420)) == {"push", "email"}
