"""The columns of the shelf as a table: what stands where, and a row's cells from and to what a product holds.
Twin: static/js/core/columns.js

A product is a row; each of its variants, and of its times for a number of coats, is a row of its own under it.  What no
column can say stands in the last one as JSON, so that nothing a product holds is lost.
"""

import json

from .cells import bared, date, decimal, guarded, lines, number, points_of, trimmed
from .check import Refused
from .doc import GATES
from .tongue import t

VERSION = 1
UNDER = {"variant": "variants", "coat": "coat_gates"}

_FOUR = (1, 2, 3, 4)
_FIELDS = [  # where it is in the product, its columns, how it is written: a number is a scale
    (("name",), ("name",), "text"),
    (("id",), ("id",), "text"),
    (("cls",), ("class",), "word"),
    (("typical",), ("typical",), "yes"),
    (("sheet_date",), ("sheet_date",), "date"),
    (("lowest_dc",), ("lowest_c",), 10),
    (("highest_dc",), ("highest_c",), 10),
    (("double_dc",), ("doubles_every_c",), 10),
    (("sheet_rh_pm",), ("sheet_rh_pct",), 10),
    (("highest_rh_pm",), ("highest_rh_pct",), 10),
    (("band_dc",), ("band_from_c", "band_to_c"), 10),
    (("coat",), ("coat",), 1),
    *((("gates", gate), (gate,), "lines") for gate in GATES),
    (("ratio", "by"), ("ratio_by",), "word"),
    (("ratio", "parts"), tuple(f"part_{n}" for n in _FOUR), 1),
    (("ratio", "names"), tuple(f"part_{n}_name" for n in _FOUR), "text"),
    (("densities_g_l",), tuple(f"part_{n}_g_l" for n in _FOUR), 1),
    (("vocs_g_l",), tuple(f"part_{n}_solvent_g_l" for n in _FOUR), 1),
    (("waters_g_l",), tuple(f"part_{n}_water_g_l" for n in _FOUR), 1),
    (("hardener_span_pm",), ("hardener_from_pct", "hardener_to_pct"), 10),
    (("ribbon", "mm"), ("ribbon_mm",), 1),
    (("ribbon", "disc_mm"), ("ribbon_disc_mm",), 1),
    (("solids_pm",), ("solids_pct",), 10),
    (("film_um",), ("film_um",), 1),
    (("coats",), ("coats",), 1),
    (("before_p",), ("paper_before_p",), 1),
    (("after_p",), ("paper_after_p",), 1),
    (("lead_ms",), ("warn_before_shut_min",), 60_000),
    (("notes",), ("notes",), "text"),
]
COLUMNS = ["sandtime_shelf", "row", *(column for _, columns, _ in _FIELDS for column in columns), "other"]
BANDS = ("band_from_c", "band_to_c")
_HELD = {
    "product": [column for column in COLUMNS if column not in (*BANDS, "coat")],
    "variant": ["name", "id", *BANDS, *GATES],
    "coat": ["coat", *GATES],
}
_YES = {"yes": True, "true": True, "1": True, "no": False, "false": False, "0": False}


def cells_of(row: str, box: dict) -> dict:
    """The cells of one row, by column, those that say something: of a product, of a variant, of the times of a coat."""
    cells = {"sandtime_shelf": str(VERSION), "row": row}
    for path, columns, kind in _FIELDS:
        if columns[0] in _HELD[row]:
            cells |= dict(zip(columns, _written(columns, kind, _at(box, path)), strict=False))
    left = _left(box, _said(row, cells))
    return {**cells, "other": json_of(left)} if left else cells


def box_of(row: str, cells: dict) -> dict:
    """What the cells of one row say.

    Rule     an empty cell is a field that is missing; what stands in a column rules over what stands in `other`
    Unit     as the column's name says, read to whole numbers of the product's own units
    Holds    refuses a cell that cannot be read, and one that this kind of row does not have
    Source   own format
    Vectors  tests/vectors/table.json
    """
    if row not in _HELD:
        told = {"product": "product", "variant": "variant", "coat": "coat", "row": row}
        raise Refused(
            t("The row is a {product}, a {variant} or a {coat} (you typed {row}). Nothing was saved.", **told)
        )
    if cells.get(""):
        raise Refused(t("This row has a cell beyond the last column. Nothing was saved."))
    said = _said(row, cells)
    if not trimmed(cells.get("other", "")):
        return said
    other = parsed(cells["other"])
    if not isinstance(other, dict):
        told = {"column": "other", "like": '{"key": 1}'}
        raise Refused(t("{column} is JSON like {like}, or empty. Nothing was saved.", **told))
    return _filled(said, other)


def json_of(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def parsed(text: str) -> object:
    """JSON as both languages read it: 1.0 is the whole number 1.  None where it is not JSON."""
    try:
        return json.loads(text, parse_float=_figure, parse_constant=_figure)
    except (ValueError, RecursionError):
        return None


def _figure(said: str) -> int | float:
    if said[-1] not in "0123456789":
        raise ValueError(said)
    figure = float(said)
    return int(figure) if figure.is_integer() else figure


def _said(row: str, cells: dict) -> dict:
    """What the cells say in their columns, without the one for all the rest."""
    box = {} if row == "variant" else {"gates": {}}
    for path, columns, kind in _FIELDS:
        given = [cells.get(column, "") for column in columns]
        full = [cell != "" if kind == "text" else trimmed(cell) != "" for cell in given]
        if not any(full):
            continue
        if columns[0] not in _HELD[row]:
            told = {"row": row, "column": columns[full.index(True)]}
            raise Refused(t("A {row} has no {column}. Nothing was saved.", **told))
        last = len(full) - full[::-1].index(True)
        if not all(full[:last]):
            gap = columns[full.index(False)]
            raise Refused(t("{column} is empty and the next one is not. Nothing was saved.", column=gap))
        values = [_value(column, kind, cell) for column, cell in zip(columns, given[:last], strict=False)]
        held = box.setdefault(path[0], {}) if len(path) == 2 else box
        held[path[-1]] = values[0] if len(columns) == 1 else values
    return box


def _written(columns: tuple, kind: object, value: object) -> list[str]:
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


def _cell(kind: object, value: object) -> str:
    if kind == "yes":
        return ("yes" if value else "no") if isinstance(value, bool) else ""
    if kind == "lines":
        return lines(value)
    if isinstance(kind, int):
        return decimal(value, kind)
    return guarded(value) if isinstance(value, str) else ""


def _value(column: str, kind: object, cell: str) -> object:
    if kind == "lines":
        return points_of(column, cell)
    if isinstance(kind, int):
        return number(column, cell, kind)
    text = bared(cell)
    word = trimmed(text).lower()
    if kind == "yes" and word not in _YES:
        raise Refused(t("{column} is {yes} or {no}. Nothing was saved.", column=column, yes="yes", no="no"))
    return {"text": text, "date": date(text), "word": word, "yes": _YES.get(word)}[kind]


def _at(box: object, path: tuple) -> object:
    for key in path:
        box = box.get(key) if isinstance(box, dict) else None
    return box


def _left(full: dict, said: dict) -> dict:
    """What is in `full` and not yet said."""
    left = {}
    for key, value in full.items():
        inside = isinstance(value, dict) and isinstance(said.get(key), dict)
        more = _left(value, said[key]) if inside else {}
        if key not in said or more:
            left[key] = value if key not in said else more
    return left


def _filled(said: dict, other: dict) -> dict:
    """What was said, and what else there is."""
    both = [key for key in said if isinstance(said[key], dict) and isinstance(other.get(key), dict)]
    return {**other, **said, **{key: _filled(said[key], other[key]) for key in both}}
