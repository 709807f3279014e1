"""The columns of the shelf as a table: what stands where, and a row's cells from and to what a product holds.
Twin: static/js/core/files/columns.js

A product is a row; each of its variants, and of its times for a number of coats, is a row of its own under it.  What no
column can say stands in the last one as JSON, so that nothing a product holds is lost.
"""

import json
from typing import TypeAlias

from ..acts.product_schema import GATES
from ..base.check import Refused
from ..base.translate import t
from ..fold.shelf import OF_VARIANT
from .cells import bared, date, decimal, guarded, lines, number, points_of, trimmed

Cells: TypeAlias = dict[str, str]  # of one row, by column
Box: TypeAlias = dict[str, object]  # a product, a variant, the times of a coat: as they stand in the file, unchecked
Kind: TypeAlias = str | int  # how a figure is written: a number is its scale

VERSION = 1
UNDER = {"variant": "variants", "coat": "coat_gates"}

_FOUR = (1, 2, 3, 4)
_FIELDS: list[tuple[list[str], list[str], Kind]] = [  # where it is in the product, its columns, how it is written
    (["name"], ["name"], "text"),
    (["id"], ["id"], "text"),
    (["cls"], ["class"], "word"),
    (["uses"], ["uses"], "words"),
    (["use"], ["use"], "word"),
    (["typical"], ["typical"], "yes"),
    (["sheet_date"], ["sheet_date"], "date"),
    (["lowest_dc"], ["lowest_c"], 10),
    (["highest_dc"], ["highest_c"], 10),
    (["cure_lowest_dc"], ["cure_lowest_c"], 10),
    (["cure_highest_dc"], ["cure_highest_c"], 10),
    (["double_dc"], ["doubles_every_c"], 10),
    (["sheet_rh_pm"], ["sheet_rh_pct"], 10),
    (["highest_rh_pm"], ["highest_rh_pct"], 10),
    (["band_dc"], ["band_from_c", "band_to_c"], 10),
    (["coat"], ["coat"], 1),
    *((["gates", gate], [gate], "lines") for gate in GATES),
    (["ratio", "by"], ["ratio_by"], "word"),
    (["ratio", "parts"], [f"part_{n}" for n in _FOUR], 1),
    (["ratio", "names"], [f"part_{n}_name" for n in _FOUR], "text"),
    (["densities_g_l"], [f"part_{n}_g_l" for n in _FOUR], 1),
    (["vocs_g_l"], [f"part_{n}_solvent_g_l" for n in _FOUR], 1),
    (["waters_g_l"], [f"part_{n}_water_g_l" for n in _FOUR], 1),
    (["hardener"], ["hardener"], "word"),
    (["in_can"], ["in_can"], "yes"),
    (["hardener_span_pm"], ["hardener_from_pct", "hardener_to_pct"], 10),
    (["ribbon", "mm"], ["ribbon_mm"], 1),
    (["ribbon", "disc_mm"], ["ribbon_disc_mm"], 1),
    (["solids_pm"], ["solids_pct"], 10),
    (["solids_of"], ["solids_of"], "word"),
    (["hardener_solids_pm"], ["hardener_solids_pct"], 10),
    (["film_um"], ["film_um"], 1),
    (["coats"], ["coats"], 1),
    (["tip_um"], ["tip_mm"], 1000),
    (["before_p"], ["paper_before_p"], 1),
    (["after_p"], ["paper_after_p"], 1),
    (["lead_ms"], ["warn_before_shut_min"], 60_000),
    (["notes"], ["notes"], "text"),
]
COLUMNS = ["sandtime_shelf", "row", *(column for _, columns, _ in _FIELDS for column in columns), "other"]
BANDS = ("band_from_c", "band_to_c")
_PARTS = [*(f"part_{n}" for n in _FOUR), *(f"part_{n}_name" for n in _FOUR)]
_OF_PARTS = [f"part_{n}_{what}" for what in ("g_l", "solvent_g_l", "water_g_l") for n in _FOUR]
_OWN = [columns[0] for path, columns, _ in _FIELDS if path[0] in OF_VARIANT]
_COLUMNS_OF = {
    "product": [column for column in COLUMNS if column not in (*BANDS, "coat", "use")],
    "variant": ["name", "id", "use", *BANDS, *GATES, "ratio_by", *_PARTS, *_OWN, *_OF_PARTS],
    "coat": ["coat", *GATES],
}
_YES = {"yes": True, "true": True, "1": True, "no": False, "false": False, "0": False}


def cells_of(row: str, box: Box) -> Cells:
    """The cells of one row, by column, those that say something: of a product, of a variant, of the times of a coat."""
    cells: Cells = {"sandtime_shelf": str(VERSION), "row": row}
    for path, columns, kind in _FIELDS:
        if columns[0] in _COLUMNS_OF[row]:
            for column, cell in zip(columns, _written(columns, kind, _value_at(box, path)), strict=False):
                cells[column] = cell
    left = _left(box, _in_columns(row, cells))
    return {**cells, "other": json_of(left)} if left else cells


def box_of(row: str, cells: Cells) -> Box:
    """What the cells of one row say.

    Rule     an empty cell is a field that is missing; what stands in a column rules over what stands in `other`
    Unit     as the column's name says, read to whole numbers of the product's own units
    Holds    refuses a cell that cannot be read, and one that this kind of row does not have
    Source   own format
    Vectors  tests/vectors/table.json
    """
    if row not in _COLUMNS_OF:
        names = {"product": "product", "variant": "variant", "coat": "coat", "row": row}
        raise Refused(
            t("The row is a {product}, a {variant} or a {coat} (you typed {row}). Nothing was saved.", **names)
        )
    if cells.get(""):
        raise Refused(t("This row has a cell beyond the last column. Nothing was saved."))
    box = _in_columns(row, cells)
    if not trimmed(cells.get("other", "")):
        return box
    other = parsed(cells["other"])
    if not isinstance(other, dict):
        names = {"column": "other", "like": '{"key": 1}'}
        raise Refused(t("{column} is JSON like {like}, or empty. Nothing was saved.", **names))
    return _filled(box, other)


def json_of(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def parsed(text: str) -> object:
    """JSON as both languages read it: 1.0 is the whole number 1.  None where it is not JSON."""
    try:
        value: object = json.loads(text, parse_float=_figure, parse_constant=_figure)
    except (ValueError, RecursionError):
        return None
    return value


def _figure(text: str) -> int | float:
    if text[-1] not in "0123456789":
        raise ValueError(text)
    figure = float(text)
    return int(figure) if figure.is_integer() else figure


def _in_columns(row: str, cells: Cells) -> Box:
    """What the cells say in their columns, without the one for all the rest."""
    box: Box = {} if row == "variant" else {"gates": {}}
    for path, columns, kind in _FIELDS:
        given = [cells.get(column, "") for column in columns]
        full = [cell != "" if kind == "text" else trimmed(cell) != "" for cell in given]
        if not any(full):
            continue
        if columns[0] not in _COLUMNS_OF[row]:
            column = columns[full.index(True)]
            raise Refused(t("A {row} has no {column}. Nothing was saved.", row=row, column=column))
        last = max(n for n, one in enumerate(full, 1) if one)
        if not all(full[:last]):
            gap = columns[full.index(False)]
            raise Refused(t("{column} is empty and the next one is not. Nothing was saved.", column=gap))
        values = [_value(column, kind, cell) for column, cell in zip(columns, given[:last], strict=False)]
        _put(box, path, values[0] if len(columns) == 1 else values)
    return box


def _put(box: Box, path: list[str], value: object) -> None:
    """Sets what is at a path of one or two names."""
    if len(path) == 1:
        box[path[0]] = value
        return
    inner = box.get(path[0])
    box[path[0]] = {**inner, path[1]: value} if isinstance(inner, dict) else {path[1]: value}


def _written(columns: list[str], kind: Kind, value: object) -> list[str]:
    """The cells of a field; none where they would not read back as the very same."""
    values = [value] if len(columns) == 1 else value
    if not isinstance(values, list) or len(values) > len(columns):
        return []
    cells = [_cell(kind, one) for one in values]
    try:
        same = all(cells) and [_value("", kind, cell) for cell in cells] == values
    except Refused:
        return []
    return cells if same else []


def _cell(kind: Kind, value: object) -> str:
    if kind == "yes":
        return ("yes" if value else "no") if isinstance(value, bool) else ""
    if kind == "lines":
        return lines(value)
    if kind == "words":
        each = value if isinstance(value, list) else []
        return " ".join(one for one in each if isinstance(one, str))
    if isinstance(kind, int):
        return decimal(value, kind)
    return guarded(value) if isinstance(value, str) else ""


def _value(column: str, kind: Kind, cell: str) -> object:
    if kind == "lines":
        return points_of(column, cell)
    if isinstance(kind, int):
        return number(column, cell, kind)
    text = bared(cell)
    if kind == "words":
        return [one for one in trimmed(text).lower().split(" ") if one]
    if kind == "text":
        return text
    if kind == "date":
        return date(text)
    word = trimmed(text).lower()
    if kind == "word":
        return word
    if word not in _YES:
        raise Refused(t("{column} is {yes} or {no}. Nothing was saved.", column=column, yes="yes", no="no"))
    return _YES[word]


def _value_at(box: Box, path: list[str]) -> object:
    value: object = box
    for key in path:
        value = value.get(key) if isinstance(value, dict) else None
    return value


def _left(full: Box, stated: Box) -> Box:
    """What is in `full` and not yet stated."""
    return {
        key: _left_inside(value, stated[key]) if key in stated else value
        for key, value in full.items()
        if key not in stated or _left_inside(value, stated[key])
    }


def _left_inside(value: object, stated: object) -> Box:
    return _left(value, stated) if isinstance(value, dict) and isinstance(stated, dict) else {}


def _filled(stated: Box, other: Box) -> Box:
    """What was stated, and what else there is."""
    return {**other, **{key: _filled_inside(value, other.get(key)) for key, value in stated.items()}}


def _filled_inside(stated: object, other: object) -> object:
    return _filled(stated, other) if isinstance(stated, dict) and isinstance(other, dict) else stated
