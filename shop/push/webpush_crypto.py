"""Encryption of push messages (RFC 8291), and the header that identifies this server (VAPID, RFC 8292)."""

import base64
import json
import os
from functools import lru_cache
from pathlib import Path

from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec, utils
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from django.conf import settings

from ..base import secret_file

CURVE = ec.SECP256R1()
RECORD = 4096  # the one record that every push service must take; RFC 8291, section 4
HEAD = 16 + 4 + 1 + 65  # salt, record size, length of our point, our point
LARGEST = RECORD - HEAD - 16 - 1  # the largest message: less the authentication tag and the padding delimiter
TOKEN_LASTS_S = 12 * 3600  # RFC 8292 allows 24 hours at the most


def encrypt(
    message: bytes, p256dh: bytes, auth: bytes, salt: bytes = b"", sender_key: ec.EllipticCurvePrivateKey | None = None
):
    """The body of a push message that only the holder of a subscription's private key can read.

    Rule     aes128gcm in one record; the key from an ECDH of a pair made for this message, the salt and the auth secret
    Unit     octets; p256dh is a point of P-256 uncompressed (65), auth 16, salt 16
    Holds    at most LARGEST octets, else refuses with ValueError, as for a point that is none; salt and pair are given
             only by tests
    Source   RFC 8291, section 3.4; RFC 8188, section 2
    Vectors  RFC 8291, appendix A (tests/shop/push/test_webpush_crypto.py)
    """
    if len(message) > LARGEST:
        raise ValueError(f"a push message holds {LARGEST} octets at the most, not {len(message)}")
    sender_key, salt = sender_key or ec.generate_private_key(CURVE), salt or os.urandom(16)
    their_key, our_point = ec.EllipticCurvePublicKey.from_encoded_point(CURVE, p256dh), public_point(sender_key)
    secret = _derive(sender_key.exchange(ec.ECDH(), their_key), auth, b"WebPush: info\0" + p256dh + our_point, 32)
    key = _derive(secret, salt, b"Content-Encoding: aes128gcm\0", 16)
    nonce = _derive(secret, salt, b"Content-Encoding: nonce\0", 12)
    head = salt + RECORD.to_bytes(4, "big") + bytes([len(our_point)]) + our_point
    return head + AESGCM(key).encrypt(nonce, message + b"\x02", None)


def vapid_header(audience: str, subject: str, now_ms: int) -> str:
    """The Authorization header that identifies the sender: a token signed with this server's key.

    Rule     ES256 over header and claims; aud is the origin of the push service, exp at most a day ahead
    Unit     now_ms ms since 1970 UTC; exp seconds
    Holds    any origin; subject mailto: or https:, left out where there is none
    Source   RFC 8292, sections 2 and 3; RFC 7515, appendix A.3 (the signature as r and s, 32 octets each)
    Vectors  tests/shop/push/test_webpush_crypto.py
    """
    claims = {"aud": audience, "exp": now_ms // 1000 + TOKEN_LASTS_S} | ({"sub": subject} if subject else {})
    signing_input = ".".join(_b64url(_json(part)) for part in ({"typ": "JWT", "alg": "ES256"}, claims))
    r, s = utils.decode_dss_signature(own_key().sign(signing_input.encode(), ec.ECDSA(hashes.SHA256())))
    signature = _b64url(r.to_bytes(32, "big") + s.to_bytes(32, "big"))
    return f"vapid t={signing_input}.{signature}, k={public_key()}"


def public_key() -> str:
    """This server's public key, as browsers need it to subscribe."""
    return _b64url(public_point(own_key()))


def own_key() -> ec.EllipticCurvePrivateKey:
    """The key that signs all push messages of this server, created once in the data folder.  Subscriptions are bound to
    it: when it is lost, phones have to subscribe again."""
    return _key_in(settings.DATA_DIR / "push_key")


def public_point(key: ec.EllipticCurvePrivateKey) -> bytes:
    form = serialization.PublicFormat.UncompressedPoint
    return key.public_key().public_bytes(serialization.Encoding.X962, form)


def b64url_decode(text: str) -> bytes:
    """Octets from base64url, with or without padding; ValueError where it is invalid."""
    return base64.b64decode(text.rstrip("=") + "=" * (-len(text.rstrip("=")) % 4), altchars=b"-_", validate=True)


@lru_cache(maxsize=8)
def _key_in(path: Path) -> ec.EllipticCurvePrivateKey:
    if not path.exists():
        _make_key(path)
    return serialization.load_pem_private_key(path.read_bytes(), None)


def _make_key(path: Path) -> None:
    pem = ec.generate_private_key(CURVE).private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    secret_file.make(path, pem)


def _derive(secret: bytes, salt: bytes, info: bytes, length: int) -> bytes:
    return HKDF(algorithm=hashes.SHA256(), length=length, salt=salt, info=info).derive(secret)


def _json(part: dict) -> bytes:
    return json.dumps(part, separators=(",", ":")).encode()


def _b64url(octets: bytes) -> str:
    return base64.urlsafe_b64encode(octets).rstrip(b"=").decode()
