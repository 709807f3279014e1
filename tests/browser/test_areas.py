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


def add_step_next(page, words: str, area: str):
    """One more step for one side, next on it, by the panel's page."""
    card(page, NAME).locator("h2 button").tap()
    page.tap("#screen-panel [data-do=step]")
    page.locator("#step-does button", has_text="Clean").tap()
    page.fill("#step-words", words)
    page.locator("#step-areas button").get_by_text(area, exact=True).tap()
    fits(page)
    look(page, "step")
    page.locator("[data-do=add-step]:text('Do it next')").tap()
    expect(page.locator("#dialog-step")).to_be_hidden()
    expect(page.locator("#steps [data-done=next]")).to_have_count(2)
    look(page, "panel")
    page.locator(".bar a", has_text="Floor").tap()


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


def passes(page, minutes: int):
    page.clock.fast_forward(minutes * MINUTE_MS)
    page.clock.run_for(11_000)


def look(page, name: str):
    for theme in ("sun", "dark") if PICTURES else ():
        page.evaluate("(theme) => (document.documentElement.dataset.theme = theme)", theme)
        page.screenshot(path=f"{PICTURES}/{name}-{theme}.png", full_page=True)


def done(page, area: str, *steps: str):
    """Steps of a side done, each as its lane names it."""
    for step in steps:
        says(lane(page, area), "step", step)
        tap(page, area, "done")


def silenced(page, *wanted: str):
    """What rings, by its words, and one after the other silenced."""
    said = ringing(page).locator("[data-text=words]")
    expect(said).to_contain_text([f"{NAME}, {one}" for one in wanted])
    look(page, wanted[0][:14].replace(":", "").replace(" ", "-"))
    for left in range(len(wanted) - 1, -1, -1):
        page.locator("#ringing [data-do=silence]").first.tap()
        expect(ringing(page)).to_have_count(left)


def test_both_sides_of_a_used_part_clock_and_ring_side_by_side_to_the_clear(server, phones):
    page = in_hand(phones(server.address), SPY)
    add_panel(page, NAME, "Used part")
    for _ in range(2):  # washed, looked over
        deed(card(page, NAME), "done")

    # Two lanes, each with its step and its buttons; what is done on one leaves the other as it was.
    says(lane(page, "outside"), "step", "Feather-edge P180")
    look(page, "two")
    add_step_next(page, "Wipe the seams", "underside")
    done(page, "underside", "Wipe the seams", "Scuff P400, or a grey pad", "Blow off, clean, mask", "Clean and tack")
    done(page, "outside", "Feather-edge P180", "Blow off, clean, mask")
    tap(page, "outside", "skip")  # no metal shows
    lay(page, "outside")
    says(lane(page, "outside"), "left", "10 min")
    lay(page, "underside")
    says(lane(page, "underside"), "step", "Base, coat 1 of 2")
    says(lane(page, "underside"), "left", "30 min")
    fits(page)
    look(page, "both")

    # Each rings by its own name; one silenced leaves the other.
    passes(page, 10)
    silenced(page, "outside: coat 2 can go on. Until ")
    lay(page, "outside")
    says(lane(page, "outside"), "left", "4 h")
    passes(page, 20)
    silenced(page, "underside: coat 1 can go on. Until ")
    expect(page.locator("#hands")).to_contain_text(f"Now: {NAME}, underside. Coat 1 now, until ")
    for coat in ("Base, coat 2 of 2", "Clear, coat 1 of 2", "Clear, coat 2 of 2"):
        lay(page, "underside")
        says(lane(page, "underside"), "step", coat)
        passes(page, 15)
        silenced(page, "underside: coat ")
    lay(page, "underside")

    # The side that is through waits for the other, its clocks to be seen and nothing to be tapped.
    through = lane(page, "underside")
    says(through, "waits", "Waits for: Guide coat (outside)")
    expect(through.locator(":scope > .deeds button:visible")).to_have_count(0)
    fits(page)
    look(page, "waits")

    # The outside goes on, past what rings of the underside, to its clear.
    passes(page, 180)
    said = ringing(page).locator("[data-text=words]")
    expect(said.first).to_contain_text(f"{NAME}, underside: Unmask now")
    expect(said.last).to_contain_text(f"{NAME}, outside: try it")
    for left in (1, 0):
        page.locator("#ringing [data-do=silence]").first.tap()
        expect(ringing(page)).to_have_count(left)
    tap(page, "outside", "ready")
    done(page, "outside", "Guide coat", "Block P320", "Guide coat gone? Feel for low spots", "Final sand P600")
    done(page, "outside", "Mask afresh", "Clean and tack")
    for left in ("Sealer", "Base, coat 1 of 2", "Base, coat 2 of 2", "Clear, coat 1 of 2", "Clear, coat 2 of 2"):
        says(lane(page, "outside"), "step", left)
        lay(page, "outside")
        passes(page, 30 if left == "Sealer" else 15)

    # Both through, it is one panel again; the history says which side each tap was about.
    says(card(page, NAME), "step", "Look over for dust and runs")
    expect(page.locator("#floor .lane")).to_have_count(0)
    card(page, NAME).locator("h2 button").tap()
    for said in ("Done: Block P320 (outside)", "Found ready (outside)", "coat 1 (underside)"):
        expect(page.locator("#acts")).to_contain_text(said)
    page.context.set_offline(False)
    page.evaluate("() => dispatchEvent(new Event('online'))")
    page.clock.run_for(60_000)
    heard(page)
