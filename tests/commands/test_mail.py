"""`evenwater mail …`, and the options that name the mail server."""

import io
import stat

import pytest
from post_office import PostOffice, text_of

from evenwater.main import FRONTEND, run
from evenwater.settings import Settings

HOST = ("--smtp-host", "127.0.0.1", "--smtp-security", "none", "--mail-from", "pond@example.org")


def refused(capsys, *arguments: str) -> str:
    with pytest.raises(SystemExit) as ended:
        run(list(arguments))
    assert ended.value.code == 1
    (line,) = capsys.readouterr().err.splitlines()
    return line


def set_password(tmp_path, monkeypatch, typed: str) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(typed))
    run(["mail", "set-password", "--data", str(tmp_path)])


def test_the_password_is_kept_for_this_account_alone_and_is_never_shown(tmp_path, monkeypatch, capsys):
    set_password(tmp_path, monkeypatch, "four words of mine\n")
    kept = tmp_path / "secrets" / "smtp-password"
    assert kept.read_text() == "four words of mine"
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600
    assert stat.S_IMODE(kept.parent.stat().st_mode) == 0o700
    assert "four words" not in capsys.readouterr().out


def test_no_password_changes_nothing(tmp_path, monkeypatch, capsys):
    set_password(tmp_path, monkeypatch, "first\n")
    monkeypatch.setattr("sys.stdin", io.StringIO("\n"))
    assert "nothing was changed" in refused(capsys, "mail", "set-password", "--data", str(tmp_path))
    assert (tmp_path / "secrets" / "smtp-password").read_text() == "first"


def test_a_test_message_goes_out_with_the_password_that_was_set(tmp_path, monkeypatch, capsys):
    office = PostOffice()
    office.user, office.password = "pond@example.org", "right"
    with office.open():
        asked = ["--smtp-host", "127.0.0.1", "--smtp-port", str(office.port), "--smtp-security", "none"]
        asked += ["--smtp-user", "pond@example.org", "--data", str(tmp_path)]
        line = refused(capsys, "mail", "test", "marit@example.org", *asked)
        assert line == "evenwater: not sent: the mail server refuses the user name or password (535)."
        set_password(tmp_path, monkeypatch, "right\n")
        run(["mail", "test", "marit@example.org", *asked])
        (letter,) = office.wait_for(1)
    assert "arrives" in text_of(letter)
    assert "took it" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (("--smtp-port", "25"), "--smtp-host"),
        (("--smtp-host", "mail.example.org"), "--mail-from"),
        ((*HOST, "--smtp-port", "70000"), "70000 is no port"),
        (("--smtp-host", "127.0.0.1", "--mail-from", "nobody"), "'nobody' is no e-mail address"),
        (
            ("--smtp-host", "mail.example.org", "--smtp-user", "a@example.org", "--smtp-security", "none"),
            "a password goes to no mail server unencrypted",
        ),
        ((*HOST, "--public-url", "pond.example.org"), "no address of a site"),
        ((*HOST, "--public-url", "https://pond.example.org/app"), "no address of a site"),
    ],
)
def test_options_that_do_not_go_together_are_told_in_one_line(tmp_path, capsys, asked, says):
    assert says in refused(capsys, "serve", "--port", "0", "--data", str(tmp_path), *asked)


def test_a_test_needs_a_server_and_an_address(tmp_path, capsys):
    assert "--smtp-host is missing" in refused(capsys, "mail", "test", "marit@example.org", "--data", str(tmp_path))
    assert "no e-mail address" in refused(capsys, "mail", "test", "marit", *HOST, "--data", str(tmp_path))


@pytest.mark.parametrize(
    ("settings", "url"),
    [
        ({}, "http://localhost:9000"),
        ({"public_names": ("192.168.1.20",)}, "http://192.168.1.20:9000"),
        ({"public_names": ("192.168.1.20",), "https": True}, "https://192.168.1.20:9000"),
        ({"public_names": ("fd00::20",)}, "http://[fd00::20]:9000"),
        ({"public_names": ("a",), "public_url": "https://pond.example.org"}, "https://pond.example.org"),
    ],
)
def test_links_lead_to_where_people_reach_the_server(tmp_path, settings, url):
    assert Settings(data=tmp_path, frontend=FRONTEND, **settings).address(9000) == url
