"""German and Spanish as they are: every screen fits both phones, and its words are those of its tongue."""

from pathlib import Path

import pytest
from playwright.sync_api import expect

from .conftest import PHONE, TALL_PHONE, heard
from .walk import OPENED, SHOP

pytestmark = pytest.mark.browser
MEASURES = Path(__file__).with_name("measures.js").read_text("utf-8")
SIZED = """['sideways', 'clipped', 'broken'].flatMap((look) => measures[look]().map((said) => `${look}: ${said}`))"""
ROOMS = ("mix", "shelf", "table", "book", "ring", "help", "thermometer", "hand", "take", "join", "phones")
SHEETS = ("add", "air", "lay", "back")
WORDS = {
    "de": {
        "floor": "Werkstatt",
        "mix": "Mischen",
        "add": "Teil hinzufügen",
        "open": "Offen",
        "product": "Füller, 2K, dickschichtig",
    },
    "es": {
        "floor": "Taller",
        "mix": "Mezcla",
        "add": "Añadir una pieza",
        "open": "Abierta",
        "product": "Aparejo, 2K de alto espesor",
    },
}


@pytest.mark.parametrize("tongue", WORDS)
def test_a_phone_reads_its_tongue_and_every_screen_fits(server, phones, tongue):
    page = phones(server.address, locale=tongue)
    heard(page)
    page.evaluate(MEASURES)
    page.evaluate(SHOP)
    expect(page.locator("#floor .card")).to_have_count(12)
    said = WORDS[tongue]
    expect(page.locator(".bar a[href='#floor']")).to_have_text(said["floor"])
    expect(page.locator("[data-do=add]")).to_have_text(said["add"])
    expect(page.locator(".card[data-state=open]", has_text="Panel open").locator(".word")).to_have_text(said["open"])
    expect(page.locator("#hands")).not_to_contain_text("And ")
    assert {name: wrong for name in screens(page) if (wrong := fits(page))} == {}
    page.evaluate("() => { location.hash = '#shelf'; }")
    expect(page.locator("#products .product", has_text=said["product"]).first).to_be_visible()


def screens(page):
    yield "floor"
    for sheet in SHEETS:
        page.evaluate("(name) => document.querySelector(`[data-do=${name}]:not([hidden])`).click()", sheet)
        expect(page.locator(f"#dialog-{sheet}")).to_be_visible()
        yield f"sheet {sheet}"
        page.locator(f"#dialog-{sheet} button[value=cancel]").tap()
    page.locator(".card", has_text="Panel open").locator("h2 button").tap()
    expect(page.locator("#screen-panel")).to_be_visible()
    yield "panel"
    for room in ROOMS:
        page.evaluate("(room) => { location.hash = room; }", room)
        expect(page.locator(f"#screen-{room} h1")).to_be_visible()
        page.evaluate(OPENED, f"#screen-{room}")
        yield room


def fits(page) -> list[str]:
    found = []
    for size in (TALL_PHONE, PHONE):
        page.set_viewport_size(size["viewport"])
        found += [f"{size['viewport']['width']}: {said}" for said in page.evaluate(SIZED)]
    return found
