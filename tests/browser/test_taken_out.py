"""A panel whose adding was undone can be put back, however long ago it was added."""

import pytest
from playwright.sync_api import expect

from .conftest import card, deed, heard, put_panel, ready
from .test_screens import fits, go

pytestmark = pytest.mark.browser
MANY = """async () => { const { $data_state: shop } = await import('/static/joined/floor.js');
  const { $data_acts: acts } = await import('/static/joined/actions.js');
  const read = (n) => acts.born('air', 'air_read', { temp_dc: 200 + (n % 9), rh_pm: null });
  for (let n = 0; n < 201; n += 1) await shop.keep(read(n)); }"""


def test_a_panel_whose_adding_was_undone_is_put_back_from_the_book_and_from_its_page(server, phones):
    page = phones(server.address)
    heard(page)
    put_panel(page, "Hood")
    deed(card(page, "Hood"), "done")
    expect(card(page, "Hood").locator("[data-text=step]")).to_have_text("Feather-edge P180")
    card(page, "Hood").locator("h2 button").tap()
    birth = page.locator("#acts .actrow", has_text="Panel added: Hood")
    birth.locator("button:visible").tap()
    expect(page.locator("#sure-words")).to_have_text("Hood: out of the whole shop, on every phone?")
    fits(page)
    page.locator("#dialog-sure button[value=cancel]").tap()
    expect(page.locator("#panel-card .card")).to_be_visible()  # nothing was taken out
    birth.locator("button:visible").tap()
    page.tap("#sure-deed")
    expect(page.locator("#panel-name")).to_have_text("Hood")
    row = page.locator("#panel-gone .actrow")
    expect(row).to_contain_text("taken out")
    expect(page.locator("#screen-panel button:visible")).to_have_text(["Put back"])
    fits(page)
    row.locator("[data-do=undo]").tap()
    expect(page.locator("#panel-card .card")).to_be_visible()
    expect(page.locator("#panel-gone .actrow")).to_have_count(0)

    birth.locator("button:visible").tap()
    page.tap("#sure-deed")
    expect(row).to_be_visible()
    page.evaluate(MANY)  # so that the Book does not show any more that it was added
    heard(page)
    page.reload()
    ready(page)
    go(page, "Book")
    expect(page.locator("#book .actrow", has_text="Panel added")).to_have_count(0)
    page.locator("#gone .actrow", has_text="Panel added: Hood").locator("[data-do=undo]").tap()
    expect(page.locator("#gone .actrow")).to_have_count(0)
    go(page, "Floor")
    expect(card(page, "Hood").locator("[data-text=step]")).to_have_text("Feather-edge P180")
