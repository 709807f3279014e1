"""Acts: their ids, and what an act must hold to be kept.  Twin: static/js/core/acts.js

An act is {"id": UUIDv7, "at": ms, "on": "panel:ID" | "product:ID" | "route:ID" | "cup:ID" | "air" | "shop",
"kind": past tense, "who": the phone, if known, ...fields}.
A kind that this version does not know is kept, whole, and ignored by the fold.
"""

import json
import re

from .check import EXACT, ODD, Refused, number
from .fields import expected
from .people import PHONE
from .tongue import later, t

EARLIEST_MS = 1_577_836_800_000  # 2020-01-01: no phone of a shop was set before
AHEAD_MS = 48 * 3_600_000  # a phone may run two days ahead before an act of its is refused
LARGEST = 32_000  # characters of one act as JSON
DEEPEST = 20  # boxes in boxes; a product has eight

UUID = re.compile(r"^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}\Z")
ON = re.compile(r"^(air|shop|(panel|product|route|cup):[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12})\Z")
KIND = re.compile(r"^[a-z][a-z_]{0,39}\Z")


def new_id(at_ms: int, random: bytes) -> str:
    """A UUIDv7 from a moment and ten random bytes.

    Rule     48 bits of ms, version 7, 12 random bits, variant 10, 62 random bits
    Unit     ms since 1970 UTC
    Holds    0 to 2**48 - 1 ms; exactly ten bytes
    Source   RFC 9562, section 5.7
    Vectors  tests/vectors/ids.json
    """
    raw = bytearray(at_ms.to_bytes(6, "big") + random)
    raw[6] = raw[6] & 0x0F | 0x70
    raw[8] = raw[8] & 0x3F | 0x80
    said = raw.hex()
    return "-".join((said[:8], said[8:12], said[12:16], said[16:20], said[20:]))


def is_id(value: object) -> bool:
    """Whether a value is a UUIDv7 in lower case."""
    return isinstance(value, str) and bool(UUID.match(value))


def refusal(act: object, now_ms: int) -> str:
    """Why an act cannot be kept, in words for the person who tapped; "" when it can."""
    try:
        _check(act, now_ms)
    except Refused as why:
        return str(why)
    return ""


def _check(act: object, now_ms: int) -> None:
    if not isinstance(act, dict) or not is_id(act.get("id")):
        raise Refused(t("This tap has no proper number of its own."))
    leaves = list(_leaves(act, 1))
    if len(json.dumps(act, ensure_ascii=False, separators=(",", ":"))) > LARGEST:
        raise Refused(t("This tap holds more words than can be kept."))
    if not isinstance(act.get("kind"), str) or not KIND.match(act["kind"]):
        raise Refused(t("This tap does not say what was done."))
    if not isinstance(act.get("on"), str) or not ON.match(act["on"]):
        raise Refused(t("This tap does not say what it was done to."))
    _check_moment(act.get("at"), now_ms)
    if act.get("who") is not None and not (isinstance(act["who"], str) and PHONE.match(act["who"])):
        raise Refused(t("This tap does not say which phone it was made on."))
    known = expected(act["kind"])
    if known:
        where, check = known
        if where and act["on"].split(":")[0] not in where:
            raise Refused(t("This tap was made on the wrong kind of thing."))
        check(act)
    if not all(_lasts(leaf) for leaf in leaves):
        raise Refused(t("This tap holds a sign or a number that cannot be kept. Nothing was saved."))


def _leaves(value: object, depth: int):
    """Every key, text and number in an act, those too that no rule looks at."""
    if depth > DEEPEST:
        raise Refused(t("This tap holds more words than can be kept."))
    if isinstance(value, dict):
        yield from value
        value = list(value.values())
    if not isinstance(value, list):
        yield value
        return
    for one in value:
        yield from _leaves(one, depth + 1)


def _lasts(leaf: object) -> bool:
    """Whether a leaf comes unchanged through JSON and a database."""
    return not ODD.search(leaf) if isinstance(leaf, str) else leaf is None or abs(leaf) <= EXACT


def _check_moment(at_ms: object, now_ms: int) -> None:
    number(later("The moment of this tap"), at_ms, 0, 253_402_300_799_999)
    if at_ms < EARLIEST_MS:
        raise Refused(t("This tap says it happened before 2020. Set the phone's clock, then say when it was."))
    if at_ms > now_ms + AHEAD_MS:
        raise Refused(
            t("This tap says it happens more than two days from now. Set the phone's clock, then say when it was.")
        )
