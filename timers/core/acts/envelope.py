"""Acts: their ids, and what an act must hold to be kept.  Twin: static/js/core/acts/envelope.js

An act is {"id": UUIDv7, "at": ms, "on": "panel:ID" | "product:ID" | "route:ID" | "cup:ID" | "air" | "shop",
"kind": past tense, "who": the phone, if known, ...fields}.
A kind that this version does not know is kept, whole, and ignored by the fold.
"""

import json
import re
from typing import cast

from ..base.check import EXACT, ODD, Refused, number
from ..base.translate import later, t
from .act_schema import KINDS
from .conform import check_fields
from .people import PHONE

EARLIEST_MS = 1_577_836_800_000  # 2020-01-01: no phone of a shop was set before
AHEAD_MS = 48 * 3_600_000  # a phone may run two days ahead before an act of its is refused
LARGEST = 32_000  # characters of one act as JSON
DEEPEST = 20  # boxes in boxes; a product has eight
DIGITS = "0123456789abcdef"
PLACES = (1_099_511_627_776, 4_294_967_296, 16_777_216, 65_536, 256, 1)  # of the six bytes of a moment

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
    moment = [at_ms // place % 256 for place in PLACES]
    given = list(random)
    values = [*moment, 0x70 + given[0] % 16, given[1], 0x80 + given[2] % 64, *given[3:]]  # version 7, variant 10
    text = "".join(DIGITS[value // 16] + DIGITS[value % 16] for value in values)
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))


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
    if _is_deep(act, 1) or len(json.dumps(act, ensure_ascii=False, separators=(",", ":"))) > LARGEST:
        raise Refused(t("This tap holds more words than can be kept."))
    kind, on, who = act.get("kind"), act.get("on"), act.get("who")
    if not isinstance(kind, str) or not KIND.match(kind):
        raise Refused(t("This tap does not say what was done."))
    if not isinstance(on, str) or not ON.match(on):
        raise Refused(t("This tap does not say what it was done to."))
    _check_moment(act.get("at"), now_ms)
    if who is not None and not (isinstance(who, str) and PHONE.match(who)):
        raise Refused(t("This tap does not say which phone it was made on."))
    known = KINDS.get(kind)
    if known:
        if known["on"] and on.split(":")[0] not in known["on"]:
            raise Refused(t("This tap was made on the wrong kind of thing."))
        check_fields(act, known["fields"])
    if not _lasts(act):
        raise Refused(t("This tap holds a sign or a number that cannot be kept. Nothing was saved."))


def _is_deep(value: object, depth: int) -> bool:
    """Whether a value has more boxes in boxes than can be kept; its own place is at a depth of such boxes."""
    if depth > DEEPEST:
        return True
    if isinstance(value, dict):
        return any(_is_deep(value[key], depth + 1) for key in sorted(value))
    return isinstance(value, list) and any(_is_deep(one, depth + 1) for one in value)


def _lasts(value: object) -> bool:
    """Whether every key, text and number in an act, those too that no rule looks at, comes unchanged through JSON and a
    database."""
    if isinstance(value, dict):
        return all(_lasts(key) and _lasts(value[key]) for key in sorted(value))
    if isinstance(value, list):
        return all(_lasts(one) for one in value)
    if isinstance(value, str):
        return not ODD.search(value)
    if value is None or isinstance(value, bool):
        return True
    return isinstance(value, int | float) and abs(cast(float, value)) <= EXACT


def _check_moment(at: object, now_ms: int) -> None:
    number(later("The moment of this tap"), at, 0, 253_402_300_799_999)
    at_ms = cast(int, at)
    if at_ms < EARLIEST_MS:
        raise Refused(t("This tap says it happened before 2020. Set the phone's clock, then say when it was."))
    if at_ms > now_ms + AHEAD_MS:
        raise Refused(
            t("This tap says it happens more than two days from now. Set the phone's clock, then say when it was.")
        )
