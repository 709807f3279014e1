"""How a step is done: under it, one tap away, with no signal; the gun that worked; switched off by who knows."""

import pytest
from playwright.sync_api import expect

from .conftest import add_panel, card, in_hand, ready
from .test_screens import fits

pytestmark = pytest.mark.browser
NAME = "Left front door"
FIRST = "Soap and water first; then degreaser: one cloth wets, a second takes it off before it dries."


def opened(page, title: str):
    expect(page.locator("#how-title")).to_have_text(title)
    expect(page.locator("#how-card svg.drawing")).to_be_visible()
    fits(page)
    return page.locator("#how-card")


def closed(page):
    page.locator("#dialog-how button[value=cancel]").first.tap()
    expect(page.locator("#dialog-how")).to_be_hidden()


def how_of(page, words: str):
    page.locator("#steps .steprow", has_text=words).first.locator(".how").tap()


def write_gun(page, **fields: str):
    page.tap("#gun-box summary")
    for field, typed in fields.items():
        page.fill(f"#gun-{field}", typed)
    page.tap("[data-do=sheet-gun-keep]")
    expect(page.locator("#guns .product")).to_have_count(1)


def test_how_a_step_is_done_opens_with_no_signal_knows_the_gun_and_can_be_switched_off(server, phones):
    page = in_hand(phones(server.address))
    add_panel(page, NAME)
    card(page, NAME).locator(".how").tap()
    said = opened(page, "Wash and degrease")
    expect(said.locator(".first")).to_have_text(FIRST)
    expect(said.locator("section.caution")).to_contain_text("metal can with a lid")
    closed(page)

    # On the panel's page the first line is always seen; each step ahead has its card too.
    card(page, NAME).locator("h2 button").tap()
    expect(page.locator("#panel-card .first")).to_have_text(FIRST)
    how_of(page, "Guide coat")
    expect(opened(page, "Guide coat").locator("figcaption")).to_contain_text("Gone first: high")
    closed(page)
    how_of(page, "Clear")
    expect(opened(page, "Clear, coat 1 of 2").locator(".gun .say")).to_contain_text("No gun written down")
    page.tap("#how-card [data-do=how-gun]")
    expect(page.locator("#screen-sheet")).to_be_visible()
    write_gun(page, name="Gravity", pressure="3.5", tip="1.3", turns="2")
    page.go_back()
    how_of(page, "Clear")
    gun = opened(page, "Clear, coat 1 of 2").locator(".gun")
    expect(gun).to_contain_text("Gravity: 3.5 bar at the gun inlet, trigger pulled, 1.3 mm tip, 2 turns.")
    expect(gun.locator(".caution")).to_contain_text("3.5 bar is above 3 bar")

    # Who knows it hides it, on this phone, for good; the Book brings it back.
    page.tap("#dialog-how [data-do=how-switch]")
    expect(page.locator("#panel-card .how")).to_be_hidden()
    expect(page.locator("#panel-card .first")).to_be_hidden()
    page.reload()
    ready(page)
    expect(page.locator("#panel-card h2")).to_be_visible()
    expect(page.locator("#panel-card .how")).to_be_hidden()
    page.evaluate("() => { location.hash = '#book'; }")
    expect(page.locator("#how-is-on")).to_have_attribute("aria-pressed", "false")
    page.tap("#how-is-on")
    page.evaluate("() => { location.hash = '#floor'; }")
    expect(card(page, NAME).locator(".how")).to_be_visible()
