"""Acts: their ids, and what an act must hold to be kept.  Twin: static/js/core/acts.js

An act is {"id": UUIDv7, "at": ms, "on": "panel:ID" | "product:ID" | "route:ID" | "air", "kind": past tense, ...fields}.
A kind that this version does not know is kept, whole, and ignored by the fold.
"""

import json
import re

from .check import EXACT, ODD, Refused, ids, number, one_of, text, whole_number
from .doc import check_doc, check_sheet, check_steps

EARLIEST_MS = 1_577_836_800_000  # 2020-01-01: no phone of a shop was set before
AHEAD_MS = 48 * 3_600_000  # a phone may run two days ahead before an act of its is refused
ASK_MS = 30 * 86_400_000  # a film is asked about again within a month
LARGEST = 32_000  # characters of one act as JSON
DEEPEST = 20  # boxes in boxes; a product has eight

UUID = re.compile(r"^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}\Z")
ON = re.compile(r"^(air|(panel|product|route):[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12})\Z")
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
        raise Refused("This tap has no proper number of its own.")
    leaves = list(_leaves(act, 1))
    if len(json.dumps(act, ensure_ascii=False, separators=(",", ":"))) > LARGEST:
        raise Refused("This tap holds more words than can be kept.")
    if not isinstance(act.get("kind"), str) or not KIND.match(act["kind"]):
        raise Refused("This tap does not say what was done.")
    if not isinstance(act.get("on"), str) or not ON.match(act["on"]):
        raise Refused("This tap does not say what it was done to.")
    _check_moment(act.get("at"), now_ms)
    expected = FIELDS.get(act["kind"])
    if expected:
        where, check = expected
        if where and act["on"].split(":")[0] not in where:
            raise Refused("This tap was made on the wrong kind of thing.")
        check(act)
    if not all(_lasts(leaf) for leaf in leaves):
        raise Refused("This tap holds a sign or a number that cannot be kept. Nothing was saved.")


def _leaves(value: object, depth: int):
    """Every key, text and number in an act, those too that no rule looks at."""
    if depth > DEEPEST:
        raise Refused("This tap holds more words than can be kept.")
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
    number("The moment of this tap", at_ms, 0, 253_402_300_799_999)
    if at_ms < EARLIEST_MS:
        raise Refused("This tap says it happened before 2020. Set the phone's clock, then say when it was.")
    if at_ms > now_ms + AHEAD_MS:
        raise Refused(
            "This tap says it happens more than two days from now. Set the phone's clock, then say when it was."
        )


def _panel_added(act: dict) -> None:
    _panel_named(act)
    text("The route", act.get("route", ""), 0, 200)
    check_steps(act.get("steps"))


def _panel_named(act: dict) -> None:
    text("The panel's name", act.get("name"), 1, 200)
    text("The job", act.get("job", ""), 0, 200)


def _step_added(act: dict) -> None:
    check_steps([act.get("step")])
    _before(act)


def _step_named(act: dict) -> None:
    ids("The step", [act.get("step")])


def _step_moved(act: dict) -> None:
    _step_named(act)
    _before(act)


def _sent_back(act: dict) -> None:
    check_steps(act.get("steps"))
    text("The area", act.get("area", ""), 0, 200)
    text("The reason", act.get("why", ""), 0, 200)
    _before(act)


def _before(act: dict) -> None:
    if act.get("before") is not None:
        ids("The place of the step", [act["before"]])


def _film_laid(act: dict) -> None:
    ids("The film", [act.get("film")])
    if act.get("step") is not None:
        ids("The step", [act["step"]])
    ids("The product", [act.get("product")])
    number("The coat", act.get("coat"), 1, 99)
    text("The area", act.get("area", ""), 0, 200)
    check_sheet(act.get("sheet"))


def _found(act: dict) -> None:
    ids("The film", act.get("films"))
    one_of("The gate", act.get("gate"), ("flash", "sand", "handle", "cure"))
    if act["kind"] == "found_not_ready":
        whole_number("The time to ask again", act.get("ask_at"))
        if not act["at"] <= act["ask_at"] <= act["at"] + ASK_MS:
            raise Refused("The time to ask again must be within a month. Nothing was saved.")


def _target(act: dict) -> None:
    ids("The tap to undo", [act.get("act")])


def _air_read(act: dict) -> None:
    number("The temperature", act.get("temp_dc"), -400, 600, 10, "°C")
    if act.get("rh_pm") is not None:
        number("The humidity", act["rh_pm"], 0, 1000, 10, "%")


def _doc(act: dict) -> None:
    check_doc(act["kind"], act.get("doc"))


def _nothing(act: dict) -> None:
    """Nothing beyond what every act holds."""


FIELDS = {
    "panel_added": (("panel",), _panel_added),
    "panel_named": (("panel",), _panel_named),
    "panel_put_away": (("panel",), _nothing),
    "panel_brought_back": (("panel",), _nothing),
    "step_added": (("panel",), _step_added),
    "step_dropped": (("panel",), _step_named),
    "step_moved": (("panel",), _step_moved),
    "step_done": (("panel",), _step_named),
    "sent_back": (("panel",), _sent_back),
    "film_laid": (("panel",), _film_laid),
    "found_ready": (("panel",), _found),
    "found_not_ready": (("panel",), _found),
    "air_read": (("air",), _air_read),
    "sheet_written": (("product",), _doc),
    "sheet_put_away": (("product",), _nothing),
    "sheet_brought_back": (("product",), _nothing),
    "route_written": (("route",), _doc),
    "route_put_away": (("route",), _nothing),
    "route_brought_back": (("route",), _nothing),
    "undone": ((), _target),
    "restored": ((), _target),
}
