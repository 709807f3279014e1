"""A door from its last coat of clear to its first wax: no clock goes silent, and it leaves the floor by itself."""

import pytest
from playwright.sync_api import expect

from .conftest import card, deed, in_hand, lay, put_panel
from .test_guide_coat import NAME, passes, says, stands
from .test_ringing import SPY, ringing
from .test_screens import fits

pytestmark = pytest.mark.browser
MINUTE_MS = 60_000
HOUR_MS = 60 * MINUTE_MS
DAY_MS = 24 * HOUR_MS


def rings(page, words: str):
    """It rings with these words, and is silenced."""
    expect(ringing(page).locator("[data-text=words]")).to_have_text(f"{NAME}: {words}")
    page.locator("#ringing [data-do=silence]").tap()
    expect(ringing(page)).to_have_count(0)


def to_clear(page):
    """The panel came in ready for clear: one tap on its page."""
    put_panel(page, NAME)
    card(page, NAME).locator("h2 button").tap()
    page.locator("#steps li", has_text="Clear").first.locator("[data-do=step-here]").tap()
    page.locator(".bar a", has_text="Floor").tap()
    says(page, "step", "Clear, coat 1 of 2")


def test_from_the_last_coat_of_clear_to_the_first_wax(server, phones):
    page = in_hand(phones(server.address), SPY)
    to_clear(page)
    lay(page, NAME)
    passes(page, 15 * MINUTE_MS + 10_000)
    lay(page, NAME)

    # The last film is on: the look-over can be done, the tape waits for the flash, and what comes next is said.
    says(page, "step", "Look over for dust and runs")
    stands(page, "wait")
    expect(card(page, NAME).locator("[data-text=say]").first).to_contain_text("Unmask from ")
    expect(card(page, NAME).locator("[data-text=then]")).to_contain_text("Then: Refit from ")
    fits(page)
    deed(card(page, NAME), "done")
    expect(card(page, NAME).locator("[data-text=why]")).to_contain_text("While the clear is still soft")
    passes(page, 15 * MINUTE_MS)
    rings(page, "Unmask now")
    deed(card(page, NAME), "done")

    # Eight hours, and a day, by the sheet's longer times.
    passes(page, 8 * HOUR_MS - 15 * MINUTE_MS)
    rings(page, "try it: Refit")
    for do in ("ready", "done"):
        deed(card(page, NAME), do)
    says(page, "step", "Denib and polish")
    stands(page, "wait")
    expect(card(page, NAME).locator("[data-text=why]")).to_contain_text("can still hold isocyanates")
    passes(page, 16 * HOUR_MS)
    rings(page, "try it: Denib and polish")
    deed(card(page, NAME), "ready")
    deed(card(page, NAME), "done")

    # Only the cure is left: no card any more, one row in the quiet list.
    expect(page.locator("#floor .card")).to_have_count(0)
    row = page.locator("#curing-list li")
    expect(page.locator("#curing-title")).to_have_text("Curing: 1 panel")
    expect(row.locator("[data-text=words]")).to_contain_text("First wash from ")
    assert page.inner_text("#hands").startswith("Hands free for 29 d")
    fits(page)
    passes(page, 29 * DAY_MS - 5 * MINUTE_MS)
    expect(ringing(page)).to_have_count(0)
    passes(page, 5 * MINUTE_MS)
    rings(page, "try it: First wash")
    expect(row).to_have_attribute("data-state", "try")

    # A tap opens it; washed, it may be waxed, and then all is done.
    row.locator("button").tap()
    own = page.locator("#panel-card .card")
    for do in ("ready", "done"):
        deed(own, do)
    expect(own.locator("[data-text=step]")).to_have_text("First wax")
    expect(own.locator("[data-text=say]")).to_have_text("Ready for your hands")
    deed(own, "done")
    expect(own).to_have_attribute("data-state", "finished")
    page.locator(".bar a", has_text="Floor").tap()
    stands(page, "finished")
    expect(page.locator("#curing")).to_be_hidden()
