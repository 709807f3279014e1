"""A phone's mark on an act that another phone hands on: who made it, and that nobody altered it.

Twin: static/js/core/acts/signature.js"""

import hashlib
import hmac
import json

from ..base.shapes import Act


def signed_text(act: Act) -> str:
    """An act as the one text that a phone signs.

    Rule     JSON without spaces; keys in the order of their UTF-16 units; signs as they are, JSON's own escapes
    Unit     none
    Holds    acts of whole numbers and text; other numbers may be written otherwise by a twin, and then no mark is right
    Source   RFC 8785, 3.2
    Vectors  tests/vectors/mark.json
    """
    return json.dumps(_sorted(act), ensure_ascii=False, separators=(",", ":"))


def mark(key: str, act: Act) -> str:
    """The first sixteen bytes, in hex, of HMAC-SHA-256 under the phone's own key (hex) over `sandtime act 1`, LF and
    the act's text: half, as RFC 2104, 5 allows."""
    return signed(key, f"sandtime act 1\n{signed_text(act)}")


def signed(key: str, text: str) -> str:
    """The same over any text."""
    return hmac.new(bytes.fromhex(key), text.encode("utf-8", "surrogatepass"), hashlib.sha256).hexdigest()[:32]


def _sorted(value: object) -> object:
    if isinstance(value, dict):
        keys = sorted(value, key=lambda key: key.encode("utf-16-be", "surrogatepass"))
        return {key: _sorted(value[key]) for key in keys}
    return [_sorted(one) for one in value] if isinstance(value, list) else value
