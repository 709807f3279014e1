"""The served description of the API: templates/openapi.json, with the acts and sheets that the rules know.

The file holds addresses and answers.  Kinds of acts, their fields and limits are added here from the rows that the
rules check by (core/acts), as JSON Schema 2020-12, so the two cannot differ.
"""

import json
import re
from typing import Any

from django.conf import settings

from ..core.acts import conform, envelope, people
from ..core.acts.act_schema import KINDS
from ..core.acts.product_schema import PRODUCT, ROUTE, SHEET, STEP
from ..core.acts.schema import Field
from ..core.base import check
from ..core.base.translate import HINT

Schema = dict[str, Any]  # JSON Schema: of any depth
NAMED = {"Step": STEP, "Sheet": SHEET, "Product": PRODUCT, "Route": ROUTE}
SEEN = r"\S"


def description() -> Schema:
    """The OpenAPI 3.1 document as it is served."""
    whole: Schema = json.loads((settings.BASE_DIR / "templates/openapi.json").read_text(encoding="utf-8"))
    schemas = whole["components"]["schemas"]
    schemas |= {name: _object(fields) for name, fields in NAMED.items()}
    schemas |= {_name(kind): _of_kind(kind) for kind in KINDS}
    _limit_reading(schemas["Reading"]["properties"])
    act = schemas["Act"]
    act["properties"]["id"]["pattern"] = _pattern(envelope.UUID)
    act["properties"]["at"]["minimum"] = envelope.EARLIEST_MS
    act["properties"]["on"]["pattern"] = _pattern(envelope.ON)
    act["properties"]["kind"]["pattern"] = _pattern(envelope.KIND)
    act["properties"]["who"]["pattern"] = _pattern(people.PHONE)
    act["allOf"] = [
        {"if": {"properties": {"kind": {"const": kind}}}, "then": {"$ref": _ref(_name(kind))}} for kind in KINDS
    ]
    return whole


def _limit_reading(reading: Schema) -> None:
    """A thermometer's reading has the limits of the act that is made of it, in whole units."""
    temp, humidity = KINDS["air_read"]["fields"]
    for name, field in (("temp_c", temp), ("humidity_percent", humidity)):
        reading[name] |= {"minimum": field["least"] // field["scale"], "maximum": field["most"] // field["scale"]}


def _of_kind(kind: str) -> Schema:
    """What an act of a kind holds beyond its id and its moment."""
    made = _object(KINDS[kind]["fields"])
    things = KINDS[kind]["on"]
    if things:
        made["properties"]["on"] = {"pattern": f"^({'|'.join(things)})(:|$)"}
    return made


def _object(fields: list[Field]) -> Schema:
    """An object with some fields; a row with a condition counts where that holds."""
    named = [field for field in fields if field["type"] != "rule"]
    properties = {
        one["key"]: {"description": f"depends on `{one['when'][0]}`"} if one["when"] else _property(one)
        for one in named
    }
    made: Schema = {"type": "object", "properties": properties}
    required = list(dict.fromkeys(field["key"] for field in named if field["absent"] == "must"))
    if required:
        made["required"] = required
    if cases := [field for field in named if field["when"]]:
        made["allOf"] = [
            {
                "if": {"properties": {field["when"][0]: {"const": field["when"][1]}}},
                "then": {"properties": {field["key"]: _property(field)}},
            }
            for field in cases
        ]
    return made


def _property(field: Field) -> Schema:
    """One field, with its name and unit in words; null where that means the same as leaving it out."""
    made = _MAKERS[field["type"]](field)
    told = _told(field)
    if told and "$ref" not in made:
        made["description"] = told
    if field["label"]:
        made["title"] = HINT.sub("", field["label"])
    if field["absent"] != "null":
        return made
    return {"anyOf": [made, {"type": "null"}]}


def _told(field: Field) -> str:
    what = HINT.sub("", field["what"])
    unit = HINT.sub("", field["unit"])
    if field["type"] == "moment":
        return f"{what}: ms since 1970 UTC, {field['least']} to {field['most']} after the act's own moment"
    if field["as_many"]:
        return f"{what}, one for each of {'.'.join(field['as_many'])}".removeprefix(", ")
    if field["scale"] == 1:
        return f"{what}, {unit}" if unit else what
    return f"{what}, {unit} times {field['scale']}"


def _text(field: Field) -> Schema:
    made: Schema = {"type": "string", "maxLength": field["most"]}
    return {**made, "pattern": SEEN} if field["least"] else made


def _date(field: Field) -> Schema:
    return {"type": "string", "pattern": _pattern(conform.DATE)}


def _number(field: Field) -> Schema:
    return {"type": "integer", "minimum": field["least"], "maximum": field["most"]}


def _moment(field: Field) -> Schema:
    return {"type": "integer", "minimum": envelope.EARLIEST_MS}


def _choice(field: Field) -> Schema:
    return {"enum": [*field["choices"], *([] if field["least"] else [""])]}


def _id(field: Field) -> Schema:
    return {"type": "string", "pattern": _pattern(check.ID)}


def _ids(field: Field) -> Schema:
    return {"type": "array", "items": _id(field), "minItems": field["least"], "maxItems": field["most"]}


def _thing(field: Field) -> Schema:
    (kind,) = field["choices"]
    return {"type": "string", "pattern": f"^{kind}:" + _pattern(conform.THING).split(":", 1)[1]}


def _phone(field: Field) -> Schema:
    return {"type": "string", "pattern": _pattern(people.PHONE), "description": "the id of a phone"}


def _yes_no(field: Field) -> Schema:
    return {"type": "boolean"}


def _list(field: Field) -> Schema:
    made: Schema = {"type": "array", "items": _property(field["of"][0])}
    return made if field["as_many"] else {**made, "minItems": field["least"], "maxItems": field["most"]}


def _row(field: Field) -> Schema:
    size = len(field["of"])
    items = [_MAKERS[one["type"]](one) | {"description": _told(one)} for one in field["of"]]
    return {"type": "array", "prefixItems": items, "items": False, "minItems": size, "maxItems": size}


def _box(field: Field) -> Schema:
    for name, fields in NAMED.items():
        if field["of"] is fields:
            return {"$ref": _ref(name)}
    made = _object(field["of"])
    if field["choices"]:
        made["additionalProperties"] = False
    return {**made, "minProperties": field["least"]} if field["least"] else made


def _map(field: Field) -> Schema:
    names = {"enum": list(field["choices"])}
    return {"type": "object", "propertyNames": names, "additionalProperties": _property(field["of"][0])}


_MAKERS = {
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


def _name(kind: str) -> str:
    return f"Act_{kind}"


def _ref(name: str) -> str:
    return f"#/components/schemas/{name}"


def _pattern(shape: re.Pattern[str]) -> str:
    """A pattern as JavaScript and JSON Schema write it."""
    return shape.pattern.replace(r"\Z", "$")
