"""Cells of a table: separated values, texts that no spreadsheet reckons, figures as people type them.
Twin: static/js/core/cells.js"""

import re

from .check import Refused, plain
from .tongue import decimal as spoken
from .tongue import t
from .units import DAY_MS, HOUR_MS, MINUTE_MS, SECOND_MS

UNITS = (("d", DAY_MS), ("h", HOUR_MS), ("min", MINUTE_MS), ("s", SECOND_MS), ("ms", 1))
SEPARATORS = (",", ";", "\t")
LIKE = "at 20: 30-60 min; at 30: 15-30 min"  # these words are part of the format, the same in every tongue
_BEGUN = "'*[=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20]"  # begins a formula in one spreadsheet or another
RECKONED, RECKONED_INSIDE = re.compile(f"^{_BEGUN}"), re.compile(f"([;\t\r\n])(?={_BEGUN})")
GUARDED, GUARDED_INSIDE = re.compile(f"^'{_BEGUN}"), re.compile(f"([;\t\r\n])'(?={_BEGUN})")
PARTED = re.compile('[",;\t\r\n]|^ | \\Z')
EDGES = re.compile("^[ \t\u00a0\u202f]+|[ \t\u00a0\u202f]+\\Z")
NUMBER = re.compile(r"^([+-]?)([0-9]{1,12})(?:[.,]([0-9]{1,6}))?\Z")
TWO_WAYS = re.compile(r"^[+-]?([1-9][0-9]{0,2})[.,]([0-9]{3})\Z")
DAY = re.compile(r"^([0-9]{1,2})([./])([0-9]{1,2})\2([0-9]{4})\Z")
_TIME = r"([0-9.,]+) ?(d|h|min|s|ms)"
LINE = re.compile(rf"^(?:at )?([+-]?[0-9.,]+) ?(?:°? ?c)? ?: ?{_TIME}?(?: ?(?:-|–|to) ?{_TIME})?\Z")
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
    mark = _separator(text)
    unquoted = re.compile(f"[^{mark}\r\n]*")
    rows, row, at = [], [], 0
    while at < len(text):
        if text[at] == '"':
            cell, at = _quoted(text, at, mark, len(rows) + 1)
        else:
            cell = unquoted.match(text, at)[0]
            at += len(cell)
        row.append(cell)
        if text[at : at + 1] == mark:
            at += 1
            if at < len(text):
                continue
            row.append("")
        at += 2 if text.startswith("\r\n", at) else 1
        rows.append(row)
        row = []
    return rows


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
    said = trimmed(text).replace("\u2212", "-")
    found, two = NUMBER.match(said), TWO_WAYS.match(said)
    if not found:
        told = {"column": column, "like": spoken("12.5"), "typed": _short(text)}
        raise Refused(t("{column} is a number like {like} (you typed {typed}). Nothing was saved.", **told))
    sign, whole, places = found[1], found[2], (found[3] or "").rstrip("0")
    if two:
        told = {"column": column, "small": spoken(f"{whole}.{places}") if places else whole, "large": two[1] + two[2]}
        raise Refused(t("{column} may mean {small} or {large}: write one of them. Nothing was saved.", **told))
    size = 10 ** len(places)
    value = int(whole + places) * scale
    if value % size:
        told = {"column": column, "typed": _short(text)}
        raise Refused(t("{column} has more places than are kept (you typed {typed}). Nothing was saved.", **told))
    return -(value // size) if sign == "-" else value // size


def lines(points: object) -> str:
    """The lines of a gate in words: "at 20: 30-60 min; at 30: 15-30 min"; "" where they are no such lines."""
    if not isinstance(points, list) or not all(_is_line(point) for point in points):
        return ""
    return "; ".join(_line(*point) for point in points)


def points_of(column: str, text: str) -> list:
    """The lines of a gate, read."""
    said = re.sub("[ \t\u00a0\u202f]+", " ", text.replace("\u2212", "-").lower())
    return [_point(column, trimmed(one)) for one in re.split("[;\r\n]+", said) if trimmed(one)]


def date(text: str) -> str:
    """A date as a spreadsheet may have turned it, as 2026-01-31, where day and month cannot be mistaken."""
    said = trimmed(text)
    found = DAY.match(said)
    if not found:
        return said
    first, second = int(found[1]), int(found[3])
    if found[2] == "/" and first <= 12 and second <= 12 and first != second:
        return said
    day, month = (second, first) if found[2] == "/" and second > 12 else (first, second)
    return f"{found[4]}-{month:02d}-{day:02d}"


def _short(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:40]} ..."


def _separator(text: str) -> str:
    first = re.split("[\r\n]", text, maxsplit=1)[0]
    return max(SEPARATORS, key=first.count)


def _quoted(text: str, at: int, mark: str, row: int) -> tuple[str, int]:
    end = text.find('"', at + 1)
    while end >= 0 and text[end + 1 : end + 2] == '"':
        end = text.find('"', end + 2)
    if end < 0:
        raise Refused(t("A quote that opens in row {row} is never closed. Nothing was saved.", row=row))
    if text[end + 1 : end + 2] not in ("", mark, "\r", "\n"):
        raise Refused(t("A quote in row {row} closes before its cell ends. Nothing was saved.", row=row))
    return text[at + 1 : end].replace('""', '"'), end + 1


def _cell(text: str) -> str:
    return '"{}"'.format(text.replace('"', '""')) if PARTED.search(text) else text


def _is_line(point: object) -> bool:
    if not isinstance(point, list) or len(point) != 3:
        return False
    return all(decimal(one, 1) for one in point) and min(point[1:]) > 0


def _line(temp: int, short: int, long: int) -> str:
    word, size = next(unit for unit in UNITS if short % unit[1] == 0 and long % unit[1] == 0)
    span = f"{short // size}" if short == long else f"{short // size}-{long // size}"
    return f"at {decimal(temp, 10)}: {span} {word}"


def _point(column: str, line: str) -> list[int]:
    found = LINE.match(line)
    if not found or not (found[3] or found[5]):
        told = {"column": column, "like": LIKE, "typed": _short(line)}
        raise Refused(t("{column} is lines like {like} (you typed {typed}). Nothing was saved.", **told))
    temp, short, unit, long, last = found.groups()
    sizes = dict(UNITS)
    shorter = number(column, short, sizes[unit or last])
    return [number(column, temp, 10), shorter, number(column, long, sizes[last]) if long else shorter]
