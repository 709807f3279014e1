"""The rows of the rules as a script of the phone: what stands at static/js/core/acts/schema.js.

A row is written without the columns in which it says nothing; one that stands in several places is written once and
named.  Phrases are marked by `later`, so that the phone gets them in its tongue.  The same rows give the same text.
"""

import json
from collections import Counter
from collections.abc import Iterable

from ..core.acts import act_schema, figures, people, product_schema, relations
from ..core.acts.schema import Field, Kind, rule

BLANK = rule("")
PHRASES = ("what", "label", "words", "unit")
CONSTANTS = {
    "CLASSES": product_schema.CLASSES,
    "USES": product_schema.USES,
    "GATES": product_schema.GATES,
    "WAYS": people.WAYS,
    "LATE_MS": people.LATE_MS,
    "PUTTY": relations.PUTTY,
    "LEAST_PM": relations.LEAST_PM,
    "MOST_PM": relations.MOST_PM,
}
ROWS = {
    "A_SHEET": product_schema.A_SHEET,
    "A_PRODUCT": product_schema.A_PRODUCT,
    "A_ROUTE": product_schema.A_ROUTE,
    "LINES": product_schema.LINES,
}
LISTS = {"FIGURES": figures.FIGURES, "FORM": product_schema.FORM}
HEAD = """\
// Made of the rows in timers/core: edit those.  What the columns mean is explained in schema.py there.
const later = (phrase) => phrase;
const row = (given) => ({{ ...{blank}, ...given }});
"""


def text() -> str:
    """The module: `KINDS`, the rows and the lists of rows that the checks of sheets begin with, and constants."""
    script = _Script()
    ends = [f"export const {name} = {script.row(one)};" for name, one in ROWS.items()]
    ends += [f"export const {name} = {script.rows(some)};" for name, some in LISTS.items()]
    kinds = ",\n".join(f"{name}:{script.kind(kind)}" for name, kind in act_schema.KINDS.items())
    ends += [f"export const {name} = {_plain(value)};" for name, value in CONSTANTS.items()]
    # No prototype: a kind named like something that every object has is unknown too.
    ends.append(f"export const KINDS = {{\n__proto__:null,\n{kinds},\n}};")
    return HEAD.format(blank=_plain(BLANK)) + "\n".join([*script.lines, *ends, ""])


class _Script:
    """Rows as expressions, and `lines` with those that are used more than once."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self._names: dict[str, str] = {}
        self._uses: Counter[str] = Counter()
        for one in [*ROWS.values(), *(one for some in LISTS.values() for one in some)]:
            self._count(one)
        for kind in act_schema.KINDS.values():
            for one in kind["fields"]:
                self._count(one)

    def _count(self, field: Field) -> None:
        self._uses[_plain(field)] += 1
        if self._uses[_plain(field)] == 1:
            for one in field["of"]:
                self._count(one)

    def kind(self, kind: Kind) -> str:
        return f"{{on:{_plain(kind['on'])},fields:{self.rows(kind['fields'])}}}"

    def rows(self, some: Iterable[Field]) -> str:
        return f"[{','.join(map(self.row, some))}]"

    def row(self, field: Field) -> str:
        """The row as an expression: its name where it is used more than once."""
        whole = _plain(field)
        if whole not in self._names:
            columns = (f"{column}:{self._value(column, value)}" for column, value in _said(field).items())
            made = f"row({{{','.join(columns)}}})"
            if self._uses[whole] == 1:
                return made
            self._names[whole] = f"r{len(self._names)}"
            self.lines.append(f"const {self._names[whole]} = {made};")
        return self._names[whole]

    def _value(self, column: str, value: object) -> str:
        if column == "of":
            return self.rows(value)
        return f"later({_plain(value)})" if column in PHRASES else _plain(value)


def _said(field: Field) -> dict[str, object]:
    return {column: value for column, value in field.items() if value != BLANK[column]}


def _plain(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))
