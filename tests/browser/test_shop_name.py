"""A keeper names the shop, with signal or without; every phone shows the name, and one that is about to join."""

import pytest
from playwright.sync_api import expect

from .conftest import heard
from .test_join import code, in_theme
from .test_phones_room import shop
from .test_screens import fits, go

pytestmark = pytest.mark.browser


def looks(page):
    """A painter's phone in the room of the phones."""
    go(page, "Book")
    page.locator("a[href='#phones']").tap()


def names(page, name: str):
    page.tap("[data-do=phones-name]")
    expect(page.locator("#dialog-shop")).to_be_visible()
    page.fill("#shop-name", name)
    page.tap("[data-do=phones-named]")


def test_a_keeper_names_the_shop_and_every_phone_shows_it(server, phones):
    keeper, other = shop(server, phones)
    expect(keeper.locator("#phones-shop")).to_have_text("My shop")
    names(keeper, "  ")
    expect(keeper.locator("#shop-error")).to_have_text("The shop's name is empty. Nothing was saved.")
    for theme in ("light", "dark"):
        in_theme(keeper, theme)
        fits(keeper)
    keeper.fill("#shop-name", "Corner garage")
    keeper.tap("[data-do=phones-named]")
    expect(keeper.locator("#dialog-shop")).to_be_hidden()
    expect(keeper.locator("#phones-shop")).to_have_text("Corner garage")
    heard(keeper)
    looks(other)
    expect(other.locator("#phones-shop")).to_have_text("Corner garage")
    expect(other.locator("#phones-name")).to_be_hidden()
    _, secret = code(keeper, "wall")
    wall = phones(f"{server.address}#join={secret}")
    expect(wall.locator("#join-shop")).to_contain_text("“Corner garage” takes this phone in")


def test_a_name_given_with_no_signal_is_shown_at_once_and_told_when_signal_is_back(server, phones):
    keeper, other = shop(server, phones)
    keeper.context.set_offline(True)
    names(keeper, "Back yard")
    expect(keeper.locator("#phones-shop")).to_have_text("Back yard")
    looks(other)
    expect(other.locator("#phones-shop")).to_have_text("My shop")
    keeper.context.set_offline(False)
    keeper.evaluate("() => dispatchEvent(new Event('online'))")
    expect(other.locator("#phones-shop")).to_have_text("Back yard")
