"""The key this server shows to push services (RFC 8292), so that nobody else can send to our browsers.

Made when first asked for. A browser's subscription rests on it: with another key every browser has to subscribe anew.
"""

import logging
from base64 import urlsafe_b64encode
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    PublicFormat,
    load_pem_private_key,
)

from evenwater.storage.secret_files import read_or_make, write_secret

FILE_NAME = "vapid-key.pem"
log = logging.getLogger("evenwater.push")


def vapid_key(secrets: Path) -> ec.EllipticCurvePrivateKey:
    """The key in the folder of secrets; one that cannot be read is of no use to anybody and is made anew.

    Raises:
        OSError: the folder can be neither read nor written.
    """
    path = secrets / FILE_NAME
    key = _read(read_or_make(path, _make))
    if key is None:
        log.warning("%s holds no key: a new one is made, and every browser has to switch notifications on again", path)
        made = _make()
        write_secret(path, made)
        key = _read(made)
        assert key is not None
    return key


def public_text(key: ec.EllipticCurvePrivateKey) -> str:
    """Its public half as browsers want it: the uncompressed point in base64url, without padding."""
    point = key.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
    return urlsafe_b64encode(point).rstrip(b"=").decode()


def is_point(data: bytes) -> bool:
    """Whether these bytes are a point of the curve that browsers' keys are on."""
    try:
        ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), data)
    except ValueError:
        return False
    return True


def _make() -> bytes:
    key = ec.generate_private_key(ec.SECP256R1())
    return key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())


def _read(pem: bytes) -> ec.EllipticCurvePrivateKey | None:
    try:
        key = load_pem_private_key(pem, password=None)
    except (ValueError, TypeError):
        return None
    return key if isinstance(key, ec.EllipticCurvePrivateKey) and key.curve.name == "secp256r1" else None
