"""What to buy for a panel and for a job, with no signal: sums by hand, tins as they are sold, the text to copy."""

import pytest
from playwright.sync_api import expect

from .conftest import add_panel, card, deed, heard, kept_offline
from .test_screens import fits, go

pytestmark = pytest.mark.browser
ROUTE = "Chips and small dings, painted panel"
DOOR = [
    # 1.2 m² x 0.1 x 1 mm + 10 % = 132 ml, x 1.8 = 238 g, 2 % of hardener
    ["Glazing putty, fine, hardener 2 %: filler", "233 g", "buy 250 g; typical, check your sheet"],
    ["Glazing putty, fine, hardener 2 %: hardener", "5 g", "buy 25 g; typical, check your sheet"],
    # where metal shows, a tenth: 0.12 m² x 30 um = 3.6 ml dry / 50 % / 60 % + 10 % = 13.2, 1:1
    ["Epoxy primer, 2K: paint", "7 ml", "buy 100 ml; typical, check your sheet"],
    ["Epoxy primer, 2K: hardener", "7 ml", "buy 100 ml; typical, check your sheet"],
    # tests/published/mixing.json: 528 ml ready to spray, 4:1:1
    ["Surfacer, 2K high build, hardener standard: paint", "352 ml", "buy 500 ml; typical, check your sheet"],
    ["Surfacer, 2K high build, hardener standard: hardener", "88 ml", "buy 100 ml; typical, check your sheet"],
    ["Surfacer, 2K high build, hardener standard: reducer", "88 ml", "buy 100 ml; typical, check your sheet"],
    # one coat: 36 / 40 % / 60 % + 10 % = 165, x 5/4 = 207 ml, 3:1:1
    ["Sealer, 2K wet on wet: paint", "124 ml", "buy 250 ml; typical, check your sheet"],
    ["Sealer, 2K wet on wet: hardener", "42 ml", "buy 100 ml; typical, check your sheet"],
    ["Sealer, 2K wet on wet: reducer", "41 ml", "buy 100 ml; typical, check your sheet"],
    ["Base, solvent, without activator: paint", "220 ml", "buy 250 ml; typical, check your sheet"],
    ["Base, solvent, without activator: reducer", "110 ml", "buy 250 ml; typical, check your sheet"],
    ["Clear, 2K, hardener standard: paint", "183 ml", "buy 250 ml; typical, check your sheet"],
    ["Clear, 2K, hardener standard: hardener", "91 ml", "buy 100 ml; typical, check your sheet"],
    ["Paper P180", "8 discs", "buy 1 pack of 10; typical, no source"],
    ["Paper P320", "4 discs", "buy 1 pack of 10; typical, no source"],
    ["Paper P600", "4 discs", "buy 1 pack of 10; typical, no source"],
]


def lines(page):
    return page.locator("#buy-list .part")


def test_a_panel_and_then_its_job_are_bought_for_with_no_signal(server, phones):
    page = phones(server.address)
    heard(page)
    kept_offline(page)
    page.context.set_offline(True)
    for name in ("Left door", "Hood"):
        page.tap("[data-do=add]")
        page.fill("#add-name", name)
        page.locator("#dialog-add details").evaluate("(node) => { node.open = true; }")
        page.fill("#add-job", "grey hatchback")
        page.tap(f"#add-routes button:has-text('{ROUTE}')")
    card(page, "Left door").locator("h2 button").tap()
    page.locator("#panel-buy").tap()
    expect(page.locator("#screen-buy h1")).to_have_text("What to buy")
    expect(page.locator("#buy-areas output")).to_have_text(["1.2 m²"])
    expect(lines(page)).to_have_text([" ".join(row).replace(";", "") for row in DOOR])
    text = page.input_value("#buy-text")
    assert text.splitlines() == ["To buy for Left door", *(f"{what}: {much}, {buy}" for what, much, buy in DOOR)]
    fits(page)

    page.locator("#buy-panels button", has_text="All of grey hatchback").tap()
    expect(page.locator("#buy-areas output")).to_have_text(["1.2 m²", "1.6 m²"])
    # 2.8 m²: 56 ml dry of base / 20 % / 60 % x 2 coats, each area's ml begun counts: 330 + 440 = 770, 2:1
    expect(lines(page).filter(has_text="Base, solvent, without activator: paint")).to_contain_text(
        "513 ml buy 500 ml + 100 ml"
    )
    page.locator("#buy-areas li", has_text="Hood").locator("[data-by='-1']").tap()
    expect(page.locator("#buy-areas output")).to_have_text(["1.2 m²", "1.5 m²"])
    page.reload()
    expect(page.locator("#buy-areas output")).to_have_text(["1.2 m²"])
    page.locator("#buy-panels button", has_text="Hood").tap()
    expect(page.locator("#buy-areas output")).to_have_text(["1.2 m²", "1.5 m²"])


def test_what_is_done_is_not_bought_and_the_list_can_be_empty(server, phones):
    page = phones(server.address)
    heard(page)
    add_panel(page, "Roof", "Empty")
    card(page, "Roof").locator("h2 button").tap()
    page.tap("#screen-panel [data-do=step]")
    page.fill("#step-words", "Sand P320")
    page.locator("[data-do=add-step]:text('at the end')").tap()
    page.locator("#panel-buy").tap()
    expect(lines(page)).to_have_text(["Paper P320 7 discs buy 1 pack of 10 typical, no source"])  # 2 m² / 0.3
    go(page, "Floor")
    deed(card(page, "Roof"), "done")
    page.go_back()
    expect(page.locator("#buy-none")).to_have_text("Nothing is left to lay or to sand on these panels.")
    expect(page.locator("#buy-out")).to_be_hidden()
