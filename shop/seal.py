"""What a push message is wrapped in: a seal that only the phone's own browser opens, and our word for who sends it."""

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

from . import made_once

CURVE = ec.SECP256R1()
RECORD = 4096  # the one record that every push service must take; RFC 8291, section 4
HEAD = 16 + 4 + 1 + 65  # salt, record size, length of our point, our point
LARGEST = RECORD - HEAD - 16 - 1  # what may be said: less the seal's own mark and the last record's mark
WORD_LASTS_S = 12 * 3600  # RFC 8292 allows 24 hours at the most


def sealed(said: bytes, p256dh: bytes, auth: bytes, salt: bytes = b"", own: ec.EllipticCurvePrivateKey | None = None):
    """The body of a push message that only the holder of a subscription's private key can read.

    Rule     aes128gcm in one record; the key from an ECDH of a pair made for this message, the salt and the auth secret
    Unit     octets; p256dh is a point of P-256 uncompressed (65), auth 16, salt 16
    Holds    at most LARGEST octets, else refuses with ValueError, as for a point that is none; salt and pair are given
             only by tests
    Source   RFC 8291, section 3.4; RFC 8188, section 2
    Vectors  RFC 8291, appendix A (tests/test_seal.py)
    """
    if len(said) > LARGEST:
        raise ValueError(f"a push message holds {LARGEST} octets at the most, not {len(said)}")
    own, salt = own or ec.generate_private_key(CURVE), salt or os.urandom(16)
    theirs, ours = ec.EllipticCurvePublicKey.from_encoded_point(CURVE, p256dh), point(own)
    secret = _derived(own.exchange(ec.ECDH(), theirs), auth, b"WebPush: info\0" + p256dh + ours, 32)
    key = _derived(secret, salt, b"Content-Encoding: aes128gcm\0", 16)
    nonce = _derived(secret, salt, b"Content-Encoding: nonce\0", 12)
    head = salt + RECORD.to_bytes(4, "big") + bytes([len(ours)]) + ours
    return head + AESGCM(key).encrypt(nonce, said + b"\x02", None)


def signed_word(audience: str, subject: str, now_ms: int) -> str:
    """The Authorization header that says who sends: a token signed with this server's own key.

    Rule     ES256 over header and claims; aud is the origin of the push service, exp at most a day ahead
    Unit     now_ms ms since 1970 UTC; exp seconds
    Holds    any origin; subject mailto: or https:, left out where there is none
    Source   RFC 8292, sections 2 and 3; RFC 7515, appendix A.3 (the signature as r and s, 32 octets each)
    Vectors  tests/test_seal.py
    """
    claims = {"aud": audience, "exp": now_ms // 1000 + WORD_LASTS_S} | ({"sub": subject} if subject else {})
    said = ".".join(_letters(_json(part)) for part in ({"typ": "JWT", "alg": "ES256"}, claims))
    r, s = utils.decode_dss_signature(own_key().sign(said.encode(), ec.ECDSA(hashes.SHA256())))
    signature = _letters(r.to_bytes(32, "big") + s.to_bytes(32, "big"))
    return f"vapid t={said}.{signature}, k={public_key()}"


def public_key() -> str:
    """This server's public key, as a browser wants it when it subscribes."""
    return _letters(point(own_key()))


def own_key() -> ec.EllipticCurvePrivateKey:
    """The key that all push messages of this server are signed with, made once and kept beside the data.  Phones
    subscribe to this key: where it is lost they have to subscribe again."""
    return _key_in(settings.DATA_DIR / "push_key")


def point(key: ec.EllipticCurvePrivateKey) -> bytes:
    form = serialization.PublicFormat.UncompressedPoint
    return key.public_key().public_bytes(serialization.Encoding.X962, form)


def octets(letters: str) -> bytes:
    """Octets from base64url, with or without the signs that fill up; ValueError where it is none."""
    return base64.b64decode(letters.rstrip("=") + "=" * (-len(letters.rstrip("=")) % 4), altchars=b"-_", validate=True)


@lru_cache(maxsize=8)
def _key_in(path: Path) -> ec.EllipticCurvePrivateKey:
    if not path.exists():
        _make_key(path)
    return serialization.load_pem_private_key(path.read_bytes(), None)


def _make_key(path: Path) -> None:
    pem = ec.generate_private_key(CURVE).private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    made_once.make(path, pem)


def _derived(secret: bytes, salt: bytes, info: bytes, length: int) -> bytes:
    return HKDF(algorithm=hashes.SHA256(), length=length, salt=salt, info=info).derive(secret)


def _json(part: dict) -> bytes:
    return json.dumps(part, separators=(",", ":")).encode()


def _letters(said: bytes) -> str:
    return base64.urlsafe_b64encode(said).rstrip(b"=").decode()
