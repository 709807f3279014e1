"""The shelf as a table through both twins: written, scribbled over, read, told apart."""

import csv
import io
import json

import pytest

from tests.browser.twins import rnd_for, text_of
from tests.random_logs.sheets import HOSTILE, product
from tests.support import core_modules
from timers.core.files import cells, columns, table
from timers.defaults.products import PRODUCTS

pytestmark = pytest.mark.browser

ASK = """
async ([module, fn, asked]) => {
  const rule = (await import(`/js/core/${module}.js`))[fn];
  const text = (value) => {
    if (Array.isArray(value)) return `[${value.map(text).join(',')}]`;
    if (value === null || typeof value !== 'object') return JSON.stringify(value);
    return `{${Object.keys(value).sort().map((key) => `${JSON.stringify(key)}:${text(value[key])}`).join(',')}}`;
  };
  const answer = (args) => {
    try {
      return text(rule(...args));
    } catch (why) {
      return text(`${why.constructor.name}: ${why.message}`);
    }
  };
  return JSON.parse(asked).map(answer);
}
"""
SCRIBBLES = [
    *HOSTILE,
    "1",
    "12,5",
    "1,500",
    "=1",
    "a;=1\t@b\n-c",
    "';'=1;'+2",
    "'",
    "'=1",
    "",
    " ",
    "at 20: 5 min",
    "{}",
    "[]",
    "yes",
    "variant",
    "−3",
]
TYPED = [
    "12,5",
    "12.5",
    " 7 ",
    "−3",
    "+0,50",
    "1,500",
    "1.234,5",
    "x" * 50,
    "🚙" * 50,
    "1e3",
    "999999999999",
    "0.000001",
]
LINES = [
    "at 20: 30-60 min; at 30: 15-30 min",
    "20:1h",
    "at 20 °C: 1,5 to 2 d\n30 c: 90 s",
    "30 min",
    "20: 1 min-",
    ";;",
]


def alike(page, module, fn: str, cases: list) -> list:
    """Both twins answer every case with the same text; the Python side's answers."""

    def answer(args):
        try:
            return rule(*args)
        except ValueError as why:
            return f"{type(why).__name__}: {why}"

    rule = getattr(module, fn)
    words = fn.split("_")
    name = module.__name__.rpartition(".")[2]
    said = page.evaluate(
        ASK, [core_modules.address(name), words[0] + "".join(map(str.title, words[1:])), json.dumps(cases)]
    )
    answers = [answer(args) for args in cases]
    ours = [text_of(answer) for answer in answers]
    for one, other in zip(ours, said, strict=True):
        at = next((at for at, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), 0)
        assert one == other, (
            f"{fn}: python {one[max(at - 60, 0) : at + 90]!r}, javascript {other[max(at - 60, 0) : at + 90]!r}"
        )
    return answers


def scribbled(rnd, text: str) -> str:
    """A table over which somebody wrote, saved by some program; now and then cut off."""
    rows = list(csv.reader(io.StringIO(text, newline="")))
    for _ in range(rnd.randint(0, 4)):
        row = rnd.choice((rows[1:] or rows) if rnd.random() < 0.95 else rows)
        row[rnd.randrange(len(row))] = rnd.choice(SCRIBBLES)
    said = io.StringIO(newline="")
    csv.writer(said, delimiter=rnd.choice(",;\t"), lineterminator=rnd.choice(["\r\n", "\n", "\r"])).writerows(rows)
    text = rnd.choice(["", "\ufeff"]) + said.getvalue()
    return text[: rnd.randrange(len(text))] if rnd.random() < 0.1 else text


def test_both_twins_take_out_and_bring_in_the_same(core_page):
    rnd = rnd_for("table")
    shelves = [[[product(rnd) for _ in range(rnd.randint(0, 4))]] for _ in range(150)]
    tables = alike(core_page, table, "to_csv", shelves)
    said = alike(core_page, table, "to_json", shelves)
    alike(core_page, table, "from_json", [[text] for text in said])
    alike(core_page, table, "from_json", [[scribble] for scribble in SCRIBBLES])
    answers = alike(core_page, table, "from_csv", [[scribbled(rnd, text)] for text in tables for _ in range(3)])
    rows = [row for answer in answers for row in answer["rows"]]
    assert len({row["why"].split(" (you ")[0] for row in rows}) > 40, "refused for many reasons"
    assert sum(row["doc"] is not None for row in rows) > len(rows) / 3
    alike(core_page, table, "differs", [[*rnd.choices(rnd.choice(shelves)[0] or PRODUCTS, k=2)] for _ in range(300)])


def test_both_twins_read_cells_alike(core_page):
    alike(core_page, cells, "number", [["film_um", typed, scale] for typed in TYPED for scale in (1, 10, 60_000)])
    alike(core_page, cells, "points_of", [["pot", typed] for typed in LINES + TYPED])
    alike(
        core_page,
        cells,
        "date",
        [[typed] for typed in ("31.1.2026", "1/2/2026", "1/1/2026", "1/31/2026", "31/1/2026", "x")],
    )
    alike(core_page, cells, "guarded", [[text] for text in SCRIBBLES])
    alike(core_page, cells, "bared", [[f"'{text}"] for text in SCRIBBLES])
    alike(
        core_page,
        cells,
        "decimal",
        [[value, scale] for value in (0, -5, 14.5, None, True, 10**15) for scale in (1, 10, 60_000)],
    )
    alike(
        core_page,
        columns,
        "box_of",
        [[row, {"name": "x", "pot": ""}] for row in ("product", "variant", "coat", "toString")],
    )
    assert core_page.evaluate("async () => (await import('/js/core/files/columns.js')).COLUMNS") == columns.COLUMNS
