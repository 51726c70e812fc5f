"""The household's own certificate authority, and the certificate its server shows.

- Trusting it gives away little: it can vouch for this server's names and addresses and for nothing else (name
  constraints, critical), and for servers only.
- A key and its certificate are one file, 0600, replaced whole: a cut in the middle never leaves a pair that differs.
- The server's certificate lives 397 days (browsers take less than 398) and is made anew when under 30 remain or the
  names have changed. A name the authority may not vouch for takes a new authority, and trusting it anew.

Source:
    RFC 5280 section 4.2.1.10 (name constraints); Apple, "About upcoming limits on trusted certificates" (HT211025,
    398 days) and "Requirements for trusted certificates" (HT210176: SAN, serverAuth, SHA-256).
"""

import os
import secrets
from collections.abc import Collection
from datetime import datetime, timedelta
from ipaddress import IPv4Address, IPv6Address, ip_address, ip_network
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID
from msgspec import Struct

from evenwater.web.visit import host_name

AUTHORITY_LIFE = timedelta(days=3650)
SERVER_LIFE = timedelta(days=397)
RENEW_BEFORE = timedelta(days=30)
_BACKDATED = timedelta(days=1)  # a phone whose clock is behind must not find it "not yet valid"
_LOOPBACK = frozenset({"localhost", "127.0.0.1", "::1"})


class Https(Struct, frozen=True):
    """What serving over TLS takes. `certificate` and `key` may be one file; `authority_der` is for phones to trust."""

    certificate: Path
    key: Path
    names: list[str]
    authority_der: bytes
    fingerprint: str
    good_until: datetime
    is_new: bool
    is_new_authority: bool


class _Pair(Struct, frozen=True):
    key: ec.EllipticCurvePrivateKey
    certificate: x509.Certificate


def prepare_https(folder: Path, names: Collection[str], now: datetime) -> Https:
    """The certificate for a server of these names, made or renewed when that is due.

    Call it again each day: with `is_new`, load the files into the running server's context anew.

    Raises:
        OSError: the folder cannot be read or written.
    """
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    wanted = _general_names({*names, *_LOOPBACK})
    authority = _read(folder / "authority.pem")
    is_new_authority = authority is None or not _may_vouch(authority, wanted, now)
    if authority is None or is_new_authority:
        authority = _make_authority(wanted, now)
        _write(folder / "authority.pem", [authority])
    server = _read(folder / "server.pem")
    is_new = server is None or not _still_serves(server, authority, wanted, now)
    if server is None or is_new:
        server = _make_server(authority, wanted, now)
        _write(folder / "server.pem", [server, authority])
    der = authority.certificate.public_bytes(Encoding.DER)
    return Https(
        certificate=folder / "server.pem",
        key=folder / "server.pem",
        names=[str(name.value) for name in wanted],
        authority_der=der,
        fingerprint=authority.certificate.fingerprint(hashes.SHA256()).hex(":").upper(),
        good_until=server.certificate.not_valid_after_utc,
        is_new=is_new,
        is_new_authority=is_new_authority,
    )


def _general_names(names: Collection[str]) -> list[x509.DNSName | x509.IPAddress]:
    found: dict[str, x509.DNSName | x509.IPAddress] = {}
    for name in sorted(map(host_name, names)):
        address = _address(name.strip("[]"))
        if address is None:
            found[name] = x509.DNSName(name)
        elif not address.is_unspecified:
            found[str(address)] = x509.IPAddress(address)
    return list(found.values())


def _address(text: str) -> IPv4Address | IPv6Address | None:
    try:
        return ip_address(text)
    except ValueError:
        return None


def _subtree(name: x509.DNSName | x509.IPAddress) -> x509.DNSName | x509.IPAddress:
    return name if isinstance(name, x509.DNSName) else x509.IPAddress(ip_network(name.value))


def _may_vouch(authority: _Pair, wanted: list[x509.DNSName | x509.IPAddress], now: datetime) -> bool:
    try:
        constraints = authority.certificate.extensions.get_extension_for_class(x509.NameConstraints).value
    except x509.ExtensionNotFound:
        return False
    permitted = constraints.permitted_subtrees or []
    outlives_the_next = authority.certificate.not_valid_after_utc > now + SERVER_LIFE
    return outlives_the_next and all(_subtree(name) in permitted for name in wanted)


def _still_serves(server: _Pair, authority: _Pair, wanted: list[x509.DNSName | x509.IPAddress], now: datetime) -> bool:
    try:
        named = server.certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
        server.certificate.verify_directly_issued_by(authority.certificate)
    except (x509.ExtensionNotFound, ValueError, InvalidSignature):
        return False
    return list(named) == wanted and server.certificate.not_valid_after_utc - now > RENEW_BEFORE


def _make_authority(wanted: list[x509.DNSName | x509.IPAddress], now: datetime) -> _Pair:
    key = ec.generate_private_key(ec.SECP256R1())
    of = next((str(one.value) for one in wanted if str(one.value) not in _LOOPBACK), "home")
    name = _common_name(f"evenwater at {of[:34]}, {now.date().isoformat()}")
    constraints = x509.NameConstraints(permitted_subtrees=[_subtree(one) for one in wanted], excluded_subtrees=None)
    builder = (
        _builder(key.public_key(), name, name, now, AUTHORITY_LIFE)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(constraints, critical=True)
    )
    return _Pair(key, builder.sign(key, hashes.SHA256()))


def _make_server(authority: _Pair, wanted: list[x509.DNSName | x509.IPAddress], now: datetime) -> _Pair:
    key = ec.generate_private_key(ec.SECP256R1())
    issuer = authority.certificate.subject
    issuer_key = x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key())
    builder = (
        _builder(key.public_key(), _common_name("evenwater"), issuer, now, SERVER_LIFE)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.SubjectAlternativeName(wanted), critical=False)
        .add_extension(issuer_key, critical=False)
    )
    return _Pair(key, builder.sign(authority.key, hashes.SHA256()))


def _builder(
    public_key: ec.EllipticCurvePublicKey, subject: x509.Name, issuer: x509.Name, now: datetime, life: timedelta
) -> x509.CertificateBuilder:
    start = now - _BACKDATED
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(public_key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(start)
        .not_valid_after(start + life)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public_key), critical=False)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
    )


def _common_name(text: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, text)])


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _read(file: Path) -> _Pair | None:
    """The pair in a file; None when there is none, or what is there is no pair any more."""
    try:
        os.chmod(file, 0o600)  # a restored copy may have come back open to others
        content = file.read_bytes()
    except FileNotFoundError:
        return None
    try:
        key = load_pem_private_key(content, password=None)
        certificate = x509.load_pem_x509_certificate(content)
    except ValueError:
        return None
    if not isinstance(key, ec.EllipticCurvePrivateKey) or key.public_key() != certificate.public_key():
        return None
    return _Pair(key, certificate)


def _write(file: Path, chain: list[_Pair]) -> None:
    """The first one's key, then every certificate."""
    aside = file.with_name(f"{file.name}.{secrets.token_hex(4)}")
    handle = os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as out:
        out.write(chain[0].key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption()))
        for pair in chain:
            out.write(pair.certificate.public_bytes(Encoding.PEM))
        out.flush()
        os.fsync(out.fileno())
    os.replace(aside, file)
