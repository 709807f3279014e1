"""The shelf as a table, to take out and to bring in: CSV for a spreadsheet, or JSON.  Twin: static/js/core/table.js"""

from .cells import bared, csv_of, rows_of, trimmed
from .check import Refused
from .columns import COLUMNS, UNDER, VERSION, box_of, cells_of, json_of, parsed
from .doc import check_doc
from .tongue import t

MOST = 500
LARGEST = 2_000_000  # bytes of UTF-8
LIKE = '{"sandtime_shelf": 1, "products": [...]}'


def to_csv(products: list[dict]) -> str:
    """Products as the text of a CSV file; `from_csv` reads the same products again, each field of each."""
    rows = [[cells.get(column, "") for column in COLUMNS] for product in products for cells in _rows(product)]
    return csv_of([COLUMNS, *rows])


def from_csv(text: str) -> dict:
    """Products read from the text of a CSV file, each checked, none of them kept.

    Rule     columns by their names in the first line, in any order; a product that cannot be read is answered in words
             and the others are read; of two with one id the second is refused
    Unit     {"rows": [{"row": as a spreadsheet counts, "name", "doc": {...} or None, "why"}], "why": of the whole file}
    Holds    at most 500 products, 2 MB, version 1
    Source   own format, written down in timers/FORMATS.md; RFC 4180 for what a CSV file is
    Vectors  tests/vectors/table.json
    """
    try:
        groups = _groups(_table(_fit(text)))
        _count(groups)
    except Refused as why:
        return {"rows": [], "why": str(why)}
    rows = [
        _row(n, bared(cells.get("name", "")), lambda group=(n, cells, under): _product(*group))
        for n, cells, under in groups
    ]
    return {"rows": _once(rows), "why": ""}


def to_json(products: list[dict]) -> str:
    """Products as JSON, one on a line."""
    said = ",\n".join(json_of(product) for product in products)
    return f'{{"sandtime_shelf": {VERSION}, "products": [\n{said}\n]}}\n'


def from_json(text: str) -> dict:
    """Products read from JSON, answered as `from_csv` does; a row is the place in the list."""
    try:
        held = parsed(_fit(text).removeprefix("\ufeff"))
        if not isinstance(held, dict) or "sandtime_shelf" not in held or not isinstance(held.get("products"), list):
            raise Refused(t("A shelf as JSON is {like}. Nothing was saved.", like=LIKE))
        _same_version(json_of(held["sandtime_shelf"]))
        _count(held["products"])
    except Refused as why:
        return {"rows": [], "why": str(why)}
    rows = [_row(n, _name(doc), lambda doc=doc: doc) for n, doc in enumerate(held["products"], 1)]
    return {"rows": _once(rows), "why": ""}


def differs(one: dict, other: dict) -> list[str]:
    """The columns in which two products differ; none where they mean the same: an empty field is a missing one."""
    ones, others = _parts(_full(one)), _parts(_full(other))
    return [name for name in (*COLUMNS[2:-1], *UNDER.values(), "other") if ones.get(name) != others.get(name)]


def _parts(doc: dict) -> dict:
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
    full = {key: _full(one) for key, one in value.items()}
    return {key: one for key, one in full.items() if one is not None and one not in ("", [], {})}


def _rows(doc: dict) -> list[dict]:
    """The rows of a product, by column."""
    under = {row: key for row, key in UNDER.items() if _boxes(doc.get(key))}
    own = {key: value for key, value in doc.items() if key not in under.values()}
    return [cells_of("product", own), *(cells_of(row, box) for row, key in under.items() for box in doc[key])]


def _boxes(value: object) -> bool:
    return isinstance(value, list) and len(value) > 0 and all(isinstance(one, dict) for one in value)


def _fit(text: str) -> str:
    if len(text.encode("utf-8", "surrogatepass")) > LARGEST:
        raise Refused(t("A table may be 2 MB. This one is larger. Nothing was saved."))
    return text


def _table(text: str) -> list[tuple[int, dict]]:
    """The rows that are not blank, each with its number and its cells by column."""
    first, *rows = rows_of(text) or [[]]
    names = [trimmed(name).lower() for name in first]
    if "sandtime_shelf" not in names:
        told = {"column": "sandtime_shelf"}
        raise Refused(t("The first line must name the columns, {column} among them. Nothing was saved.", **told))
    for name in filter(None, names):
        if name not in COLUMNS:
            raise Refused(t("The column {column} is none of the shelf's. Nothing was saved.", column=name))
        if names.count(name) > 1:
            raise Refused(t("The column {column} is there twice. Nothing was saved.", column=name))
    table = [(n, _by_column(names, row)) for n, row in enumerate(rows, 2) if any(map(trimmed, row))]
    for _, cells in table:
        _same_version(trimmed(cells.get("sandtime_shelf", "")) or str(VERSION))
    return table


def _by_column(names: list[str], row: list[str]) -> dict:
    """Cells by column; what stands in none of them under ""."""
    beyond = [cell for at, cell in enumerate(row) if trimmed(cell) and (at >= len(names) or not names[at])]
    return {**dict(zip(names, row, strict=False)), "": "".join(beyond)}


def _same_version(said: str) -> None:
    if said != str(VERSION):
        told = {"version": said[:40], "ours": VERSION}
        words = t("This table is of version {version}. Version {ours} can be read here. Nothing was saved.", **told)
        raise Refused(words)


def _count(products: list) -> None:
    if len(products) > MOST:
        told = {"most": MOST, "count": len(products)}
        raise Refused(t("A table may have {most} products (this one has {count}). Nothing was saved.", **told))


def _groups(table: list[tuple[int, dict]]) -> list[tuple]:
    """Each product with the rows under it: (number, cells, [(number, cells), ...])."""
    groups: list[tuple] = []
    for n, cells in table:
        row = trimmed(cells.get("row", "")).lower() or "product"
        if row == "product" or not groups:
            groups.append((n, {**cells, "row": row}, []))
        else:
            groups[-1][2].append((n, {**cells, "row": row}))
    return groups


def _product(_n: int, cells: dict, under: list[tuple[int, dict]]) -> dict:
    if cells["row"] in UNDER:
        raise Refused(t("No product stands above this {row}. Nothing was saved.", row=cells["row"]))
    doc = box_of(cells["row"], cells)
    more = {key: [_under(*one) for one in under if UNDER.get(one[1]["row"]) == key] for key in UNDER.values()}
    for n, one in under:
        if one["row"] not in UNDER:
            _under(n, one)
    for at, variant in enumerate(more["variants"], 1):
        variant.setdefault("id", str(at))
    return doc | {key: boxes for key, boxes in more.items() if boxes}


def _under(n: int, cells: dict) -> dict:
    try:
        return box_of(cells["row"], cells)
    except Refused as why:
        raise Refused(t("Row {n}: {why}", n=n, why=why)) from why


def _row(n: int, name: str, read) -> dict:
    try:
        doc = read()
        check_doc("sheet_written", doc)
    except Refused as why:
        return {"row": n, "name": name, "doc": None, "why": str(why)}
    return {"row": n, "name": name, "doc": doc, "why": ""}


def _name(doc: object) -> str:
    name = doc.get("name") if isinstance(doc, dict) else ""
    return name if isinstance(name, str) else ""


def _once(rows: list[dict]) -> list[dict]:
    """The second of two products with one id is refused."""
    first: dict[str, int] = {}
    for row in rows:
        own = row["doc"].get("id") if row["doc"] else None
        if isinstance(own, str) and first.setdefault(own, row["row"]) != row["row"]:
            told = {"row": first[own]}
            why = t("The same product (by its id) is in row {row}. Nothing was saved.", **told)
            row |= {"doc": None, "why": why}
    return rows
