"""The shelf as a table: out and in again, held against Python's csv and json modules; and what is refused in words."""

import csv
import io
import json
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.random_logs.sheets import HOSTILE, product
from timers.core.acts.product_schema import check_doc
from timers.core.files import cells, columns, table
from timers.defaults.products import PRODUCTS

LAWS = settings(max_examples=100)
SHELVES = st.randoms(use_true_random=False).map(
    lambda rnd: [{**product(rnd), "id": f"{nth}"} for nth in range(rnd.randint(0, 5))]
)
FORMULAS = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "'=1", "''=1", "'", "''", "'90s red", "a=1", "\n=1", "\uff1d1"]
KEPT = {"name": "Clear", "cls": "clear", "gates": {"flash": [[200, 300_000, 600_000]]}}


def docs(answer: dict) -> list[dict]:
    assert answer["why"] == ""
    assert [row["why"] for row in answer["rows"]] == [""] * len(answer["rows"])
    return [row["doc"] for row in answer["rows"]]


def sheet(*rows: dict) -> str:
    """A table with just the columns that these rows name."""
    names = ["sandtime_shelf", *dict.fromkeys(name for row in rows for name in row if name != "sandtime_shelf")]
    return cells.csv_of([names, *([row.get(name, "1" if name == names[0] else "") for name in names] for row in rows)])


# --- out, then in ---


@LAWS
@given(SHELVES)
def test_a_shelf_taken_out_as_csv_and_brought_in_is_the_same_to_the_last_field(shelf):
    assert docs(table.from_csv(table.to_csv(shelf))) == shelf


@LAWS
@given(SHELVES)
def test_a_shelf_taken_out_as_json_and_brought_in_is_the_same_and_any_program_reads_it(shelf):
    said = table.to_json(shelf)
    assert docs(table.from_json(said)) == shelf
    assert json.loads(said) == {"sandtime_shelf": 1, "products": shelf}


def test_the_typical_shelf_stands_in_its_columns_and_little_is_left_for_the_last_one():
    rows = list(csv.DictReader(io.StringIO(table.to_csv(PRODUCTS))))
    assert docs(table.from_csv(table.to_csv(PRODUCTS))) == PRODUCTS
    assert {row["other"] for row in rows} == {"", '{"variants":[]}', '{"gates":{}}'}


@pytest.mark.parametrize("text", HOSTILE + FORMULAS)
def test_a_hostile_name_and_note_come_back_as_they_were(text):
    doc = {**KEPT, "name": f"{text}x"[:200], "notes": text, "ratio": {"by": "volume", "parts": [1], text: None}}
    assert docs(table.from_csv(table.to_csv([doc]))) == [doc]


@LAWS
@given(SHELVES)
def test_a_shelf_differs_in_no_column_from_itself_nor_from_itself_without_what_is_empty(shelf):
    for doc in shelf:
        assert table.differs(doc, {**doc, "lead_ms": None, "ribbon": {}}) == []
        assert table.differs(doc, {**doc, "name": f"{doc['name']}2", "later": 1}) == ["name", "other"]


def test_what_differs_is_named_by_its_column():
    other = {**KEPT, "gates": {"flash": [[200, 300_000, 600_001]]}, "variants": [{"id": "1", "name": "fast"}]}
    assert table.differs(KEPT, other) == ["flash", "variants"]


# --- through a spreadsheet ---


def test_a_whole_shelf_saved_again_by_a_program_with_semicolons_is_the_same():
    rnd = random.Random(7)
    shelf = [product(rnd) for _ in range(40)]
    rows = list(csv.reader(io.StringIO(table.to_csv(shelf), newline="")))
    said = io.StringIO(newline="")
    csv.writer(said, delimiter=";", quoting=csv.QUOTE_ALL).writerows(rows)
    assert docs(table.from_csv(said.getvalue())) == shelf


def test_no_cell_of_text_begins_like_a_formula():
    shelf = [{**KEPT, "name": text, "notes": text} for text in FORMULAS if text.strip()]
    rows = list(csv.DictReader(io.StringIO(table.to_csv(shelf), newline="")))
    assert len(rows) == len(shelf)
    assert all(row["name"][0] not in "=+-@\t\r\n\uff1d" for row in rows)


# --- what is refused ---


def test_a_bad_row_is_refused_in_words_and_the_others_are_read():
    rows = [
        {"name": "Good", "class": "clear"},
        {"name": "Cold", "class": "clear", "lowest_c": "30", "highest_c": "20"},
        {"name": "Odd", "class": "varnish"},
        {"name": "Last", "class": "base"},
    ]
    answer = table.from_csv(sheet(*rows))
    assert [(row["row"], row["name"], row["doc"] is None) for row in answer["rows"]] == [
        (2, "Good", False),
        (3, "Cold", True),
        (4, "Odd", True),
        (5, "Last", False),
    ]
    assert answer["rows"][1]["why"] == "The lowest temperature must be below the highest. Nothing was saved."


def test_a_bad_variant_refuses_its_product_and_names_its_own_row():
    variant = {"row": "variant", "name": "fast", "doubles_every_c": "3"}
    rows = [{"name": "Clear", "class": "clear"}, variant, {"row": "coat"}]
    (answer,) = table.from_csv(sheet(*rows))["rows"]
    assert answer["why"] == "Row 3: A variant has no doubles_every_c. Nothing was saved."


def test_a_variant_typed_in_by_hand_gets_its_place_as_its_id():
    rows = [
        {"name": "Clear", "class": "clear"},
        {"row": "Variant", "name": "fast", "band_from_c": "1", "band_to_c": "2"},
    ]
    assert docs(table.from_csv(sheet(*rows)))[0]["variants"] == [{"name": "fast", "band_dc": [10, 20], "id": "1"}]


@pytest.mark.parametrize(
    ("rows", "why"),
    [
        ([{"row": "variant", "name": "fast"}], "No product stands above this variant"),
        ([{"row": "tin", "name": "x"}], "a product, a variant or a coat (you typed tin)"),
        ([{"name": "a", "class": "clear"}, {"row": "tin"}], "Row 3: The row is a product"),
        ([{"name": "a", "class": "clear", "other": "{"}], "other is JSON"),
        ([{"name": "a", "class": "clear", "other": "[]"}], "other is JSON"),
        ([{"name": "a", "class": "clear", "typical": "perhaps"}], "typical is yes or no"),
        ([{"name": "a", "class": "clear", "part_1": "1", "part_2": "", "part_3": "1"}], "part_2 is empty"),
        ([{"name": " ", "class": "clear"}], "The name is empty"),
    ],
)
def test_a_row_is_refused_with_what_is_wrong(rows, why):
    assert why in table.from_csv(sheet(*rows))["rows"][0]["why"]


def test_two_rows_of_one_product_are_not_both_brought_in():
    rows = [{"name": "a", "class": "clear", "id": "7"}, {"name": "b", "class": "clear", "id": "7"}]
    first, second = table.from_csv(sheet(*rows))["rows"]
    assert (first["why"], second["doc"]) == ("", None)
    assert "in row 2" in second["why"]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "must name the columns"),
        ("name,class\r\na,clear", "must name the columns"),
        ("sandtime_shelf,name\r\n2,a", "version 2. Version 1 can be read here"),
        ("sandtime_shelf,nmae\r\n1,a", "The column nmae is none of the shelf's"),
        ("sandtime_shelf,name,name\r\n1,a,b", "The column name is there twice"),
        ('sandtime_shelf,name\r\n1,"a', "A quote that opens in row 2 is never closed"),
        ('sandtime_shelf,name\r\n1,"a"b', "A quote in row 2 closes before its cell ends"),
        ("sandtime_shelf,name\r\n" + "1,a\r\n" * 501, "may have 500 products (this one has 501)"),
        ("sandtime_shelf,name\r\n1," + "é" * 1_000_000, "may be 2 MB"),
    ],
)
def test_a_csv_file_that_cannot_be_read_is_refused_whole_in_words(text, why):
    answer = table.from_csv(text)
    assert answer["rows"] == []
    assert why in answer["why"]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("{", "A shelf as JSON is"),
        ("[" * 100_000, "A shelf as JSON is"),
        ("[]", "A shelf as JSON is"),
        ('{"sandtime_shelf": NaN, "products": []}', "A shelf as JSON is"),
        ('{"sandtime_shelf": 1, "products": {}}', "A shelf as JSON is"),
        ('{"sandtime_shelf": 2, "products": []}', "version 2"),
        ('{"sandtime_shelf": true, "products": []}', "version true"),
        (f'{{"sandtime_shelf": 1, "products": [{"{}," * 500}{{}}]}}', "500 products"),
    ],
)
def test_json_that_is_no_shelf_is_refused_whole_in_words(text, why):
    answer = table.from_json(text)
    assert answer["rows"] == []
    assert why in answer["why"]


def test_a_product_in_json_that_cannot_be_kept_is_refused_and_the_others_are_read():
    answer = table.from_json(
        json.dumps({"sandtime_shelf": 1.0, "products": [KEPT, None, {"name": 3}, {**KEPT, "cls": "x"}]})
    )
    assert [row["doc"] for row in answer["rows"]] == [KEPT, None, None, None]
    assert [row["row"] for row in answer["rows"]] == [1, 2, 3, 4]
    assert all("Nothing was saved." in row["why"] for row in answer["rows"][1:])


# --- a person at a spreadsheet ---


@LAWS
@given(SHELVES, st.randoms(use_true_random=False))
def test_a_table_scribbled_over_is_read_or_refused_in_words_and_never_breaks(shelf, rnd):
    rows = list(csv.reader(io.StringIO(table.to_csv([*shelf, PRODUCTS[0]]), newline="")))
    for _ in range(rnd.randint(1, 5)):
        row = rnd.choice(rows[1:])
        row[rnd.randrange(len(row))] = rnd.choice(
            [*HOSTILE, "1", "12,5", "=1", "", "at 20: 5 min", "{}", "yes", "variant"]
        )
    for row in table.from_csv(cells.csv_of(rows))["rows"]:
        assert (row["doc"] is None) == bool(row["why"])
        if row["doc"]:
            check_doc("sheet_written", row["doc"])


def test_columns_may_stand_in_any_order_and_only_some_of_them():
    rows = list(csv.reader(io.StringIO(table.to_csv(PRODUCTS))))
    turned = [row[::-1] for row in rows]
    assert docs(table.from_csv(cells.csv_of(turned))) == PRODUCTS
    assert len(set(columns.COLUMNS)) == len(columns.COLUMNS)
