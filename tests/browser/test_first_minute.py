"""The first minute: an empty floor says what to do, a demo floor comes and goes in one tap, with no signal."""

import pytest
from playwright.sync_api import expect

from .conftest import TALL_PHONE, add_panel, card, heard, in_hand
from .test_screens import fits

pytestmark = pytest.mark.browser
STATES = {"Left front door": "wait", "Right fender": "try", "Tailgate": "open", "Hood": "free"}


def test_a_demo_floor_comes_and_goes_in_one_tap_and_leaves_ones_own_panel(server, phones):
    page = in_hand(phones(server.address, **TALL_PHONE))
    expect(page.locator("#first")).to_be_visible()
    fits(page)
    page.tap("[data-do=demo-begin]")
    for name, state in STATES.items():
        expect(card(page, name)).to_have_attribute("data-state", state)
    expect(page.locator("#first")).to_be_hidden()
    fits(page)
    add_panel(page, "My own sill")
    page.tap("[data-do=demo-end]")
    expect(page.locator("#floor .card")).to_have_count(1)
    expect(card(page, "My own sill")).to_be_visible()
    expect(page.locator("#demo-over")).to_be_hidden()
    page.context.set_offline(False)
    page.evaluate("() => dispatchEvent(new Event('online'))")
    heard(page)
    expect(page.locator("#floor .card")).to_have_count(1)


def test_a_panel_that_came_in_further_on_is_put_there_in_one_tap_and_the_undo_takes_all_of_it_back(server, phones):
    page = phones(server.address)
    heard(page)
    add_panel(page, "Hood")
    card(page, "Hood").locator("h2 button").tap()
    page.locator(".steprow", has_text="Surfacer").locator("[data-do=step-here]").tap()
    expect(page.locator(".steprow[data-done=next] [data-text=words]")).to_contain_text("Surfacer")
    expect(page.locator(".steprow[data-done=yes]")).to_have_count(7)
    expect(page.locator("#undo-words")).to_have_text("Done: Wash and degrease, and 6 more")
    fits(page)
    page.tap("[data-do=undo-last]")
    expect(page.locator(".steprow[data-done=yes]")).to_have_count(0)
    page.tap("[data-do=undo-last]")  # put back
    expect(page.locator(".steprow[data-done=yes]")).to_have_count(7)


def test_where_the_shelf_has_nothing_of_the_class_the_demo_says_so_and_adds_nothing(server, phones):
    page = phones(server.address)
    heard(page)
    page.locator(".bar a", has_text="Shelf").tap()
    expect(page.locator("#products .product").first).to_be_visible()
    for name in ("putty", "filler", "Surfacer", "primer"):
        found = page.locator("#products .product").filter(has_text=name)
        while found.count():
            before = found.count()
            found.first.locator("[data-do=product]").tap()
            expect(found).to_have_count(before - 1)
    page.locator(".bar a", has_text="Floor").tap()
    page.tap("[data-do=demo-begin]")
    expect(page.locator("#notice-words")).to_contain_text("of the demo are put away on this phone")
    expect(page.locator("#floor .card")).to_have_count(0)
