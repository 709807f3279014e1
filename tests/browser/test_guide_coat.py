"""A door from its second coat of surfacer to the guide coat: the card waits with the film, and the phone rings."""

import pytest
from playwright.sync_api import expect

from .conftest import card, deed, in_hand, lay, to_coat, to_putty
from .test_ringing import SPY, ringing
from .test_screens import fits

pytestmark = pytest.mark.browser
NAME = "Left front door"
MINUTE_MS = 60_000


def says(page, key: str, wanted):
    expect(card(page, NAME).locator(f"[data-text='{key}']").first).to_have_text(wanted)


def stands(page, state: str):
    expect(card(page, NAME)).to_have_attribute("data-state", state)


def passes(page, ms: int):
    page.clock.fast_forward(ms)
    page.clock.run_for(1_000)


def test_the_phone_rings_when_the_guide_coat_may_go_on_and_says_wait_until_then(server, phones):
    page = in_hand(phones(server.address), SPY)
    to_putty(page, NAME)
    lay(page, NAME)
    passes(page, 20 * MINUTE_MS + 10_000)
    for do in ("ready", "done", "done", "skip"):  # found ready, blocked, cleaned; no metal shows
        deed(card(page, NAME), do)
    says(page, "step", "Surfacer, coat 1 of 2")
    lay(page, NAME)
    passes(page, 10 * MINUTE_MS + 10_000)
    stands(page, "open")
    lay(page, NAME)

    # Seconds after the wet coat nobody is told to go at it.
    page.clock.run_for(2_000)
    says(page, "step", "Guide coat")
    stands(page, "wait")
    says(page, "left", "4 h")
    said = card(page, NAME).locator("[data-text=say]").first.inner_text()
    assert said.startswith("Guide coat from ")
    assert page.inner_text("#hands").startswith("Hands free for 4 h, until ")
    assert card(page, NAME).locator(".deeds button:visible").all_inner_texts()[:1] == ["Ready"]
    fits(page)

    # Four hours by the sheet: silent to the last ten seconds, then the ring, named by the guide coat.
    passes(page, 239 * MINUTE_MS + 45_000)
    stands(page, "wait")
    expect(ringing(page)).to_have_count(0)  # that it slept through a leap may still be said
    page.clock.run_for(20_000)
    expect(ringing(page).locator("[data-text=words]")).to_have_text(f"{NAME}: try it: Guide coat")
    stands(page, "try")
    page.locator("#ringing [data-do=silence]").tap()
    expect(ringing(page)).to_have_count(0)

    # Found ready, it goes on; the sanding behind it does not ring again.
    deed(card(page, NAME), "ready")
    says(page, "say", "Ready for your hands")
    deed(card(page, NAME), "done")
    says(page, "step", "Block P320")
    says(page, "say", "Sand now")
    passes(page, 60 * MINUTE_MS)
    expect(ringing(page)).to_have_count(0)


def test_a_step_that_a_person_adds_says_what_it_waits_for(server, phones):
    page = in_hand(phones(server.address))
    to_coat(page, NAME)
    lay(page, NAME)
    says(page, "step", "Every step is done")
    card(page, NAME).locator("h2 button").tap()
    page.tap("#screen-panel [data-do=step]")
    expect(page.locator("#step-needs-box")).to_be_hidden()  # sanding needs what it needs
    page.locator("#step-does button", has_text="Clean").tap()
    page.locator("#step-needs button", has_text="dry to sand").tap()
    expect(page.locator("#step-needs button[aria-pressed=true]")).to_have_text("dry to sand")
    fits(page)
    page.fill("#step-words", "Mask the edge")
    page.locator("[data-do=add-step]:text('at the end')").tap()
    page.locator(".bar a", has_text="Floor").tap()
    says(page, "step", "Mask the edge")
    stands(page, "wait")
    expect(card(page, NAME).locator("[data-text=say]").first).to_contain_text("Mask the edge from ")
