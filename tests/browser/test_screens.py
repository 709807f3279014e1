"""Every screen at both phone sizes and in both themes: nothing runs off the side, every target fits a glove."""

import pytest
from playwright.sync_api import expect

from .conftest import PHONE, TALL_PHONE, add_panel, card, deed, heard, lay

pytestmark = pytest.mark.browser
LONG = "Quarter panel with the very long name " * 5 + "🚗 كبوت"
SIZES = [PHONE["viewport"], TALL_PHONE["viewport"]]
THEMES = ["sun", "dark"]
THEME = "(theme) => { document.documentElement.dataset.theme = theme; }"

TOO_SMALL = """() => [...document.querySelectorAll('button, a[href], input, summary')]
  .filter((node) => node.checkVisibility({visibilityProperty: true}))
  .map((node) => [node.textContent.trim() || node.id, node.getBoundingClientRect()])
  .filter(([, box]) => box.width && (box.height < 47.5 || box.width < 47.5))
  .map(([words, box]) => `${words}: ${Math.round(box.width)} x ${Math.round(box.height)}`)"""
DEEDS_TOO_SMALL = """() => [...document.querySelectorAll('.deed')].filter((node) => node.checkVisibility())
  .filter((node) => node.getBoundingClientRect().height < 72).map((node) => node.textContent)"""


def looks(page):
    """At its own size and, where that is a phone's, at each size of a phone, in each theme; then as it was."""
    own, theme = page.viewport_size, page.evaluate("() => document.documentElement.dataset.theme || ''")
    for size in SIZES if own["width"] <= TALL_PHONE["viewport"]["width"] else [own]:
        page.set_viewport_size(size)
        for shown in THEMES:
            page.evaluate(THEME, shown)
            yield f"{size['width']}x{size['height']}, {shown}"
    page.set_viewport_size(own)
    page.evaluate(THEME, theme)


def fits(page):
    """Whatever is on the screen, at both sizes and in both themes."""
    for look in looks(page):
        wide = page.evaluate("() => document.documentElement.scrollWidth <= innerWidth")
        assert wide, f"the page scrolls sideways ({look})"
        assert page.evaluate(TOO_SMALL) == [], look
        assert page.evaluate(DEEDS_TOO_SMALL) == [], look


def go(page, screen: str):
    page.locator(".bar a", has_text=screen).tap()
    expect(page.locator(f"#screen-{screen.lower()}")).to_be_visible()


def test_every_screen_fits_a_phone_with_long_names(server, phones):
    page = phones(server.address)
    heard(page)
    fits(page)  # no panel
    add_panel(page, LONG[:200])
    fits(page)  # one panel
    add_panel(page, "Hood")
    for _ in range(3):
        deed(card(page, "Hood"), "done")
    expect(card(page, "Hood").locator("[data-text=step]")).to_have_text("Glazing putty")
    lay(page, "Hood")
    fits(page)  # a running strip, and the undo bar
    for screen in ("Shelf", "Book"):
        go(page, screen)
        fits(page)
    go(page, "Floor")
    card(page, LONG[:40]).locator("h2 button").tap()
    expect(page.locator("#screen-panel")).to_be_visible()
    fits(page)


def test_every_sheet_that_asks_fits_a_phone(server, phones):
    page = phones(server.address)
    heard(page)
    add_panel(page, LONG[:200])
    for opener, sheet in (
        ("[data-do=air]", "#dialog-air"),
        ("[data-do=add]", "#dialog-add"),
    ):
        page.tap(opener)
        expect(page.locator(sheet)).to_be_visible()
        fits(page)
        page.tap(f"{sheet} button[value=cancel]")
    card(page, LONG[:40]).locator("h2 button").tap()
    for opener, sheet in (
        ("#panel-back", "#dialog-back"),
        ("#screen-panel [data-do=step]", "#dialog-step"),
        ("#screen-panel [data-do=rename]", "#dialog-rename"),
    ):
        page.tap(opener)
        expect(page.locator(sheet)).to_be_visible()
        fits(page)
        page.tap(f"{sheet} button[value=cancel]")


def test_forty_panels_stand_in_the_order_of_the_floor(server, phones):
    page = phones(server.address)
    heard(page)
    page.evaluate("""async () => {
      const { $data_acts: acts } = await import('/static/joined/actions.js');
      const { $data_state: shop, $data_queries: queries } = await import('/static/joined/floor.js');
      const route = queries.docs('route')[0].doc;
      for (let n = 1; n <= 40; n += 1) await shop.keep(acts.panelAdded(`Panel ${n}`, '', route)); }""")
    expect(page.locator("#floor .card")).to_have_count(40)
    fits(page)
    assert page.inner_text("#hands").startswith("Hands free for: Panel ")


def test_steps_are_added_moved_and_dropped(server, phones):
    page = phones(server.address)
    heard(page)
    add_panel(page, "Tailgate", "Empty")
    expect(card(page, "Tailgate").locator("[data-text=step]")).to_have_text("Every step is done")
    card(page, "Tailgate").locator("h2 button").tap()
    for does, words in (("Sand", "Block P180"), ("Clean", "Wash")):
        page.tap("#screen-panel [data-do=step]")
        page.locator("#step-does button", has_text=does).tap()
        page.fill("#step-words", words)
        page.locator("[data-do=add-step]:text('at the end')").tap()
    page.tap("#screen-panel [data-do=step]")
    page.locator("#step-does button", has_text="Coat").tap()
    page.locator("#step-classes button", has_text="Surfacer").tap()
    page.locator("[data-dial=coats][data-by='1']").tap()
    page.locator("[data-do=add-step]:text('next')").tap()
    steps = page.locator("#steps .steprow [data-text=words]")
    expect(steps).to_have_text(["Surfacer, coat 1 of 2", "Block P180", "Wash"])
    page.locator("#steps .steprow", has_text="Wash").locator("[data-do=earlier]").tap()
    expect(steps).to_have_text(["Surfacer, coat 1 of 2", "Wash", "Block P180"])
    page.locator("#steps .steprow", has_text="Surfacer").locator("[data-do=later]").tap()
    expect(steps).to_have_text(["Wash", "Surfacer, coat 1 of 2", "Block P180"])
    page.locator("#steps .steprow", has_text="Block").locator("[data-do=drop]").tap()
    expect(steps).to_have_text(["Wash", "Surfacer, coat 1 of 2"])
    page.tap("#screen-panel [data-do=rename]")
    page.fill("#rename-name", "")
    page.tap("[data-do=tell-name]")
    expect(page.locator("#rename-error")).to_have_text("The panel's name is empty. Nothing was saved.")
    page.fill("#rename-name", "Tailgate, inner side")
    page.tap("[data-do=tell-name]")
    expect(page.locator("#panel-name")).to_have_text("Tailgate, inner side")
    page.tap("#screen-panel > .pair [data-do=away]")
    expect(page.locator("#floor .card")).to_have_count(0)
    go(page, "Book")
    page.locator("#away [data-do=bring-back]").tap()
    go(page, "Floor")
    expect(card(page, "Tailgate, inner side")).to_be_visible()


def test_a_route_is_kept_and_offered_for_the_next_panel(server, phones):
    page = phones(server.address)
    heard(page)
    add_panel(page, "Left fender", "Touch-in")
    card(page, "Left fender").locator("h2 button").tap()
    page.tap("[data-do=keep-route]")
    go(page, "Floor")
    add_panel(page, "Right fender", "As Left fender")
    expect(card(page, "Right fender").locator("[data-text=step]")).to_have_text("Wash and degrease")


def test_a_product_put_away_is_not_offered_and_its_film_runs_on(server, phones):
    page = phones(server.address)
    heard(page)
    add_panel(page, "Hood")
    for _ in range(3):
        deed(card(page, "Hood"), "done")
    expect(card(page, "Hood").locator("[data-text=step]")).to_have_text("Glazing putty")
    lay(page, "Hood")
    expect(card(page, "Hood")).to_have_attribute("data-state", "wait")
    said = card(page, "Hood").locator("[data-text=say]").text_content()
    go(page, "Shelf")
    for name in ("Body filler, polyester", "Fibre filler, polyester", "Glazing putty, fine"):
        page.locator("#products .product", has_text=name).locator("button").tap()
        expect(page.locator("#products-away .product", has_text=name)).to_be_visible()
    go(page, "Floor")
    expect(card(page, "Hood").locator("[data-text=say]")).to_have_text(said)
    add_panel(page, "Roof")
    for _ in range(3):
        deed(card(page, "Roof"), "done")
    expect(card(page, "Roof").locator("[data-text=step]")).to_have_text("Glazing putty")
    deed(card(page, "Roof"), "lay")
    expect(page.locator("#lay-error")).to_contain_text("Nothing of this class is on the shelf")


def test_enter_in_a_field_is_the_main_button_and_loses_nothing(server, phones):
    page = phones(server.address)
    heard(page)
    add_panel(page, "Hood")
    card(page, "Hood").locator("h2 button").tap()
    page.tap("#screen-panel [data-do=rename]")
    page.fill("#rename-name", "Tailgate")
    page.press("#rename-name", "Enter")
    expect(page.locator("#panel-name")).to_have_text("Tailgate")
