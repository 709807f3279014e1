"""Push messages sealed, and signed: against the example of RFC 8291, a reference reader, and the letter of RFC 8292."""

import json
import os
import stat
import threading

import http_ece
import pytest
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, utils
from hypothesis import given
from hypothesis import strategies as st

from shop.push import webpush_crypto

# RFC 8291, section 5 and appendix A: the whole example.
PLAIN = "When I grow up, I want to be a watermelon"
SENDER = "yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw"
SENDER_POINT = "BP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A8"
READER = "q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94"
READER_POINT = "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4"
AUTH = "BTBZMqHH6r4Tts7J_aSIgg"
SALT = "DGv6ra1nlYgDCS1FRnbzlw"
BODY = (
    "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl"
    "7A_yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN"
)
NOW_MS = 1_764_073_800_000


@pytest.fixture(autouse=True)
def own_folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path / "data"


def key_of(letters: str) -> ec.EllipticCurvePrivateKey:
    return ec.derive_private_key(int.from_bytes(webpush_crypto.b64url_decode(letters), "big"), webpush_crypto.CURVE)


def test_the_example_of_the_standard_comes_out_octet_for_octet():
    assert webpush_crypto.public_point(key_of(SENDER)) == webpush_crypto.b64url_decode(SENDER_POINT)
    assert webpush_crypto.public_point(key_of(READER)) == webpush_crypto.b64url_decode(READER_POINT)
    point, auth, salt = (webpush_crypto.b64url_decode(letters) for letters in (READER_POINT, AUTH, SALT))
    assert webpush_crypto.encrypt(PLAIN.encode(), point, auth, salt, key_of(SENDER)) == webpush_crypto.b64url_decode(
        BODY
    )


@given(st.binary(max_size=webpush_crypto.LARGEST))
def test_what_is_sealed_is_read_by_a_reference_reader_whatever_it_is(said):
    reader, auth = key_of(READER), webpush_crypto.b64url_decode(AUTH)
    body = webpush_crypto.encrypt(said, webpush_crypto.public_point(reader), auth)
    assert http_ece.decrypt(body, private_key=reader, auth_secret=auth, version="aes128gcm") == said
    assert len(body) <= 4096


def test_no_two_messages_share_a_salt_or_a_key():
    bodies = [
        webpush_crypto.encrypt(b"same", webpush_crypto.b64url_decode(READER_POINT), webpush_crypto.b64url_decode(AUTH))
        for _ in range(50)
    ]
    assert len({body[:16] for body in bodies}) == len({body[21:86] for body in bodies}) == 50


def test_what_is_too_long_or_meant_for_no_point_is_refused():
    with pytest.raises(ValueError, match="at the most"):
        webpush_crypto.encrypt(
            b"x" * (webpush_crypto.LARGEST + 1),
            webpush_crypto.b64url_decode(READER_POINT),
            webpush_crypto.b64url_decode(AUTH),
        )
    for point in (b"", b"\x04" + b"\x01" * 64, webpush_crypto.b64url_decode(READER_POINT)[:-1]):
        with pytest.raises(ValueError):  # noqa: PT011
            webpush_crypto.encrypt(b"x", point, webpush_crypto.b64url_decode(AUTH))


def test_the_word_on_who_sends_is_a_token_that_the_public_key_confirms():
    said = webpush_crypto.vapid_header("https://push.example", "mailto:shop@example.org", NOW_MS)
    token, key = said.removeprefix("vapid t=").split(", k=")
    head, claims, signature = token.split(".")
    assert json.loads(webpush_crypto.b64url_decode(head)) == {"typ": "JWT", "alg": "ES256"}
    assert json.loads(webpush_crypto.b64url_decode(claims)) == {
        "aud": "https://push.example",
        "exp": NOW_MS // 1000 + 12 * 3600,
        "sub": "mailto:shop@example.org",
    }
    public = ec.EllipticCurvePublicKey.from_encoded_point(webpush_crypto.CURVE, webpush_crypto.b64url_decode(key))
    raw = webpush_crypto.b64url_decode(signature)
    assert len(raw) == 64
    marks = utils.encode_dss_signature(int.from_bytes(raw[:32], "big"), int.from_bytes(raw[32:], "big"))
    public.verify(marks, f"{head}.{claims}".encode(), ec.ECDSA(hashes.SHA256()))
    with pytest.raises(InvalidSignature):
        public.verify(marks, f"{head}.{claims}x".encode(), ec.ECDSA(hashes.SHA256()))


def test_without_a_subject_the_word_says_none():
    token = webpush_crypto.vapid_header("https://push.example", "", NOW_MS).split()[1]
    assert set(json.loads(webpush_crypto.b64url_decode(token.split(".")[1]))) == {"aud", "exp"}


def test_the_key_is_made_once_kept_beside_the_data_and_for_the_owner_only(settings):
    first = webpush_crypto.public_key()
    path = settings.DATA_DIR / "push_key"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    webpush_crypto._key_in.cache_clear()
    assert webpush_crypto.public_key() == first
    assert os.listdir(settings.DATA_DIR) == ["push_key"]


def test_processes_that_start_at_the_same_moment_agree_on_one_key(settings):
    def look():
        if not path.exists():
            gate.wait(5)
            webpush_crypto._make_key(path)
        found.add(path.read_bytes())

    path, gate, found = settings.DATA_DIR / "push_key", threading.Barrier(4), set()
    threads = [threading.Thread(target=look) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(found) == 1
    assert os.listdir(settings.DATA_DIR) == ["push_key"]
