"""The shelf as a table, to take out and to bring in: CSV for a spreadsheet, or JSON.

Twin: static/js/core/files/table.js"""

from dataclasses import dataclass
from typing import TypeAlias, TypedDict

from ..acts.product_schema import check_doc
from ..base.check import Refused
from ..base.translate import t
from .cells import bared, csv_of, rows_of, trimmed
from .columns import COLUMNS, UNDER, VERSION, Box, Cells, box_of, cells_of, json_of, parsed

MOST = 500
LARGEST = 2_000_000  # bytes of UTF-8
LIKE = '{"sandtime_shelf": 1, "products": [...]}'

Numbered: TypeAlias = tuple[int, Cells]  # the cells of a row, and its number as a spreadsheet counts


class Row(TypedDict):
    """A product as it was read: without a document where it cannot be, and why."""

    row: int  # as a spreadsheet counts; in JSON the place in the list
    name: str
    doc: Box | None
    why: str


class Table(TypedDict):
    """All products of a file; none, and why, where the file cannot be read."""

    rows: list[Row]
    why: str


@dataclass
class _Group:
    """The row of a product and the rows under it."""

    n: int
    cells: Cells
    under: list[Numbered]


def to_csv(products: list[Box]) -> str:
    """Products as the text of a CSV file; `from_csv` reads the same products again, each field of each."""
    rows = [[cells.get(column, "") for column in COLUMNS] for product in products for cells in _cells_of_all(product)]
    return csv_of([COLUMNS, *rows])


def from_csv(text: str) -> Table:
    """Products read from the text of a CSV file, each checked, none of them kept.

    Rule     columns by their names in the first line, in any order; a product that cannot be read is answered in words
             and the others are read; of two with one id the second is refused
    Unit     rows as a spreadsheet counts them
    Holds    at most 500 products, 2 MB, version 1
    Source   own format, written down in timers/FORMATS.md; RFC 4180 for what a CSV file is
    Vectors  tests/vectors/table.json
    """
    try:
        groups = _groups(_table(_fit(text)))
        _check_count(len(groups))
    except Refused as why:
        return {"rows": [], "why": str(why)}
    return {"rows": _once([_row_of(group) for group in groups]), "why": ""}


def to_json(products: list[Box]) -> str:
    """Products as JSON, one on a line."""
    lines = ",\n".join(json_of(product) for product in products)
    return f'{{"sandtime_shelf": {VERSION}, "products": [\n{lines}\n]}}\n'


def from_json(text: str) -> Table:
    """Products read from JSON, answered as `from_csv` does; a row is the place in the list."""
    try:
        shelf = parsed(_fit(text).removeprefix("\ufeff"))
        products = shelf.get("products") if isinstance(shelf, dict) else None
        if not isinstance(shelf, dict) or "sandtime_shelf" not in shelf or not isinstance(products, list):
            raise Refused(t("A shelf as JSON is {like}. Nothing was saved.", like=LIKE))
        _check_version(json_of(shelf["sandtime_shelf"]))
        _check_count(len(products))
    except Refused as why:
        return {"rows": [], "why": str(why)}
    return {"rows": _once([_row(n, _name(doc), doc) for n, doc in enumerate(products, 1)]), "why": ""}


def differs(one: Box, other: Box) -> list[str]:
    """The columns in which two products differ; none where they mean the same: an empty field is a missing one."""
    ones, others = _parts(_full_box(one)), _parts(_full_box(other))
    return [name for name in (*COLUMNS[2:-1], *UNDER.values(), "other") if ones.get(name) != others.get(name)]


def _parts(doc: Box) -> Box:
    """What each column of a product says, its variants, its coats, and the rest."""
    under = {key: doc[key] for key in UNDER.values() if key in doc}
    cells = cells_of("product", {key: value for key, value in doc.items() if key not in under})
    return {**cells, **under, "other": parsed(cells.get("other", "{}"))}


def _full(value: object) -> object:
    """Without what is empty."""
    if isinstance(value, list):
        return [_full(one) for one in value]
    if not isinstance(value, dict):
        return value
    return _full_box(value)


def _full_box(box: Box) -> Box:
    full = {key: _full(one) for key, one in box.items()}
    return {key: one for key, one in full.items() if one is not None and one != "" and one != [] and one != {}}


def _cells_of_all(doc: Box) -> list[Cells]:
    """The rows of a product, by column."""
    under = [(row, key) for row, key in UNDER.items() if _boxes(doc.get(key))]
    keys = [key for _, key in under]
    own = {key: value for key, value in doc.items() if key not in keys}
    return [cells_of("product", own), *(cells_of(row, box) for row, key in under for box in _boxes(doc.get(key)))]


def _boxes(value: object) -> list[Box]:
    """What may stand in rows of its own; [] where something among it is no such box."""
    each = value if isinstance(value, list) else []
    boxes = [one for one in each if isinstance(one, dict)]
    return boxes if len(boxes) == len(each) else []


def _fit(text: str) -> str:
    if len(text.encode("utf-8", "surrogatepass")) > LARGEST:
        raise Refused(t("A table may be 2 MB. This one is larger. Nothing was saved."))
    return text


def _table(text: str) -> list[Numbered]:
    """The rows that are not blank, each with its number and its cells by column."""
    lines = rows_of(text)
    names = [trimmed(name).lower() for name in lines[0]] if lines else []
    if "sandtime_shelf" not in names:
        column = "sandtime_shelf"
        raise Refused(t("The first line must name the columns, {column} among them. Nothing was saved.", column=column))
    for name in names:
        if name and name not in COLUMNS:
            raise Refused(t("The column {column} is none of the shelf's. Nothing was saved.", column=name))
        if name and names.count(name) > 1:
            raise Refused(t("The column {column} is there twice. Nothing was saved.", column=name))
    full = [(n, line) for n, line in enumerate(lines[1:], 2) if any(trimmed(cell) for cell in line)]
    table = [(n, _by_column(names, line)) for n, line in full]
    for _, cells in table:
        _check_version(trimmed(cells.get("sandtime_shelf", "")) or str(VERSION))
    return table


def _by_column(names: list[str], line: list[str]) -> Cells:
    """Cells by column; what stands in none of them under ""."""
    cells: Cells = {}
    for name, cell in zip(names, line, strict=False):
        cells[name] = cell
    beyond = [cell for at, cell in enumerate(line) if trimmed(cell) and (at >= len(names) or not names[at])]
    cells[""] = "".join(beyond)
    return cells


def _check_version(version: str) -> None:
    if version != str(VERSION):
        values = {"version": version[:40], "ours": VERSION}
        words = t("This table is of version {version}. Version {ours} can be read here. Nothing was saved.", **values)
        raise Refused(words)


def _check_count(count: int) -> None:
    if count > MOST:
        words = t("A table may have {most} products (this one has {count}). Nothing was saved.", most=MOST, count=count)
        raise Refused(words)


def _groups(table: list[Numbered]) -> list[_Group]:
    """Each product with the rows under it."""
    groups: list[_Group] = []
    for n, cells in table:
        row = trimmed(cells.get("row", "")).lower() or "product"
        if row == "product" or not groups:
            groups.append(_Group(n, {**cells, "row": row}, []))
        else:
            groups[-1].under.append((n, {**cells, "row": row}))
    return groups


def _product(group: _Group) -> Box:
    row = group.cells["row"]
    if row in UNDER:
        raise Refused(t("No product stands above this {row}. Nothing was saved.", row=row))
    doc = box_of(row, group.cells)
    variants = [_under(n, cells) for n, cells in group.under if cells["row"] == "variant"]
    coats = [_under(n, cells) for n, cells in group.under if cells["row"] == "coat"]
    for n, cells in group.under:
        if cells["row"] not in UNDER:
            _under(n, cells)
    for at, variant in enumerate(variants, 1):
        variant.setdefault("id", str(at))
    if variants:
        doc["variants"] = variants
    if coats:
        doc["coat_gates"] = coats
    return doc


def _under(n: int, cells: Cells) -> Box:
    try:
        return box_of(cells["row"], cells)
    except Refused as why:
        raise Refused(t("Row {n}: {why}", n=n, why=str(why))) from why


def _row_of(group: _Group) -> Row:
    name = bared(group.cells.get("name", ""))
    try:
        doc = _product(group)
    except Refused as why:
        return {"row": group.n, "name": name, "doc": None, "why": str(why)}
    return _row(group.n, name, doc)


def _row(n: int, name: str, doc: object) -> Row:
    try:
        check_doc("sheet_written", doc)
    except Refused as why:
        return {"row": n, "name": name, "doc": None, "why": str(why)}
    return {"row": n, "name": name, "doc": doc if isinstance(doc, dict) else None, "why": ""}


def _name(doc: object) -> str:
    name = doc.get("name") if isinstance(doc, dict) else ""
    return name if isinstance(name, str) else ""


def _once(rows: list[Row]) -> list[Row]:
    """The second of two products with one id is refused."""
    first: dict[str, int] = {}
    for row in rows:
        own = row["doc"].get("id") if row["doc"] else None
        if isinstance(own, str) and first.setdefault(own, row["row"]) != row["row"]:
            row["why"] = t("The same product (by its id) is in row {row}. Nothing was saved.", row=first[own])
            row["doc"] = None
    return rows
