"""The shelf as a table: out and in again on a phone with no signal."""

import csv
import io
import json

import pytest
from playwright.sync_api import expect

from timers.core.files import columns

from .conftest import heard, kept_offline, ready
from .test_screens import fits, go

pytestmark = pytest.mark.browser


def offline(server, phones):
    page = phones(server.address)
    heard(page)
    kept_offline(page)
    page.context.set_offline(True)
    go(page, "Shelf")
    page.tap("text=Take out or bring in the shelf")
    expect(page.locator("#screen-table")).to_be_visible()
    return page


def taken_out(page, kind: str) -> str:
    with page.expect_download() as download:
        page.tap(f"[data-do=table-{kind}]")
    assert download.value.suggested_filename.endswith(f".{kind}")
    with open(download.value.path(), encoding="utf-8-sig", newline="") as file:
        said = file.read()
    assert page.input_value("#table-out") == said.replace("\r\n", "\n")
    return said


def bring(page, text: str, name: str = "shelf.csv"):
    page.set_input_files("#table-file", {"name": name, "mimeType": "text/plain", "buffer": text.encode()})


def told(page):
    return page.locator("#table-rows [data-text=told]")


def edited(text: str) -> str:
    """One changed, one new, one refused."""
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    rows[0]["lowest_c"] = "12,5"
    new = {**rows[0], "name": "Base of mine", "id": "mine"}
    wrong = {**rows[0], "name": "Too warm", "id": "", "highest_c": "9"}
    said = io.StringIO(newline="")
    writer = csv.DictWriter(said, columns.COLUMNS, delimiter=";")
    writer.writeheader()
    writer.writerows([*rows, new, wrong])
    return said.getvalue()


def test_out_and_in_with_no_signal_changes_nothing(server, phones):
    page = offline(server, phones)
    for kind in ("csv", "json"):
        bring(page, taken_out(page, kind), f"shelf.{kind}")
        expect(page.locator("#table-told")).to_have_text("21 same as now.")
        expect(page.locator("#table-bring")).to_be_hidden()
        fits(page)


def test_an_edited_table_is_looked_at_brought_in_and_undone_with_no_signal(server, phones):
    page = offline(server, phones)
    bring(page, edited(taken_out(page, "csv")))
    expect(page.locator("#table-head")).to_have_text("In shelf.csv")
    expect(page.locator("#table-told")).to_have_text("1 new, 1 changed, 20 same as now, 1 refused.")
    same = ["Same as now"] * 20
    expect(told(page)).to_have_text(["Refused", "Changes Adhesion promoter, plastic: lowest_c", "New", *same])
    expect(page.locator(".tablerow .why").first).to_contain_text("must be below the highest")
    fits(page)
    page.tap("text=Bring in 2 products")
    expect(page.locator("#table-told")).to_have_text("2 brought in, 20 same as before, 1 refused.")
    expect(page.locator(".tablerow .why").first).to_contain_text("must be below the highest")
    fits(page)
    page.locator(".tablerow", has_text="Base of mine").locator("[data-do=table-undo]").tap()
    expect(page.locator("#table-told")).to_have_text("1 brought in, 1 undone, 20 same as before, 1 refused.")
    page.context.set_offline(False)
    page.reload()
    ready(page)
    heard(page)
    go(page, "Shelf")
    expect(page.locator("#products")).to_contain_text("from 12.5 °C")
    expect(page.locator("#products")).not_to_contain_text("Base of mine")


def test_what_cannot_be_read_is_said_in_words_and_what_was_pasted_stays(server, phones):
    page = offline(server, phones)
    page.fill("#table-in", "name;class\nClear;clear")
    page.tap("[data-do=table-read]")
    expect(page.locator("#table-why")).to_contain_text("must name the columns")
    assert page.input_value("#table-in") == "name;class\nClear;clear"
    page.set_input_files(
        "#table-file", {"name": "x.csv", "mimeType": "text/csv", "buffer": b"sandtime_shelf,name\r\n1,K\xfche"}
    )
    expect(page.locator("#table-why")).to_contain_text("Save it again as UTF-8")
    page.fill("#table-in", "sandtime_shelf;name;class\n1;Clear of mine;clear")
    page.tap("[data-do=table-read]")
    expect(page.locator("#table-why")).to_be_empty()
    expect(told(page)).to_have_text(["New"])
    page.tap("text=Leave it")
    expect(page.locator("#table-plan")).to_be_hidden()
    go(page, "Shelf")
    expect(page.locator("#products")).not_to_contain_text("Clear of mine")


def test_a_product_put_away_comes_back_and_one_of_the_same_name_is_changed_not_doubled(server, phones):
    page = offline(server, phones)
    said = taken_out(page, "json")
    go(page, "Shelf")
    page.locator(".product", has=page.get_by_text("Clear, 2K", exact=True)).locator("[data-do=product]").tap()
    page.goto(f"{server.address}#table")
    docs = [doc for doc in json.loads(said)["products"] if doc["name"] in ("Clear, 2K", "Etch primer")]
    page.fill(
        "#table-in", json.dumps({"sandtime_shelf": 1, "products": [{**doc, "id": "x" + doc["cls"]} for doc in docs]})
    )
    page.tap("[data-do=table-read]")
    expect(told(page)).to_have_text(["Changes Clear, 2K: it was put away and comes back", "Same as now"])
    page.tap("text=Bring in 1 product")
    expect(page.locator("#table-told")).to_have_text("1 brought in, 1 same as before.")
    go(page, "Shelf")
    expect(page.locator("#products .product")).to_have_count(21)
