"""How a field of an act or of a sheet is described: one row of data for each, with its limits and its words.

The rows stand in act_schema.py and people.py (acts), product_schema.py and figures.py (steps, sheets).
The server and the phone check by them what was made (conform.py and its twin; timers/web/schema_script.py gives the
phone the rows), the API description lists them for other programs, and the sheet's form is drawn by them.

A row holds whole numbers in the units of the log; `scale` and `unit` say how they are shown: 145 with scale 10 and
unit "°C" reads 14.5 °C.
"""

from typing import Literal, TypedDict

MUST: Literal["must"] = "must"
MISSING: Literal["missing"] = "missing"  # the key may be left out, but null is refused
NULL: Literal["null"] = "null"  # the key may be left out, and null means the same

Absent = Literal["must", "missing", "null"]
Type = Literal[
    "text", "date", "number", "choice", "id", "ids", "thing", "phone", "yes_no", "moment", "list", "row", "box", "map",
    "rule",
]  # fmt: skip


class Field(TypedDict):
    """One field.  What a column means depends on the type:

    text     `least` to `most` characters; with `least` 1 it may not be blank
    date     a text like 2026-01-31, or ""
    number   a whole number from `least` to `most`
    choice   one of `choices`; with `least` 0 also ""
    id       a short id; ids: a list of `least` to 50 of them
    thing    "panel:UUID" and the like, of the kind in `choices`
    phone    a phone's UUID
    yes_no   true or false
    moment   ms, from `least` to `most` after the act's own moment
    list     `least` to `most` items, each as the one row in `of`; or as many as the list at `as_many` has
    row      a list with one item for each row in `of`, in that order
    box      an object with the fields in `of`, and at least `least` of them; no other keys where `choices` names them
    map      an object whose keys are among `choices`, each value as the one row in `of`
    rule     no field: the rule of that name, over the whole object, at this place in the order
    """

    key: str  # "" for an item of a list, and for a rule
    type: Type
    what: str  # what it is called where it is refused; marked by `later`
    label: str  # what it is called on a form, or ""; marked by `later`
    words: str  # the whole refusal, where `what` is not enough; marked by `later`
    absent: Absent
    least: int
    most: int
    scale: int
    unit: str
    choices: tuple[str, ...]
    of: list["Field"]
    as_many: list[str]  # the path to a list beside it; where the path is missing: 1
    when: list[str]  # [key, value]: the row counts only where the text at key is this value; [] for always
    rule: str  # a rule that the value must also follow, or ""


class Kind(TypedDict):
    """A kind of act: the things it may be made on (none named: any) and its fields."""

    on: list[str]
    fields: list[Field]


def on(things: list[str], fields: list[Field]) -> Kind:
    return {"on": things, "fields": fields}


def text(key: str, what: str, least: int, most: int, absent: Absent = MUST) -> Field:
    return _limited(key, "text", what, least, most, absent)


def date(key: str, what: str, words: str, absent: Absent = MUST) -> Field:
    row = _limited(key, "date", what, 0, 10, absent)
    row["words"] = words
    return row


def number(key: str, what: str, least: int, most: int, absent: Absent = MUST) -> Field:
    """A whole number that is shown as it is."""
    return _limited(key, "number", what, least, most, absent)


def measure(key: str, what: str, least: int, most: int, scale: int, unit: str, absent: Absent = MUST) -> Field:
    """A whole number that is shown divided by `scale`, with its unit."""
    row = _limited(key, "number", what, least, most, absent)
    row["scale"] = scale
    row["unit"] = unit
    return row


def choice(key: str, what: str, choices: tuple[str, ...], absent: Absent = MUST) -> Field:
    row = _limited(key, "choice", what, 1, 1, absent)
    row["choices"] = choices
    return row


def an_id(key: str, what: str, absent: Absent = MUST) -> Field:
    return _limited(key, "id", what, 1, 1, absent)


def ids(key: str, what: str, least: int, absent: Absent = MUST) -> Field:
    return _limited(key, "ids", what, least, 50, absent)


def thing(key: str, what: str, kind: str, absent: Absent = MUST) -> Field:
    row = _limited(key, "thing", what, 1, 1, absent)
    row["choices"] = (kind,)
    return row


def phone(key: str, words: str) -> Field:
    return _worded(key, "phone", words, MUST)


def yes_no(key: str, words: str, absent: Absent = MUST) -> Field:
    return _worded(key, "yes_no", words, absent)


def moment(key: str, what: str, least: int, most: int, words: str, absent: Absent = MUST) -> Field:
    row = _limited(key, "moment", what, least, most, absent)
    row["words"] = words
    return row


def many(key: str, item: Field, least: int, most: int, words: str, absent: Absent = MUST) -> Field:
    """A list of `least` to `most` items."""
    row = _limited(key, "list", "", least, most, absent)
    row["of"] = [item]
    row["words"] = words
    return row


def each(key: str, item: Field, as_many: list[str], words: str, absent: Absent = MUST) -> Field:
    """A list with one item for each item of the list at the path `as_many`."""
    row = many(key, item, 0, 0, words, absent)
    row["as_many"] = as_many
    return row


def line(key: str, items: list[Field], words: str, absent: Absent = MUST) -> Field:
    """A list of unlike items, each in its place."""
    row = _worded(key, "row", words, absent)
    row["of"] = items
    return row


def box(key: str, fields: list[Field], words: str, absent: Absent = MUST) -> Field:
    row = _worded(key, "box", words, absent)
    row["of"] = fields
    return row


def mapping(key: str, what: str, choices: tuple[str, ...], value: Field, words: str, absent: Absent = MUST) -> Field:
    row = _worded(key, "map", words, absent)
    row["what"] = what
    row["choices"] = choices
    row["of"] = [value]
    return row


def rule(name: str) -> Field:
    row = _worded("", "rule", "", MUST)
    row["rule"] = name
    return row


def also(field: Field, name: str) -> Field:
    """The same field, whose value must follow a rule too."""
    field["rule"] = name
    return field


def labelled(field: Field, label: str) -> Field:
    """The same field, with its name on a form."""
    field["label"] = label
    return field


def _limited(key: str, of_type: Type, what: str, least: int, most: int, absent: Absent) -> Field:
    return {
        "key": key,
        "type": of_type,
        "what": what,
        "label": "",
        "words": "",
        "absent": absent,
        "least": least,
        "most": most,
        "scale": 1,
        "unit": "",
        "choices": (),
        "of": [],
        "as_many": [],
        "when": [],
        "rule": "",
    }


def _worded(key: str, of_type: Type, words: str, absent: Absent) -> Field:
    row = _limited(key, of_type, "", 0, 0, absent)
    row["words"] = words
    return row
