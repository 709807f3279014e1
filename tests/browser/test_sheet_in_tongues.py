"""A sheet on a phone that reads another tongue: figures with a comma, times typed in its words, and back again."""

import pytest
from playwright.sync_api import expect

from tests import phrases

from .conftest import furnished, heard
from .test_sheet import FORM, docs, save, type_gate, write_new
from .test_sheet_again import PARTED, UNITS, open_sheet

pytestmark = pytest.mark.browser
SPOKEN = """async (said) => (await import('/static/joined/floor.js')).$core_base_translate.speak(said)"""
READ = """async ([kind, text, units]) => {
  const { $product_parse: { KINDS } } = await import('/static/joined/product.js');
  return KINDS[kind].read('It', text, units);
}"""
WRITTEN = """async () => (await import('/static/joined/product.js')).$product_parse.timeText(1_800_000, 172_800_000)"""
MIN, HOUR, DAY = 60_000, 3_600_000, 86_400_000
TIMES = {
    "1,5 h": [1.5 * HOUR, 1.5 * HOUR],
    "2,5 bis 3 Std.": [2.5 * HOUR, 3 * HOUR],
    "30 Minuten bis 2 Tage": [30 * MIN, 2 * DAY],
    "30 min a 2 días": [30 * MIN, 2 * DAY],
    "1 día": [DAY, DAY],
    "ca. 20 minutos": [20 * MIN, 20 * MIN],
    "1 hora 30": [90 * MIN, 90 * MIN],
    "2 semanas": [14 * DAY, 14 * DAY],
    "1 Woche": [7 * DAY, 7 * DAY],
}
FIGURES = [
    ("temp", "14,5", "metric", 145),
    ("temp", "14.5", "metric", 145),
    ("temp", "58,1 F", "metric", 145),
    ("temp", "14,5 Grad", "metric", 145),
    ("pm", "45,5 %", "metric", 455),
    ("film", "1,5", "imperial", 38),
    ("film", "50,8", "metric", 51),
    ("mm", "2,5 cm", "metric", 25),
    ("lead", "1,5 h", "metric", 90 * MIN),
    ("weights", "14,5 16,5", "imperial", [411, 468]),
    ("weights", "1511, 1002", "metric", [1511, 1002]),
    ("weights", "900,850", "metric", [900, 850]),
]


def words_of(tongue: str) -> dict:
    """What the scripts' phrases are in a tongue, as far as they have words; figures with a comma in any case."""
    said = [one for one in phrases.read(tongue) if one.id and one.string and not one.context]
    told = {one.id: one.string for one in said if isinstance(one.id, str)}
    counts = {one.id[0]: list(one.string) for one in said if not isinstance(one.id, str) and all(one.string)}
    return {**told, **counts, "1.5": "1,5"}


@pytest.fixture
def sheets(server, phones):
    """A page whose scripts of the sheet can be asked."""
    page = phones(server.address)
    heard(page)
    furnished(page)
    return page


@pytest.mark.parametrize("tongue", ["", *phrases.TONGUES])
def test_times_and_figures_are_read_with_comma_and_point_in_the_words_of_any_tongue(sheets, tongue):
    sheets.evaluate(SPOKEN, words_of(tongue) if tongue else {})
    assert {text: sheets.evaluate(FORM, text) for text in TIMES} == TIMES
    for kind, text, units, value in FIGURES:
        assert sheets.evaluate(READ, [kind, text, UNITS[units]]) == value, text


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("tongue", phrases.TONGUES)
def test_every_sheet_comes_back_as_it_was_from_a_form_in_another_tongue(sheets, tongue, units):
    sheets.evaluate(SPOKEN, words_of(tongue))
    assert sheets.evaluate(PARTED, UNITS[units]) == []
    typed = sheets.evaluate(WRITTEN)
    assert sheets.evaluate(FORM, typed["time"]) == [30 * MIN, 2 * DAY]


def test_a_sheet_typed_with_commas_stands_in_its_fields_with_commas_again(server, phones):
    page = phones(server.address)
    heard(page)
    page.evaluate(SPOKEN, {"1.5": "1,5"})
    write_new(page)
    page.fill("#sheet-name", "Invented surfacer")
    page.fill("#sheet-lowest_dc", "14,5")
    type_gate(page, "sand", [("20,5", "0,5-1 h")])
    save(page)
    expect(page.locator("#products .product", has_text="Invented surfacer")).to_be_visible()
    doc = docs(page)["Invented surfacer"]
    assert (doc["lowest_dc"], doc["gates"]["sand"]) == (145, [[205, 30 * MIN, 60 * MIN]])
    open_sheet(page, "Invented surfacer")
    expect(page.locator("#sheet-lowest_dc")).to_have_value("14,5")
    line = page.locator("#sheet-gates .gate[data-gate=sand] .line").first
    expect(line.locator("[data-part=temp]")).to_have_value("20,5")
    expect(line.locator("[data-part=time]")).to_have_value("30-60")
