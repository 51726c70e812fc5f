"""The household's authority: what it vouches for, how long, and how a phone comes to trust it."""

import ssl
import subprocess
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path
from typing import Any

import httpx
import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat, load_pem_private_key

from evenwater.settings import Settings
from evenwater.web.access.authority import Https, prepare_https
from evenwater.web.access.trust import trust_app
from evenwater.web.headers import CONTENT_POLICY

# Certificates are checked by OpenSSL against this machine's clock, so these tests live now.
NOW = datetime.now(UTC).replace(microsecond=0)
NAMES = ("localhost", "127.0.0.1", "[::1]", "teich.example", "192.168.1.20")


def server_certificate(https: Https) -> x509.Certificate:
    return x509.load_pem_x509_certificate(https.certificate.read_bytes())


def trusting(https: Https) -> ssl.SSLContext:
    """A client that trusts this authority and no other."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    context.verify_flags |= ssl.VERIFY_X509_STRICT
    context.load_verify_locations(cadata=https.authority_der)
    return context


async def test_a_browser_that_trusts_the_authority_opens_the_server(household: Any, serve: Any, tmp_path: Path) -> None:
    https = prepare_https(tmp_path / "https", NAMES, NOW)
    port, _ = await serve(household.app, ssl_certfile=https.certificate, ssl_keyfile=https.key)
    async with httpx.AsyncClient(verify=trusting(https)) as browser:
        for host in ("localhost", "127.0.0.1"):
            answer = await browser.get(f"https://{host}:{port}/health")
            assert answer.status_code == 200
        told = await browser.post(
            f"https://localhost:{port}/api/people/first",
            json=household.person(),
            headers={"Origin": f"https://localhost:{port}"},
        )
        assert told.status_code == 200 and "Secure" in told.headers["set-cookie"]
    async with httpx.AsyncClient() as stranger:
        with pytest.raises(httpx.ConnectError, match="CERTIFICATE_VERIFY_FAILED"):
            await stranger.get(f"https://localhost:{port}/health")


async def test_a_renewed_certificate_is_shown_by_the_server_that_runs(
    household: Any, serve: Any, tmp_path: Path
) -> None:
    first = prepare_https(tmp_path / "https", NAMES, NOW - timedelta(days=380))
    assert first.good_until == NOW + timedelta(days=16)
    port, config = await serve(household.app, ssl_certfile=first.certificate, ssl_keyfile=first.key)

    async def shown_until() -> datetime:
        async with httpx.AsyncClient(verify=trusting(first)) as browser:
            stream = (await browser.get(f"https://localhost:{port}/health")).extensions["network_stream"]
            der = stream.get_extra_info("ssl_object").getpeercert(binary_form=True)
            return x509.load_der_x509_certificate(der).not_valid_after_utc

    assert await shown_until() == first.good_until
    again = prepare_https(tmp_path / "https", NAMES, NOW)
    assert again.is_new and not again.is_new_authority
    config.ssl.load_cert_chain(again.certificate, again.key)
    assert await shown_until() == again.good_until == NOW + timedelta(days=396)


def openssl_verifies(authority: bytes, certificate: x509.Certificate, tmp_path: Path, *more: str) -> str:
    """What OpenSSL's own command says: "" when the certificate holds."""
    (tmp_path / "ca.pem").write_bytes(x509.load_der_x509_certificate(authority).public_bytes(Encoding.PEM))
    (tmp_path / "leaf.pem").write_bytes(certificate.public_bytes(Encoding.PEM))
    command = ["openssl", "verify", "-purpose", "sslserver", "-x509_strict", "-CAfile", tmp_path / "ca.pem", *more]
    done = subprocess.run([*command, tmp_path / "leaf.pem"], capture_output=True, text=True, check=False)
    return "" if done.returncode == 0 else done.stderr


def steal(folder: Path, *names: x509.GeneralName) -> tuple[x509.Certificate, Path]:
    """What somebody who has the authority's key would make for other names: the certificate, and it with its key."""
    authority: Any = load_pem_private_key((folder / "authority.pem").read_bytes(), password=None)
    own = x509.load_pem_x509_certificate((folder / "server.pem").read_bytes())
    key = ec.generate_private_key(ec.SECP256R1())
    builder = (
        x509.CertificateBuilder(own.issuer, own.subject, key.public_key(), x509.random_serial_number())
        .not_valid_before(own.not_valid_before_utc)
        .not_valid_after(own.not_valid_after_utc)
        .add_extension(x509.SubjectAlternativeName(names), critical=False)
    )
    for extension in own.extensions:
        if not isinstance(extension.value, x509.SubjectAlternativeName | x509.SubjectKeyIdentifier):
            builder = builder.add_extension(extension.value, extension.critical)
    stolen = builder.sign(authority, hashes.SHA256())
    file = folder.with_name("stolen.pem")
    secret = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    file.write_bytes(secret + stolen.public_bytes(Encoding.PEM))
    return stolen, file


def ip(text: str) -> x509.IPAddress:
    return x509.IPAddress(ip_address(text))


@pytest.mark.parametrize(
    "name",
    [
        x509.DNSName("bank.example"),
        x509.DNSName("example"),
        x509.DNSName("xteich.example"),
        x509.DNSName("*.example"),
        ip("192.168.1.21"),
        ip("127.0.0.2"),
        ip("2001:db8::1"),
        ip("::2"),
    ],
)
def test_openssl_refuses_another_name_vouched_for_by_the_same_authority(tmp_path: Path, name: x509.GeneralName) -> None:
    https = prepare_https(tmp_path / "https", NAMES, NOW)
    for names in ([name], [x509.DNSName("teich.example"), name]):
        stolen, _ = steal(tmp_path / "https", *names)
        assert "permitted subtree violation" in openssl_verifies(https.authority_der, stolen, tmp_path)


@pytest.mark.parametrize("name", [x509.DNSName("teich.example"), ip("192.168.1.20"), ip("127.0.0.1"), ip("::1")])
def test_openssl_takes_our_own_names(tmp_path: Path, name: x509.GeneralName) -> None:
    https = prepare_https(tmp_path / "https", NAMES, NOW)
    assert openssl_verifies(https.authority_der, server_certificate(https), tmp_path) == ""
    own, _ = steal(tmp_path / "https", name)
    assert openssl_verifies(https.authority_der, own, tmp_path) == ""


@pytest.mark.parametrize(("other", "opens"), [("teich.example", True), ("bank.example", False)])
async def test_a_client_refuses_a_stolen_name_on_the_wire(
    household: Any, serve: Any, tmp_path: Path, other: str, opens: bool
) -> None:
    https = prepare_https(tmp_path / "https", NAMES, NOW)
    _, stolen = steal(tmp_path / "https", x509.DNSName("localhost"), x509.DNSName(other))
    port, _ = await serve(household.app, ssl_certfile=stolen, ssl_keyfile=stolen)
    async with httpx.AsyncClient(verify=trusting(https)) as browser:
        if opens:
            assert (await browser.get(f"https://localhost:{port}/health")).status_code == 200
        else:
            with pytest.raises(httpx.ConnectError, match="permitted subtree violation"):
                await browser.get(f"https://localhost:{port}/health")


def test_the_keys_are_for_the_owner_alone(tmp_path: Path) -> None:
    https = prepare_https(tmp_path / "https", NAMES, NOW)
    files = sorted((tmp_path / "https").iterdir())
    assert [file.name for file in files] == ["authority.pem", "server.pem"]
    assert all(file.stat().st_mode & 0o777 == 0o600 for file in files)
    assert (tmp_path / "https").stat().st_mode & 0o777 == 0o700
    https.key.chmod(0o644)
    prepare_https(tmp_path / "https", NAMES, NOW)
    assert https.key.stat().st_mode & 0o777 == 0o600


def test_the_server_never_shows_the_authoritys_key(tmp_path: Path) -> None:
    https = prepare_https(tmp_path / "https", NAMES, NOW)
    assert https.key.read_bytes().count(b"PRIVATE KEY-----\n") == 2  # one: its begin and its end
    keys = {
        (tmp_path / "https" / f).read_bytes().split(b"-----END PRIVATE")[0] for f in ("authority.pem", "server.pem")
    }
    assert len(keys) == 2


def test_a_certificate_lives_less_than_398_days_and_its_authority_longer(tmp_path: Path) -> None:
    https = prepare_https(tmp_path / "https", NAMES, NOW)
    certificate = server_certificate(https)
    assert certificate.not_valid_after_utc - certificate.not_valid_before_utc < timedelta(days=398)
    authority = x509.load_der_x509_certificate(https.authority_der)
    assert authority.not_valid_after_utc > certificate.not_valid_after_utc
    assert authority.fingerprint(hashes.SHA256()).hex() == https.fingerprint.replace(":", "").lower()


@pytest.mark.parametrize(("days", "renewed"), [(0, False), (365, False), (366, True), (500, True)])
def test_a_certificate_is_made_anew_when_under_thirty_days_remain(tmp_path: Path, days: int, renewed: bool) -> None:
    first = prepare_https(tmp_path, NAMES, NOW)
    again = prepare_https(tmp_path, NAMES, NOW + timedelta(days=days))
    assert first.is_new and again.is_new is renewed and not again.is_new_authority
    assert again.fingerprint == first.fingerprint
    assert (again.good_until > first.good_until) is renewed


def test_one_name_less_keeps_the_authority_and_one_more_makes_a_new_one(tmp_path: Path) -> None:
    first = prepare_https(tmp_path, NAMES, NOW)
    assert not prepare_https(tmp_path, reversed(NAMES), NOW).is_new  # type: ignore[arg-type]
    fewer = prepare_https(tmp_path, NAMES[:4], NOW)
    assert (fewer.is_new, fewer.is_new_authority, fewer.fingerprint) == (True, False, first.fingerprint)
    more = prepare_https(tmp_path, (*NAMES, "koi.example"), NOW)
    assert (more.is_new, more.is_new_authority) == (True, True)
    assert more.fingerprint != first.fingerprint


def test_an_authority_near_its_end_is_made_anew(tmp_path: Path) -> None:
    prepare_https(tmp_path, NAMES, NOW)
    assert not prepare_https(tmp_path, NAMES, NOW + timedelta(days=3650 - 400)).is_new_authority
    assert prepare_https(tmp_path, NAMES, NOW + timedelta(days=3650 - 390)).is_new_authority


def test_a_clock_in_1970_remakes_nothing(tmp_path: Path) -> None:
    first = prepare_https(tmp_path, NAMES, NOW)
    again = prepare_https(tmp_path, NAMES, datetime(1970, 1, 1, tzinfo=UTC))
    assert (again.is_new, again.fingerprint) == (False, first.fingerprint)


@pytest.mark.parametrize("name", ["authority.pem", "server.pem"])
@pytest.mark.parametrize("how", ["empty", "cut", "swapped"])
def test_a_spoilt_file_is_replaced(tmp_path: Path, name: str, how: str) -> None:
    prepare_https(tmp_path / "https", NAMES, NOW)
    prepare_https(tmp_path / "other", NAMES, NOW)
    file = tmp_path / "https" / name
    content = file.read_bytes()
    spoilt = {"empty": b"", "cut": content[:-200], "swapped": (tmp_path / "other" / name).read_bytes()}
    file.write_bytes(spoilt[how])
    https = prepare_https(tmp_path / "https", NAMES, NOW)
    assert openssl_verifies(https.authority_der, server_certificate(https), tmp_path) == ""
    assert not prepare_https(tmp_path / "https", NAMES, NOW).is_new


def test_names_are_vouched_for_as_browsers_write_them(tmp_path: Path) -> None:
    https = prepare_https(tmp_path, ("Teich.Example", "koi-teich-ä.example.", "FD00::20"), NOW)
    assert {"teich.example", "xn--koi-teich--z5a.example", "fd00::20"} < set(https.names)
    assert openssl_verifies(https.authority_der, server_certificate(https), tmp_path) == ""


def test_every_address_is_no_name(tmp_path: Path) -> None:
    https = prepare_https(tmp_path, ("0.0.0.0", "::", "teich.example"), NOW)
    assert sorted(https.names) == ["127.0.0.1", "::1", "localhost", "teich.example"]


# --- the page that walks through trusting it


async def trust_answers(tmp_path: Path, path: str, **headers: str) -> tuple[Https, httpx.Response]:
    settings = Settings(data=tmp_path, frontend=tmp_path, https=True, public_names=("teich.example",))
    https = prepare_https(tmp_path / "https", settings.host_names, NOW)
    transport = httpx.ASGITransport(trust_app(settings, https))  # type: ignore[arg-type]
    async with httpx.AsyncClient(transport=transport, base_url="http://teich.example:8421") as phone:
        return https, await phone.get(path, headers=headers)


async def test_the_trust_page_names_the_fingerprint_and_where_to_go(tmp_path: Path) -> None:
    https, answer = await trust_answers(tmp_path, "/trust")
    assert answer.status_code == 200 and answer.headers["content-type"] == "text/html; charset=utf-8"
    assert https.fingerprint in answer.text.replace("<wbr>", "") and len(https.fingerprint) == 95
    assert 'href="https://teich.example:8420/"' in answer.text
    assert "<script" not in answer.text and "Certificate Trust Settings" in answer.text and "Android" in answer.text
    assert answer.headers["content-security-policy"].startswith(CONTENT_POLICY + "; style-src 'sha256-")


async def test_the_authority_is_handed_out_as_phones_take_it_and_without_its_key(tmp_path: Path) -> None:
    https, answer = await trust_answers(tmp_path, "/trust/authority.crt")
    assert answer.headers["content-type"] == "application/x-x509-ca-cert"
    assert answer.content == https.authority_der
    assert x509.load_der_x509_certificate(answer.content).extensions
    assert b"PRIVATE" not in answer.content


@pytest.mark.parametrize("path", ["/", "/round", "/api/start", "//evil.example", "/https.pem", "/trust/server.pem"])
async def test_the_plain_listener_leads_everything_else_to_the_page(tmp_path: Path, path: str) -> None:
    _, answer = await trust_answers(tmp_path, path)
    assert (answer.status_code, answer.headers["location"]) == (302, "/trust")


async def test_the_plain_listener_answers_to_our_names_alone(tmp_path: Path) -> None:
    _, answer = await trust_answers(tmp_path, "/trust", Host="evil.example")
    assert answer.status_code == 400 and answer.json()["code"] == "unknown_host"
