"""The air on a phone with no signal: what is expected, a panel's own surface, damp air, units, said before a coat."""

import pytest
from playwright.sync_api import expect

from timers.core.clock import damp

from .conftest import card, deed, heard, kept_offline, lay, put_panel, tell_air, to_coat, to_putty
from .test_screens import looks

pytestmark = pytest.mark.browser
SMALL_IN = """(id) => [...document.querySelectorAll(`${id} :is(button, summary)`)]
  .filter((node) => node.checkVisibility())
  .filter((node) => node.getBoundingClientRect().height < 48).map((node) => node.textContent)"""
OVER_THE_SIDE = """(id) => { const d = document.querySelector(id); return d.scrollWidth - d.clientWidth; }"""


@pytest.fixture
def page(server, phones):
    page = phones(server.address, timezone_id="UTC")
    heard(page)
    kept_offline(page)
    page.context.set_offline(True)
    return page


def dial(page, which: str, by: int, times: int = 1):
    for _ in range(times):
        page.tap(f"dialog[open] [data-dial={which}][data-by='{by}']")


def open_air(page):
    page.tap("[data-do=air]")
    expect(page.locator("#dialog-air")).to_be_visible()


def expect_colder(page, degrees: int, nth: int = 0):
    """So many degrees colder than now, by one of the times offered."""
    open_air(page)
    page.tap("#dialog-air summary")
    dial(page, "later", -1, degrees)
    page.locator("#air-times button").nth(nth).tap()
    page.tap("[data-do=air-expect]")


def test_a_garage_that_will_cool_stops_a_film_and_it_is_said_before_laying(page):
    tell_air(page, 20)
    expect_colder(page, 40, nth=3)  # within 24 h: 15 °C is passed within 3 h, before the 4 h that sanding takes
    expect(page.locator("#air-expected .actrow")).to_have_count(1)
    expect(page.locator("#air-expected")).to_contain_text("−20 °C by")
    page.locator("#dialog-air [value=cancel]").tap()
    to_coat(page, "Hood", coats=2)
    deed(card(page, "Hood"), "lay")
    expect(page.locator("#lay-warning")).to_contain_text("stands still from")
    expect(page.locator("#lay-warning")).to_contain_text("below 15 °C")
    page.locator("#dialog-lay [value=cancel]").tap()

    open_air(page)
    page.locator("#air-expected [data-do=air-forget]").tap()
    expect(page.locator("#air-expected .actrow")).to_have_count(0)
    page.locator("#dialog-air [value=cancel]").tap()
    deed(card(page, "Hood"), "lay")
    expect(page.locator("#lay-warning")).not_to_contain_text("stands still")


def test_a_lamp_rules_its_panel_only_and_ends(page):
    tell_air(page, 20)
    for name in ("Hood", "Tailgate"):
        to_putty(page, name)
        lay(page, name)
        expect(card(page, name).locator("[data-text=left]")).to_have_text("20 min")
    card(page, "Hood").locator("h2 button").tap()
    page.tap("#panel-surface")
    dial(page, "lamp", 10)
    page.locator("#surface-ends button", has_text="20 min").tap()
    page.tap("[data-do=air-surface-tell]")
    expect(page.locator("#panel-surface")).to_contain_text("Panel at 30 °C until")
    # 20 min up to 25 C, the sheet's last line; 5 C beyond it 20 / 2 ** 0.5 = 14.1, UFGS 09971, 3.7.1.3
    expect(page.locator("#panel-card [data-text=left]")).to_have_text("15 min")
    page.locator(".bar a", has_text="Floor").tap()
    expect(card(page, "Hood").locator("[data-text=left]")).to_have_text("15 min")
    expect(card(page, "Tailgate").locator("[data-text=left]")).to_have_text("20 min")
    card(page, "Hood").locator("h2 button").tap()
    page.tap("#panel-surface")
    page.tap("[data-do=air-surface-end]")
    expect(page.locator("#panel-surface")).to_contain_text("as warm as the air")
    expect(page.locator("#panel-card [data-text=left]")).to_have_text("20 min")


def test_the_dew_point_is_said_as_python_reckons_it(page):
    tell_air(page, 22)
    open_air(page)
    dial(page, "rh", 1, 4)
    expect(page.locator("#air-rh")).to_have_text("65 %")
    wanted = damp.dew_point_dc(220, 650)
    expect(page.locator("#air-hint")).to_contain_text(f"Dew point {wanted / 10:g} °C")


def test_a_waterborne_base_flashes_slower_in_damp_air(page):
    page.evaluate("""async () => { const { $data_acts: acts } = await import('/static/joined/actions.js');
      const { $data_state: shop, $data_queries: queries } = await import('/static/joined/floor.js');
      const product = queries.docs('product').find((one) => one.doc.cls === 'waterbase');
      await shop.keep(acts.sheetWritten(product.on, { ...product.doc, sheet_rh_pm: 500,
        gates: { flash: [[200, 600000, 600000]] } }, [])); }""")
    open_air(page)
    dial(page, "rh", 1, 6)  # 75 %: half the deficit of 50 %
    page.tap("[data-do=air-tell]")
    expect(page.locator("#dialog-air")).to_be_hidden()
    to_coat(page, "Hood", "waterborne", coats=2)
    lay(page, "Hood")
    expect(card(page, "Hood").locator("[data-text=left]")).to_have_text("20 min")


def test_a_shop_that_reads_fahrenheit_sees_and_steps_it_everywhere(page):
    tell_air(page, 20)
    page.locator(".bar a", has_text="Book").tap()
    page.tap("#units [data-unit=f]")
    page.locator(".bar a", has_text="Floor").tap()
    expect(page.locator("#air-words")).to_contain_text("68 °F")
    open_air(page)
    dial(page, "temp", 1, 2)
    expect(page.locator("#air-temp")).to_have_text("70 °F")
    page.tap("[data-do=air-tell]")
    page.locator(".bar a", has_text="Shelf").tap()
    expect(page.locator("#products")).to_contain_text("59 °F")  # 15 C, the lowest of most


def test_the_mix_is_said_in_ounces_for_a_shop_that_pours_them(page):
    page.locator(".bar a", has_text="Book").tap()
    page.tap("#units [data-unit=floz]")
    page.locator(".bar a", has_text="Mix").tap()
    page.select_option("#mix-product", label="Surfacer, 2K high build")
    expect(page.locator("#mix-parts")).to_contain_text(
        "13.53 fl oz"
    )  # 400 ml, 29.5735 ml a US fluid ounce (NIST HB 44)


def test_the_sheets_of_the_air_fit_a_phone(server, phones):
    page = phones(server.address)
    heard(page)
    put_panel(page, "Hood")
    open_air(page)
    page.tap("#dialog-air summary")
    fits(page, "#dialog-air")
    page.locator("#dialog-air [value=cancel]").tap()
    card(page, "Hood").locator("h2 button").tap()
    page.tap("#panel-surface")
    fits(page, "#dialog-surface")


def fits(page, dialog: str):
    expect(page.locator(dialog)).to_be_visible()
    for look in looks(page):
        assert page.evaluate(SMALL_IN, dialog) == [], look
        assert page.evaluate(OVER_THE_SIDE, dialog) <= 0, look
