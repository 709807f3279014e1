"""From the paper of a data sheet to an empty cup, with no signal: one person, one phone, one afternoon.

The sheet is invented: "Grey build 41", no product of anybody's.
"""

import re

import pytest
from playwright.sync_api import expect

from timers.core.base.units import MINUTE_MS
from timers.core.base.words import span
from timers.core.bench import cover
from timers.core.clock import cure, damp

from .conftest import card, deed, heard, in_hand, lay, to_coat
from .test_screens import go
from .test_sheet import dial_to, save, says, type_gate, write_new

pytestmark = pytest.mark.browser
NAME = "Grey build 41"
CUP = f"Cup: {NAME}"
FLASH = [("10", "20 min"), ("20", "8-10 min"), ("25", "6-8 min"), ("35", "5 min")]
SAND = [("10", "8 h"), ("15", "5-6 h"), ("20", "3-4 h"), ("30", "1.5-2 h")]
SAND_SHEET = {"points": [[dc, minutes * MINUTE_MS] for dc, minutes in ((100, 480), (150, 360), (200, 240), (300, 120))]}


def type_the_sheet(page):
    write_new(page, "Surfacer")
    page.fill("#sheet-name", NAME)
    page.fill("#sheet-ratio", "4:1:1")
    page.fill("#sheet-lowest_dc", "10")
    for gate, lines in (("pot", [("20", "40-60 min")]), ("flash", FLASH), ("sand", SAND)):
        type_gate(page, gate, lines)


def humid(page, percent: int):
    page.tap("[data-do=air]")
    expect(page.locator("#dialog-air")).to_be_visible()
    while page.inner_text("#air-rh") != f"{percent} %":
        before = page.inner_text("#air-rh")
        page.tap("#dialog-air [data-dial=rh][data-by='1']")
        expect(page.locator("#air-rh")).not_to_have_text(before)
    page.tap("[data-do=air-tell]")


def test_a_sheet_typed_a_door_and_a_fender_mixed_for_a_cup_followed_to_its_end_and_a_coat_stopped(server, phones):
    page = in_hand(phones(server.address))

    # The paper sheet, four temperatures; the drawing is asked at temperatures that nobody typed.
    type_the_sheet(page)
    page.locator("#sheet-curve-gates button", has_text="Dry to sand").tap()
    for degrees, beyond in ((12, ""), (18, ""), (26, ""), (36, ", beyond the sheet")):
        dial_to(page, degrees)
        says(page, f"At {degrees} °C: {span(cure.wait_ms(SAND_SHEET, degrees * 10))}{beyond}")
    save(page)
    expect(page.locator("#products .product", has_text=NAME)).to_be_visible()

    # A door and a fender, two coats: how much, in which parts, up to which marks.
    go(page, "Floor")
    for name in ("Left front door", "Left fender"):
        to_coat(page, name, coats=2)
    go(page, "Mix")
    page.select_option("#mix-product", label=NAME)
    for part in ("Door", "Fender"):
        page.locator("#mix-sizes button", has_text=part).tap()
    expect(page.locator("#mix-area")).to_have_text("2 m²")
    need = cover.ready_to_spray_ml(2.0, 2, 50, cover.thinned_vs_pct(50, 20), 60, 10)
    expect(page.locator("#mix-need")).to_contain_text(f"About {need} ml ready to spray")
    page.tap("[data-do=mix-take]")
    total = -(-need // 10) * 10
    expect(page.locator("#mix-total")).to_have_text(f"{total} ml")
    rows = page.locator("#mix-parts .part").all_inner_texts()
    poured = [int(re.search(r"(\d+) ml", row)[1]) for row in rows]
    marks = [int(re.search(r"fill to (\d+) ml", row)[1]) for row in rows]
    assert sum(poured) == total
    assert marks == [poured[0], poured[0] + poured[1], total]
    assert max(abs(poured[0] - 4 * part) for part in poured[1:]) <= 4, "4 : 1 : 1 to the rounding of a ml"
    for name in ("Left front door", "Left fender"):
        page.locator("#mix-panels button", has_text=name).tap()
    page.tap("#mix-start")

    # The cup stands on the floor; both panels get their coat from it; its end comes.
    expect(card(page, CUP)).to_have_attribute("data-state", "open")
    expect(card(page, CUP).locator("[data-text=left]")).to_have_text("40 min")
    for name in ("Left front door", "Left fender"):
        lay(page, name)
        expect(card(page, name).locator("[data-text=left]")).to_have_text("10 min")
    expect(card(page, CUP).locator("[data-text=went]")).to_have_text("Went on Left front door, Left fender")
    page.clock.fast_forward("31:00")
    expect(card(page, CUP)).to_have_attribute("data-state", "closing")
    page.clock.fast_forward("10:00")
    expect(card(page, CUP)).to_have_attribute("data-state", "shut")
    expect(card(page, CUP)).to_contain_text("heats itself")

    # It rang; a person silences it.  By the clock the second coat may go on, but the air has turned damp: the screen
    # says no and why.
    silence = page.locator("#ringing [data-do=silence]").first
    for _ in range(4):
        page.wait_for_timeout(1_200)  # its buttons wait for a finger that was on its way to a card
        if silence.is_visible():
            silence.tap()
    expect(page.locator("#ringing")).to_be_hidden()
    humid(page, 90)
    deed(card(page, "Left fender"), "lay")
    warning = page.locator("#lay-warning")
    expect(warning).to_contain_text("above the dew point. Wait until it is at")
    dew = damp.dew_point_dc(200, 900)
    expect(warning).to_contain_text(f"Wait until it is at {(dew + damp.MARGIN_DC) / 10:g} °C")
    page.locator("#dialog-lay [value=cancel]").tap()
    expect(card(page, "Left fender").locator("[data-text=step]")).to_contain_text("coat 2 of 2")

    # What is left is poured out; the cup leaves the floor.
    deed(card(page, CUP), "cup-empty")
    page.locator("#dialog-cup button", has_text="Nothing").first.tap()
    expect(page.locator("#floor .card", has_text=CUP)).to_have_count(0)

    # With signal all of it arrives once.
    page.context.set_offline(False)
    page.evaluate("() => dispatchEvent(new Event('online'))")
    heard(page)
