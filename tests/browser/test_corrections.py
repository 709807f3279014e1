"""What was entered wrong is corrected in its place: no false ring, no coat that stands as laid anew."""

import pytest
from playwright.sync_api import expect

from .conftest import card, in_hand, lay, to_coat
from .test_screens import fits

pytestmark = pytest.mark.browser


def choose(page, words: str):
    """The sheet of a correction, and one tap on it."""
    expect(page.locator("#dialog-correct")).to_be_visible()
    page.locator("#dialog-correct button", has_text=words).first.tap()
    expect(page.locator("#dialog-correct")).to_be_hidden()


def test_a_coat_of_the_wrong_hardener_is_corrected_twenty_minutes_later(server, phones):
    page = in_hand(phones(server.address))
    to_coat(page, "Hood", coats=3)
    lay(page, "Hood")
    page.clock.fast_forward("00:20:00")
    page.clock.run_for(1_000)
    page.locator("#ringing [data-do=silence]").tap()
    lay(page, "Hood")
    hood = card(page, "Hood")
    expect(hood).to_have_attribute("data-state", "wait")
    laid = hood.locator("[data-text=laid]").inner_text()
    page.clock.fast_forward("00:20:00")
    page.clock.run_for(1_000)
    page.locator("#ringing [data-do=silence]").tap()
    hood.locator("h2 button").tap()

    film = page.locator("#films .film").first
    film.locator("[data-do=correct]").tap()
    fits(page)
    other = page.locator("#correct-products button").first.inner_text().split(", ")[-1]
    choose(page, other)
    expect(film.locator("[data-text=laid]")).to_contain_text(other)
    expect(page.locator("#panel-card [data-text=laid]")).to_have_text(laid)  # laid when it was laid
    expect(page.locator("#panel-card .card")).not_to_have_attribute("data-state", "shut")
    expect(page.locator("#ringing")).to_be_hidden()
    fits(page)  # the line that offers to undo, and to change

    page.locator("#undo [data-do=correct]").wait_for(state="hidden")  # a correction is undone, not corrected
    film.locator("[data-do=correct]").tap()
    choose(page, "5 min earlier")
    first = page.locator(f"#acts .actrow[data-key='{film.get_attribute('data-key')}']")
    expect(first).to_contain_text("corrected to")
    expect(page.locator("#acts .actrow", has_text="Corrected: ")).to_have_count(2)
    expect(film.locator("[data-text=laid]")).to_contain_text(other)  # both corrections count
    page.tap("[data-do=undo-last]")
    expect(page.locator("#panel-card [data-text=laid]")).to_have_text(laid)
    fits(page)

    film.locator("[data-do=correct]").tap()
    choose(page, "It is coat 3")
    expect(page.locator("#panel-card [data-text=step]")).not_to_contain_text("coat 3 of 3")  # all three are on
