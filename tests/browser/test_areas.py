"""A part whose outside is blocked and whose underside is sealed only: two lanes on one card, each with its clock."""

import os

import pytest
from playwright.sync_api import expect

from .conftest import add_panel, card, deed, heard, in_hand
from .test_ringing import SPY, ringing
from .test_screens import LONG, fits

pytestmark = pytest.mark.browser
NAME = f"Used hood, {LONG[:60]}"
MINUTE_MS = 60_000
PICTURES = os.environ.get("AREAS_PICTURES")  # a folder: what the phone shows goes there, to be looked at


def add_step(page, does: str, words: str, area: str = "", cls: str = ""):
    page.tap("#screen-panel [data-do=step]")
    page.locator("#step-does button", has_text=does).tap()
    page.fill("#step-words", words)
    if cls:
        page.locator("#step-classes button", has_text=cls).first.tap()
    if area:
        if not page.locator("#step-areas").is_visible():
            page.tap("#step-area-box summary")
        page.locator("#step-areas button").get_by_text(area, exact=True).tap()
    elif page.locator("#step-area-box").get_attribute("open") is not None:
        expect(page.locator("#step-area")).to_have_value("")
    if words == "Sealer":
        fits(page)
        look(page, "step")
    page.locator("[data-do=add-step]:text('at the end')").tap()
    expect(page.locator("#dialog-step")).to_be_hidden()


def lane(page, area: str):
    """The part of the card that is about an area, wherever it stands."""
    parts = page.locator("#floor .card, #floor .card .lane")
    return parts.filter(has=page.locator(":scope > .area", has_text=area))


def says(part, key: str, wanted):
    expect(part.locator(f":scope > [data-text='{key}'], :scope > p > [data-text='{key}']")).to_have_text(wanted)


def tap(page, area: str, do: str):
    page.clock.run_for(2_000)  # lanes keep their places while a finger is about
    lane(page, area).locator(f":scope > .deeds [data-do={do}]").tap()


def lay(page, area: str):
    tap(page, area, "lay")
    page.locator("#lay-offers button").first.tap()


def rings(page, *wanted: str):
    expect(ringing(page).locator("[data-text=words]")).to_have_text(list(wanted))


def passes(page, minutes: int):
    page.clock.fast_forward(minutes * MINUTE_MS)
    page.clock.run_for(11_000)


def look(page, name: str):
    for theme in ("sun", "dark") if PICTURES else ():
        page.evaluate("(theme) => (document.documentElement.dataset.theme = theme)", theme)
        page.screenshot(path=f"{PICTURES}/{name}-{theme}.png", full_page=True)


def test_both_sides_of_a_used_part_clock_and_ring_side_by_side_to_the_clear(server, phones):
    page = in_hand(phones(server.address), SPY)
    add_panel(page, NAME, "Empty")
    card(page, NAME).locator("h2 button").tap()
    add_step(page, "Coat", "Surfacer", "outside", "Surfacer")
    add_step(page, "Sand", "Block P320", "outside")
    add_step(page, "Coat", "Sealer", "underside", "Sealer")
    add_step(page, "Coat", "Base", "", "Base, solvent")
    add_step(page, "Coat", "Clear", "", "Clear")
    expect(page.locator("#steps [data-done=next]")).to_have_count(2)
    look(page, "panel")
    page.locator(".bar a", has_text="Floor").tap()

    # Two lanes, each with its step and its button; a coat on one leaves the other as it was.
    says(lane(page, "outside"), "step", "Surfacer")
    says(lane(page, "underside"), "step", "Sealer")
    look(page, "two")
    lay(page, "outside")
    says(lane(page, "outside"), "left", "4 h")
    says(lane(page, "underside"), "step", "Sealer")
    fits(page)
    lay(page, "underside")
    says(lane(page, "underside"), "left", "30 min")
    says(lane(page, "underside"), "waits", "Waits for: Block P320 (outside)")
    expect(lane(page, "underside").locator(":scope > .deeds button:visible")).to_have_count(0)
    look(page, "waits")

    # Each rings by its own name; one silenced leaves the other.
    passes(page, 30)
    said = ringing(page).locator("[data-text=words]")
    expect(said).to_have_count(1)
    expect(said).to_contain_text(f"{NAME}, underside: coat 1 can go on. Until ")
    look(page, "rings")
    page.locator("#ringing [data-do=silence]").tap()
    expect(ringing(page)).to_have_count(0)
    says(lane(page, "outside"), "left", "3 h 30 min")
    passes(page, 180)  # the sealer shuts at 4 h, half an hour is warned
    expect(said).to_contain_text([f"{NAME}, underside: the window shuts at "])
    expect(page.locator("#hands")).to_contain_text(f"Now: {NAME}, underside. Its window shuts ")
    page.locator("#ringing [data-do=silence]").tap()
    passes(page, 30)
    expect(said).to_contain_text(
        [f"{NAME}, underside: the window is shut since ", f"{NAME}, outside: try it: Block P320"]
    )
    fits(page)
    look(page, "shut")
    for _ in range(2):
        page.locator("#ringing [data-do=silence]").first.tap()
    expect(ringing(page)).to_have_count(0)

    # The shut one is sanded on its own side, the other tried on its own; both taps count.
    tap(page, "underside", "scuff")
    says(lane(page, "underside"), "step", "Scuff, the window was missed")
    tap(page, "outside", "ready")
    tap(page, "underside", "done")
    says(lane(page, "outside"), "say", "Sand now")
    look(page, "sand")
    deed(card(page, NAME), "done")

    # Both through, it is one panel again, to the clear.
    says(card(page, NAME), "step", "Base")
    expect(page.locator("#floor .lane")).to_have_count(0)
    for product in ("Base", "Clear"):
        deed(card(page, NAME), "lay")
        page.locator("#lay-offers button").first.tap()
        expect(card(page, NAME).locator("[data-text=laid]")).to_contain_text(product)
        passes(page, 20)
    card(page, NAME).locator("h2 button").tap()
    expect(page.locator("#acts")).to_contain_text("Done: Block P320 (outside)")
    expect(page.locator("#acts")).to_contain_text("Found ready (outside)")
    page.context.set_offline(False)
    page.evaluate("() => dispatchEvent(new Event('online'))")
    page.clock.run_for(60_000)
    heard(page)
