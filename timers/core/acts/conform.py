"""Whether an act or a sheet is as its fields describe it (schema.py): the first fault raises `Refused`, in words.

Twin: static/js/core/acts/conform.js
"""

import re
from collections.abc import Callable
from typing import cast

from ..base import check
from ..base.check import Refused
from ..base.translate import t
from .people import PHONE
from .relations import RULES
from .schema import Field

THING = re.compile(r"^(panel|product|route|cup):[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}\Z")
DATE = re.compile(r"^([0-9]{4}-[0-9]{2}-[0-9]{2})?\Z")


def check_fields(about: dict[str, object], fields: list[Field]) -> None:
    """Every field of an object in the order of its rows; keys that no row names are left alone.

    Rule     the first row that is not kept is the one that is said
    Unit     those of the rows
    Holds    any JSON object; of an act, "at" was checked before
    Source   own rule; the rows name theirs
    Vectors  tests/vectors/refusals.json, tests/vectors/figures.json
    """
    for field in fields:
        if field["type"] == "rule":
            RULES[field["rule"]](about)
        elif _counts(about, field):
            check_value(about.get(field["key"]), field, about)


def check_value(value: object, field: Field, about: dict[str, object]) -> None:
    """One value by its row; `about` is the object that it stands in."""
    _CHECKS[field["type"]](value, field, about)
    if field["rule"]:
        RULES[field["rule"]](value)


def _counts(about: dict[str, object], field: Field) -> bool:
    """Whether a field is to be looked at: it is there, or must be."""
    if field["when"] and about.get(field["when"][0]) != field["when"][1]:
        return False
    if field["key"] not in about:
        return field["absent"] == "must"
    return field["absent"] != "null" or about[field["key"]] is not None


def _text(value: object, field: Field, about: dict[str, object]) -> None:
    check.text(field["what"], value, field["least"], field["most"])


def _date(value: object, field: Field, about: dict[str, object]) -> None:
    check.text(field["what"], value, field["least"], field["most"])
    if not isinstance(value, str) or not DATE.match(value):
        raise _refused(field)


def _number(value: object, field: Field, about: dict[str, object]) -> None:
    if not field["words"]:
        check.number(field["what"], value, field["least"], field["most"], field["scale"], field["unit"])
        return
    check.whole_number(field["what"], value)
    if not field["least"] <= cast(int, value) <= field["most"]:
        raise _refused(field)


def _moment(value: object, field: Field, about: dict[str, object]) -> None:
    check.whole_number(field["what"], value)
    after_ms = cast(int, value) - cast(int, about["at"])
    if not field["least"] <= after_ms <= field["most"]:
        raise _refused(field)


def _choice(value: object, field: Field, about: dict[str, object]) -> None:
    if field["least"] or value != "":
        check.one_of(field["what"], value, field["choices"])


def _id(value: object, field: Field, about: dict[str, object]) -> None:
    check.ids(field["what"], [value])


def _ids(value: object, field: Field, about: dict[str, object]) -> None:
    if field["least"] or value != []:
        check.ids(field["what"], value)


def _thing(value: object, field: Field, about: dict[str, object]) -> None:
    if not isinstance(value, str) or not THING.match(value) or value.split(":")[0] not in field["choices"]:
        raise check.missing(field["what"])


def _phone(value: object, field: Field, about: dict[str, object]) -> None:
    if not isinstance(value, str) or not PHONE.match(value):
        raise _refused(field)


def _yes_no(value: object, field: Field, about: dict[str, object]) -> None:
    if not isinstance(value, bool):
        raise _refused(field)


def _list(value: object, field: Field, about: dict[str, object]) -> None:
    if not isinstance(value, list) or not _fits(len(value), field, about):
        raise _refused(field)
    for item in value:
        check_value(item, field["of"][0], about)


def _row(value: object, field: Field, about: dict[str, object]) -> None:
    if not isinstance(value, list) or len(value) != len(field["of"]):
        raise _refused(field)
    for nth, item in enumerate(value):
        check_value(item, field["of"][nth], about)


def _box(value: object, field: Field, about: dict[str, object]) -> None:
    if not isinstance(value, dict) or len(value) < field["least"]:
        raise _refused(field)
    if field["choices"]:
        for key in sorted(value):
            check.one_of(field["what"], key, field["choices"])
    check_fields(value, field["of"])


def _map(value: object, field: Field, about: dict[str, object]) -> None:
    if not isinstance(value, dict):
        raise _refused(field)
    for key in sorted(value):
        check.one_of(field["what"], key, field["choices"])
    for key in field["choices"]:
        if key in value:
            check_value(value[key], field["of"][0], about)


_CHECKS: dict[str, Callable[[object, Field, dict[str, object]], None]] = {
    "text": _text,
    "date": _date,
    "number": _number,
    "moment": _moment,
    "choice": _choice,
    "id": _id,
    "ids": _ids,
    "thing": _thing,
    "phone": _phone,
    "yes_no": _yes_no,
    "list": _list,
    "row": _row,
    "box": _box,
    "map": _map,
}


def _fits(length: int, field: Field, about: dict[str, object]) -> bool:
    """Whether a list has as many items as it should."""
    if field["as_many"]:
        return length == _length_at(about, field["as_many"])
    return field["least"] <= length <= field["most"]


def _length_at(about: dict[str, object], path: list[str]) -> int:
    """The length of the list at a path; 1 where there is none."""
    value: object = about
    for key in path:
        value = value.get(key) if isinstance(value, dict) else None
    return len(value) if isinstance(value, list) else 1


def _refused(field: Field) -> Refused:
    if field["what"]:
        return Refused(t(field["words"], what=t(field["what"])))
    return Refused(t(field["words"], most=field["most"]))
