"""A product's sheet opened again: unchanged by the form, copied, written by two phones at once; guns; both sizes."""

import pytest
from playwright.sync_api import expect

from .conftest import furnished, heard, ready
from .test_screens import fits
from .test_sheet import docs, save

pytestmark = pytest.mark.browser
UNITS = {
    "metric": {"temp": "c", "volume": "ml", "weight": "g", "film": "um"},
    "imperial": {"temp": "f", "volume": "floz", "weight": "oz", "film": "mil"},
}
# The names of those sheets that come out of the form other than they went in.
PARTED = """async (units) => {
  const { $product_form_values: { formOf, docOf } } = await import('/static/joined/product.js');
  const { $data_state: shop, $data_queries: queries } = await import('/static/joined/floor.js');
  const more = { lowest_dc: 123, solids_pm: 455, film_um: 51,
    solids_of: "tin", hardener_solids_pm: 401, vocs_g_l: [501, 33, 870], lead_ms: 90_000,
    densities_g_l: [1511, 1002, 873], coat_gates: [{ coat: 2, gates: { flash: [[201, 90_500, 3_600_000]] } }],
    odd: { kept: [1] }, ribbon: { mm: 40, disc_mm: 75 }, notes: 'stir', sheet_date: '2026-02-28',
    uses: ['surfacer', 'sealer'], hardener: 'isocyanate', in_can: false, tip_um: 1350, cure_lowest_dc: 51,
    cure_highest_dc: 652, variants: [{ id: 'v', name: 'as sealer', use: 'sealer', lowest_dc: 151, highest_dc: 301,
      cure_lowest_dc: 52, cure_highest_dc: 601, solids_pm: 401, film_um: 26, coats: 1, tip_um: 1300, hardener: 'amine',
      vocs_g_l: [420, 250, 873], solids_of: 'ready', odd: 1 }] };
  const isBox = (one) => one && one.constructor === Object;
  const inOrder = (key, one) => (isBox(one) ? Object.fromEntries(Object.entries(one).sort()) : one);
  const ownTimes = ({ gates = {}, ...one }) => (Object.keys(gates).length ? { ...one, gates } : one);
  const bare = ({ id, typical, variants = [], ...doc }) => ({ ...doc, variants: variants.map(ownTimes) });
  const said = (doc) => JSON.stringify(bare(doc), inOrder);
  const docs = queries.docs('product').map((one) => one.doc);
  docs.push({ ...docs.find((one) => one.ratio?.parts.length === 3), ...more });
  return docs.filter((doc) => {
    const { doc: back, faults } = docOf(formOf(doc, units), doc, units);
    return faults.length || said(back) !== said(doc); }).map((doc) => doc.name);
}"""
UNNAMED = """() => [...document.querySelectorAll('#screen-sheet :is(input, select, textarea)')]
  .filter((node) => ![...node.labels].some((label) => label.textContent.trim()))
  .map((node) => node.id || node.dataset.part)"""


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_every_sheet_of_the_shelf_comes_back_as_it_was_from_the_form(server, phones, units):
    """Nothing that was not typed changes, whatever the units; what the form does not know is kept."""
    page = phones(server.address)
    heard(page)
    furnished(page)
    assert page.evaluate(PARTED, UNITS[units]) == []


def open_sheet(page, name: str):
    page.locator(".bar a", has_text="Shelf").tap()
    page.locator("#products .product", has_text=name).locator("[data-sheet='']").tap()
    expect(page.locator("#sheet-name")).to_have_value(name)


def test_two_phones_that_write_at_once_lose_nothing_and_a_person_keeps_one(one_shop, phones):
    mine, theirs = phones(one_shop.address), phones(one_shop.address)
    for page in (mine, theirs):
        heard(page)
        open_sheet(page, "Surfacer, 2K high build")
    mine.context.set_offline(True)
    mine.fill("#sheet-lowest_dc", "12")
    theirs.fill("#sheet-lowest_dc", "8")
    save(theirs)
    heard(theirs)
    save(mine)
    mine.context.set_offline(False)
    heard(mine)
    theirs.reload()  # asks the server at once
    ready(theirs)
    told = "Two phones changed this sheet at once."
    for page in (mine, theirs):
        page.locator(".bar a", has_text="Shelf").tap()
        expect(page.locator("#products .product", has_text="Surfacer").locator(".error")).to_contain_text(told)
        open_sheet(page, "Surfacer, 2K high build")
        rows = page.locator("#sheet-rivals .product")
        expect(rows).to_have_count(2)
        expect(rows.locator(".differs")).to_have_text(["Lowest temperature: 12 °C", "Lowest temperature: 8 °C"])
        titles = " ".join(rows.locator("h3").all_text_contents())
        assert "by this phone" in titles
        assert "by Phone " in titles  # each says who wrote it
        fits(page)
    theirs.locator("#sheet-rivals .product", has_text="8 °C").locator("button").tap()
    expect(theirs.locator("#sheet-rivals-box")).to_be_hidden()
    expect(theirs.locator("#sheet-lowest_dc")).to_have_value("8")
    heard(theirs)
    mine.reload()
    expect(mine.locator("#sheet-lowest_dc")).to_have_value("8")
    expect(mine.locator("#sheet-rivals-box")).to_be_hidden()
    assert docs(mine)["Surfacer, 2K high build"]["lowest_dc"] == 80


def test_a_copy_is_a_sheet_of_its_own_and_what_the_form_does_not_know_is_kept(server, phones):
    page = phones(server.address)
    heard(page)
    page.locator(".bar a", has_text="Shelf").tap()
    page.locator("#products .product", has_text="Epoxy").locator("[data-sheet='copy:']").tap()
    expect(page.locator("#sheet-name")).to_have_value("Copy of Epoxy primer, 2K")
    save(page)
    expect(page.locator("#products .product", has_text="Copy of Epoxy")).to_be_visible()
    old, new = docs(page)["Epoxy primer, 2K"], docs(page)["Copy of Epoxy primer, 2K"]
    assert new["id"] != old["id"]
    assert (new["gates"], new["double_dc"], new["typical"]) == (old["gates"], 100, True)


def test_a_typical_sheet_stays_typical_until_a_person_says_that_all_figures_are_theirs(server, phones):
    page = phones(server.address)
    heard(page)
    name = "Surfacer, 2K high build"
    row = page.locator("#products .product", has_text=name)
    open_sheet(page, name)
    page.fill("#sheet-lowest_dc", "8")
    expect(page.get_by_label("All figures are from my product's data sheet")).not_to_be_checked()
    save(page)
    expect(row).to_contain_text("from 8 °C to 35 °C")
    expect(row).to_contain_text("Typical, check your sheet")
    assert docs(page)[name]["typical"] is True
    open_sheet(page, name)
    page.tap("#sheet-own")
    page.reload()
    expect(page.locator("#sheet-own")).to_be_checked()  # a draft holds it too
    save(page)
    expect(row).not_to_contain_text("Typical")
    assert docs(page)[name]["typical"] is False
    open_sheet(page, name)
    expect(page.locator("#sheet-own-box")).to_be_hidden()


def test_a_gun_that_worked_is_written_down_changed_and_dropped(server, phones):
    page = phones(server.address)
    heard(page)
    open_sheet(page, "Surfacer, 2K high build")
    page.tap("#gun-box summary")
    for field, typed in {"name": "Gun 2", "pressure": "2", "tip": "1.6", "turns": "2,5", "distance": "15 cm"}.items():
        page.fill(f"#gun-{field}", typed)
    page.tap("[data-do=sheet-gun-keep]")
    gun = page.locator("#guns .product")
    expect(gun.locator("p").first).to_have_text("2 bar, tip 1.6 mm, 2.5 turns, 150 mm away")
    gun.locator("[data-do=sheet-gun-change]").tap()
    expect(page.locator("#gun-name")).to_have_value("Gun 2")
    page.fill("#gun-tip", "9")
    page.tap("[data-do=sheet-gun-keep]")
    expect(page.locator("#gun-fault")).to_have_text("The tip must be from 0.3 to 4 mm (you gave 9). Nothing was saved.")
    page.fill("#gun-tip", "1.8")
    page.tap("[data-do=sheet-gun-keep]")
    expect(gun.locator("p").first).to_contain_text("tip 1.8 mm")
    expect(gun.locator(".caution")).to_be_hidden()
    gun.locator("[data-do=sheet-gun-drop]").tap()
    expect(gun).to_have_count(0)
    page.tap("[data-do=sheet-away]")
    expect(page.locator("#sheet-away")).to_have_text("Bring back")


def test_the_sheet_fits_a_phone_with_everything_open(server, phones):
    page = phones(server.address)
    heard(page)
    page.locator(".bar a", has_text="Shelf").tap()
    page.tap(".new summary")
    fits(page)
    open_sheet(page, "Surfacer, 2K high build")
    fits(page)
    page.evaluate("() => document.querySelectorAll('#screen-sheet details').forEach((box) => { box.open = true; })")
    page.tap("[data-do=sheet-coat]")
    fits(page)
    assert page.evaluate(UNNAMED) == []
