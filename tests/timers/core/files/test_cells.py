"""Cells of a table, held against Python's csv module; texts that are no formula; numbers as people type them."""

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.random_logs.sheets import HOSTILE
from timers.core.base.check import Refused
from timers.core.files import cells

LAWS = settings(max_examples=100)
ANY_TEXT = st.text(st.sampled_from(list("ab=+-@'\t\n\",; 5{}é🚙\u2028\uff1d")), max_size=12)


# --- beside Python's csv module ---


@LAWS
@given(st.lists(st.lists(ANY_TEXT | st.sampled_from(HOSTILE), min_size=2, max_size=4), min_size=1, max_size=5))
def test_python_reads_what_is_written(rows):
    assert list(csv.reader(io.StringIO(cells.csv_of(rows), newline=""))) == rows


@pytest.mark.parametrize("dialect", ["excel", "excel-tab", "unix"])
@LAWS
@given(rows=st.lists(st.lists(ANY_TEXT | st.sampled_from(HOSTILE), min_size=3, max_size=3), max_size=5))
def test_what_python_writes_is_read(dialect, rows):
    rows = [["one", "two", "three"], *rows]
    said = io.StringIO(newline="")
    csv.writer(said, dialect=dialect).writerows(rows)
    assert cells.rows_of(said.getvalue()) == rows
    assert cells.rows_of(f"\ufeff{said.getvalue()}") == rows


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r", "\r\n"])
@pytest.mark.parametrize("begin", ["", "\ufeff"])
def test_every_separator_and_line_end_is_read(mark, end, begin):
    rows = [["sandtime_shelf", "name", "class"], ["1", f'a{mark}"b"\nc', "clear"], ["1", "", ""]]
    said = io.StringIO(newline="")
    csv.writer(said, delimiter=mark, lineterminator=end).writerows(rows)
    assert cells.rows_of(begin + said.getvalue()) == rows
    assert cells.rows_of(begin + said.getvalue().removesuffix(end)) == rows


# --- no formula ---


@LAWS
@given(ANY_TEXT)
def test_an_apostrophe_that_was_put_before_a_text_comes_off_again(text):
    assert cells.bared(cells.guarded(text)) == text
    assert not cells.guarded(text) or cells.guarded(text)[0] not in "=+-@\t\r\n\uff1d"


@LAWS
@given(ANY_TEXT)
def test_no_cell_begins_a_formula_however_a_spreadsheet_parts_the_line(text):
    for mark in ("\t", ";", "\n"):
        assert not any(part[:1] in set("=+-@\uff1d") for part in cells.guarded(text).split(mark) if part)


# --- numbers and times as people type them ---


@pytest.mark.parametrize(
    ("typed", "dc"), [("12,5", 125), ("12.5", 125), (" 12.50 ", 125), ("−3", -30), ("+3", 30), ("0,500", 5)]
)
def test_a_number_is_read_as_it_was_meant(typed, dc):
    assert cells.number("lowest_c", typed, 10) == dc


@pytest.mark.parametrize("typed", ["1,500", "1.500", "20,000"])
def test_a_number_that_may_be_thousands_is_asked_again(typed):
    with pytest.raises(Refused, match="may mean"):
        cells.number("film_um", typed, 1)


@pytest.mark.parametrize("typed", ["12,5,1", "1.234,5", "twelve", "1e3", "", "12.55", "٣", "1" * 13])
def test_what_is_no_number_of_that_column_is_refused(typed):
    with pytest.raises(Refused, match="lowest_c"):
        cells.number("lowest_c", typed, 10)


@pytest.mark.parametrize(
    "typed",
    [
        "at 20: 30-60 min; at 30: 15-30 min",
        "20:30-60min;30:15-30min",
        "at 20 °C: 30 – 60 min\nat 30 C: 15 to 30 min",
        "AT 20,0 : 1800 s - 1 h ; at 30.0: 0,25 - 0,5 h;",
    ],
)
def test_the_lines_of_a_time_may_be_typed_in_many_ways(typed):
    assert cells.points_of("pot", typed) == [[200, 1_800_000, 3_600_000], [300, 900_000, 1_800_000]]


@pytest.mark.parametrize("typed", ["30-60 min", "at 20: 30-60", "at 20: soon", "at 20: 30 min-60", "at warm: 5 min"])
def test_a_time_without_its_temperature_or_unit_is_refused_with_an_example(typed):
    with pytest.raises(Refused, match="pot is lines like at 20: 30-60 min"):
        cells.points_of("pot", typed)


@pytest.mark.parametrize("typed", ["2026-01-31", "31.1.2026", "31/01/2026", "1/31/2026"])
def test_a_date_that_a_spreadsheet_turned_round_is_read_when_it_has_one_meaning(typed):
    assert cells.date(typed) == "2026-01-31"
    assert cells.date("1/2/2026") == "1/2/2026"
