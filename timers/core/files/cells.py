"""Cells of a table: separated values, texts that no spreadsheet reckons, figures as people type them.
Twin: static/js/core/files/cells.js"""

import re

from ..base.check import Refused, plain
from ..base.translate import decimal as spoken
from ..base.translate import t
from ..base.units import DAY_MS, HOUR_MS, MINUTE_MS, SECOND_MS

UNITS = {"d": DAY_MS, "h": HOUR_MS, "min": MINUTE_MS, "s": SECOND_MS, "ms": 1}  # the largest first
SEPARATORS = (",", ";", "\t")
LIKE = "at 20: 30-60 min; at 30: 15-30 min"  # these words are part of the format, the same in every tongue
# What begins a formula in one spreadsheet or another: these signs, also behind apostrophes.
RECKONED = re.compile("^'*[=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20]")
RECKONED_INSIDE = re.compile("([;\t\r\n])(?='*[=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20])")
GUARDED = re.compile("^'+[=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20]")
GUARDED_INSIDE = re.compile("([;\t\r\n])'(?='*[=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20])")
# Pieces of a table: from a quote to the next (and that one), a cell without quotes, a separator, the end of a line.
PIECES = {
    ",": re.compile('"([^"]*)("?)|([^",\r\n][^,\r\n]*)|(,)|\r\n|\r|\n'),
    ";": re.compile('"([^"]*)("?)|([^";\r\n][^;\r\n]*)|(;)|\r\n|\r|\n'),
    "\t": re.compile('"([^"]*)("?)|([^"\t\r\n][^\t\r\n]*)|(\t)|\r\n|\r|\n'),
}
PARTED = re.compile('[",;\t\r\n]|^ | \\Z')
EDGES = re.compile("^[ \t\u00a0\u202f]+|[ \t\u00a0\u202f]+\\Z")
NUMBER = re.compile(r"^([+-]?)([0-9]{1,12})(?:[.,]([0-9]{1,6}))?\Z")
TWO_WAYS = re.compile(r"^[+-]?([1-9][0-9]{0,2})[.,]([0-9]{3})\Z")
DAY = re.compile(r"^([0-9]{1,2})([./])([0-9]{1,2})\2([0-9]{4})\Z")
LINE = re.compile(
    r"^(?:at )?([+-]?[0-9.,]+) ?(?:°? ?c)? ?: ?([0-9.,]+) ?(d|h|min|s|ms)?"
    r"(?: ?(?:-|–|to) ?([0-9.,]+) ?(d|h|min|s|ms))?\Z"
)
BLANKS = re.compile("[ \t\u00a0\u202f]+")
POINT_ENDS = re.compile("[;\r\n]+")
TENS = (1, 10, 100, 1_000, 10_000, 100_000, 1_000_000)
EXACT_IN_TENTHS = 100_000_000_000_000  # ten times this is exact in both languages


def rows_of(text: str) -> list[list[str]]:
    """Rows of a table, each a list of cells.

    Rule     a quoted cell may hold anything, a quote in it is doubled; the separator is what the first line has most
             of: comma, semicolon or tab; a line ends with CRLF, LF or CR; a byte order mark is left out
    Unit     texts
    Holds    refuses a quote that is never closed, and letters right after a closing quote
    Source   RFC 4180, section 2; semicolon and tab: what spreadsheets write where the comma is in numbers
    Vectors  tests/vectors/cells.json
    """
    text = text.removeprefix("\ufeff")
    rows: list[list[str]] = []
    row: list[str] = []
    cell: list[str] = []  # its pieces: between two of them stood a doubled quote
    for piece in PIECES[_separator(text)].finditer(text):
        if piece[1] is not None:
            if not piece[2]:
                raise Refused(
                    t("A quote that opens in row {row} is never closed. Nothing was saved.", row=len(rows) + 1)
                )
            cell.append(piece[1])
        elif piece[3] is not None:
            if cell:
                raise Refused(
                    t("A quote in row {row} closes before its cell ends. Nothing was saved.", row=len(rows) + 1)
                )
            cell.append(piece[3])
        else:
            row.append('"'.join(cell))
            cell = []
            if piece[4] is None:
                rows.append(row)
                row = []
    return [*rows, [*row, '"'.join(cell)]] if row or cell else rows


def csv_of(rows: list[list[str]]) -> str:
    """Rows as RFC 4180 has them; a cell is quoted where any of the three separators, a quote or a line end is in it."""
    return "".join(f"{','.join(_cell(cell) for cell in row)}\r\n" for row in rows)


def guarded(text: str) -> str:
    """A text with an apostrophe before what a spreadsheet would reckon as a formula, also where one that parts cells at
    semicolons or tabs would see a cell begin; `bared` takes them off again."""
    return RECKONED_INSIDE.sub(r"\1'", f"'{text}" if RECKONED.match(text) else text)


def bared(text: str) -> str:
    text = GUARDED_INSIDE.sub(r"\1", text.replace("\r\n", "\n").replace("\r", "\n"))
    return text[1:] if GUARDED.match(text) else text


def trimmed(text: str) -> str:
    return EDGES.sub("", text)


def decimal(value: object, scale: int) -> str:
    """A scaled whole number in plain decimals; "" where one place is not enough to say it exactly."""
    if not isinstance(value, int) or isinstance(value, bool) or abs(value) > EXACT_IN_TENTHS or value * 10 % scale:
        return ""
    return plain(value, scale)


def number(column: str, text: str, scale: int) -> int:
    """A number as it was typed, with a point or a comma, times its scale.

    Rule     exact, by whole numbers; three digits after the only point or comma may be thousands: asks again
    Unit     as the column says
    Holds    refuses what is no number, what has two meanings and what has more places than the scale keeps
    Source   own rule
    Vectors  tests/vectors/cells.json
    """
    figure = trimmed(text).replace("\u2212", "-")
    match, two = NUMBER.match(figure), TWO_WAYS.match(figure)
    if not match:
        like = spoken("12.5")
        words = t(
            "{column} is a number like {like} (you typed {typed}). Nothing was saved.",
            column=column,
            like=like,
            typed=_short(text),
        )
        raise Refused(words)
    whole, places = match[2], (match[3] or "").rstrip("0")
    if two:
        small = spoken(f"{whole}.{places}") if places else whole
        words = t(
            "{column} may mean {small} or {large}: write one of them. Nothing was saved.",
            column=column,
            small=small,
            large=two[1] + two[2],
        )
        raise Refused(words)
    size = TENS[len(places)]
    part = int(places or "0") * scale
    if part % size:
        words = t(
            "{column} has more places than are kept (you typed {typed}). Nothing was saved.",
            column=column,
            typed=_short(text),
        )
        raise Refused(words)
    value = int(whole) * scale + part // size
    return -value if match[1] == "-" else value


def lines(points: object) -> str:
    """The lines of a gate in words: "at 20: 30-60 min; at 30: 15-30 min"; "" where they are no such lines."""
    if not isinstance(points, list):
        return ""
    each = [_line(point) for point in points]
    return "" if "" in each else "; ".join(each)


def points_of(column: str, text: str) -> list[list[int]]:
    """The lines of a gate, read."""
    plain_text = BLANKS.sub(" ", text.replace("\u2212", "-").lower())
    return [_point(column, trimmed(one)) for one in POINT_ENDS.sub(";", plain_text).split(";") if trimmed(one)]


def date(text: str) -> str:
    """A date as a spreadsheet may have turned it, as 2026-01-31, where day and month cannot be mistaken."""
    bare = trimmed(text)
    match = DAY.match(bare)
    if not match:
        return bare
    first, second = int(match[1]), int(match[3])
    if match[2] == "/" and first <= 12 and second <= 12 and first != second:
        return bare
    day, month = (second, first) if match[2] == "/" and second > 12 else (first, second)
    return f"{match[4]}-{month:02d}-{day:02d}"


def _short(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:40]} ..."


def _separator(text: str) -> str:
    first = text.split("\n")[0].split("\r")[0]
    counts = [first.count(mark) for mark in SEPARATORS]
    return SEPARATORS[counts.index(max(counts))]


def _cell(text: str) -> str:
    inside = text.replace('"', '""')
    return f'"{inside}"' if PARTED.search(text) else text


def _line(point: object) -> str:
    """A line of a gate in words; "" where it is none."""
    if not isinstance(point, list) or len(point) != 3:
        return ""
    figures = [one for one in point if isinstance(one, int) and not isinstance(one, bool) and decimal(one, 1)]
    if len(figures) != 3 or min(figures[1:]) <= 0:
        return ""
    temp, short, long = figures
    word = next((word for word, size in UNITS.items() if short % size == 0 and long % size == 0), "ms")
    size = UNITS[word]
    span = f"{short // size}" if short == long else f"{short // size}-{long // size}"
    return f"at {decimal(temp, 10)}: {span} {word}"


def _point(column: str, line: str) -> list[int]:
    match = LINE.match(line)
    unit = match[3] or match[5] if match else None
    if not match or not unit:
        words = t(
            "{column} is lines like {like} (you typed {typed}). Nothing was saved.",
            column=column,
            like=LIKE,
            typed=_short(line),
        )
        raise Refused(words)
    shorter = number(column, match[2], UNITS[unit])
    temp = number(column, match[1], 10)
    return [temp, shorter, number(column, match[4], UNITS[match[5]]) if match[4] and match[5] else shorter]
