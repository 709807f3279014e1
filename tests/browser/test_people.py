"""Who does what: a panel taken on one phone and seen on another, handed on with a note; rings and trials by phone."""

import pytest
from playwright.sync_api import expect

from .conftest import card, deed, heard, kept_offline, lay, put_panel, ready, to_coat, to_putty, with_our_clock
from .test_ringing import QUICK, listen, ringing
from .test_screens import LONG, fits, go

pytestmark = pytest.mark.browser
KNOWS = """async () => {
  const { $data_state: shop, $data_queries: queries } = await import('/static/joined/floor.js');
  return JSON.stringify(queries.phones()).includes('Maximiliane');
}"""
NOTE = "second coat on, hardener standard"


def pair(address: str, phones, **options) -> list:
    """Two phones of one shop: Ana's and Ben's."""
    pages = [phones(address, **options), phones(address, **options)]
    for page, person, name in zip(pages, ("Ana", "Ben"), ("Door side", "Booth"), strict=True):
        heard(page)
        named(page, person, name)
        heard(page)
    return pages


def named(page, person: str, name: str):
    go(page, "Book")
    page.tap("[data-do=people-name]")
    page.fill("#own-person", person)
    page.fill("#own-phone", name)
    page.press("#own-phone", "Enter")
    expect(page.locator("#dialog-own")).to_be_hidden()
    go(page, "Floor")


def opened(page, name: str):
    """A panel's page."""
    go(page, "Floor")
    card(page, name).locator("h2 button").tap()
    expect(page.locator("#panel-name")).to_have_text(name)


def says(page, words: str):
    """Ask the server until the floor says something."""
    listen(page, f"() => document.getElementById('floor').textContent.includes({words!r})")


def taken(page, name: str):
    return card(page, name).locator("[data-text=taken]")


def history(page):
    return page.locator("#acts .actrow p")


def test_a_panel_taken_on_one_phone_is_seen_as_taken_on_the_other_and_let_go_again(one_shop, phones):
    ana, ben = pair(one_shop.address, phones)
    put_panel(ana, "Hood")
    opened(ana, "Hood")
    expect(ana.locator("#panel-let-go")).to_be_hidden()
    ana.tap("#panel-take")
    expect(ana.locator("#panel-card [data-text=taken]")).to_have_text("Taken by this phone")
    expect(ana.locator("#panel-take")).to_be_hidden()
    says(ben, "Taken by Ana")
    opened(ben, "Hood")
    expect(history(ben).first).to_contain_text("Taken by Ana")
    ben.tap("#panel-take")  # who takes it from another has it
    expect(ben.locator("#panel-card [data-text=taken]")).to_have_text("Taken by this phone")
    heard(ben)
    go(ana, "Floor")
    says(ana, "Taken by Ben")
    opened(ana, "Hood")
    ana.tap("#panel-let-go")
    expect(ana.locator("#panel-card [data-text=taken]")).to_be_empty()
    expect(ana.locator("#undo-words")).to_have_text("Let go")
    ana.tap("[data-do=undo-last]")
    expect(ana.locator("#panel-card [data-text=taken]")).to_have_text("Taken by Ben")


def test_a_panel_is_handed_over_with_a_note_and_the_films_say_who_laid_them(one_shop, phones):
    ana, ben = pair(one_shop.address, phones)
    to_coat(ana, "Hood", coats=2)
    lay(ana, "Hood")
    heard(ana)
    says(ben, "Hood")
    opened(ana, "Hood")
    expect(ana.locator("#films .film")).to_contain_text("by this phone")
    ana.tap("[data-do=people-hand]")
    expect(ana.locator("#hand-phones button")).to_have_text(["Ben, Booth"])
    ana.tap("#hand-chips button >> nth=0")
    expect(ana.locator("#hand-note")).to_have_value("coat 1 on")
    ana.fill("#hand-note", NOTE)
    ana.press("#hand-note", "Enter")  # ends the typing and hands nothing to anyone
    expect(ana.locator("#dialog-hand")).to_be_visible()
    ana.tap("#hand-phones button")
    expect(ana.locator("#panel-card [data-text=taken]")).to_have_text(f"Handed to Ben: {NOTE}")
    expect(history(ana).first).to_contain_text(f"Handed to Ben: {NOTE}")
    says(ben, f"Handed to this phone: {NOTE}")
    opened(ben, "Hood")
    expect(ben.locator("#films .film")).to_contain_text("by Ana")
    expect(history(ben).first).to_contain_text("by Ana")
    ben.tap("#panel-let-go")
    heard(ben)
    expect(history(ben).first).to_contain_text("by this phone")


def test_a_note_too_long_is_refused_in_words_and_stays_in_the_field(one_shop, phones):
    ana, _ = pair(one_shop.address, phones)
    put_panel(ana, "Hood")
    opened(ana, "Hood")
    ana.tap("[data-do=people-hand]")
    ana.fill("#hand-note", "x" * 201)
    ana.tap("#hand-phones button")
    expect(ana.locator("#hand-error")).to_have_text("The note may have 200 letters (you typed 201). Nothing was saved.")
    expect(ana.locator("#hand-note")).to_have_value("x" * 201)
    ana.tap("#dialog-hand button[value=cancel]")
    expect(ana.locator("#panel-card [data-text=taken]")).to_be_empty()


def test_a_phone_alone_and_without_a_name_takes_a_panel_with_no_signal_and_knows_nobody_to_hand_it_to(server, phones):
    page = phones(server.address)
    heard(page)
    put_panel(page, "Hood")
    heard(page)
    kept_offline(page)
    go(page, "Book")
    expect(page.locator("#own-name")).to_have_text("This phone has no name yet.")
    page.context.set_offline(True)
    opened(page, "Hood")
    page.tap("#panel-take")
    expect(page.locator("#panel-card [data-text=taken]")).to_have_text("Taken by this phone")
    page.reload()
    ready(page)
    expect(page.locator("#panel-card [data-text=taken]")).to_have_text("Taken by this phone")
    page.tap("[data-do=people-hand]")
    expect(page.locator("#hand-error")).to_contain_text("This phone knows no other phone of the shop yet")


def test_only_mine_rings_what_this_phone_took_and_what_nobody_took(one_shop, phones):
    ana, ben = pair(one_shop.address, phones)
    ben.evaluate("() => { location.hash = '#ring'; }")
    ben.tap("#ring-mine [data-mine=yes]")
    expect(ben.locator("#ring-mine [data-mine=yes]")).to_have_attribute("aria-pressed", "true")
    ana.evaluate(QUICK, 6)
    heard(ana)
    to_putty(ana, "Hood")
    to_putty(ana, "Tailgate")
    opened(ana, "Hood")
    ana.tap("#panel-take")
    go(ana, "Floor")
    lay(ana, "Hood")
    lay(ana, "Tailgate")
    heard(ana)
    go(ben, "Floor")
    says(ben, "Taken by Ana")
    said = [page.locator("#ringing-list [data-text=words]") for page in (ana, ben)]
    expect(said[1]).to_contain_text(["Tailgate: try it"], timeout=20_000)  # laid last, so the Hood has rung by now
    expect(ringing(ana)).to_have_count(2, timeout=20_000)
    expect(ringing(ben)).to_have_count(1)
    opened(ben, "Tailgate")
    ben.tap("[data-do=people-hand]")
    ben.tap("#hand-phones button")
    expect(ben.locator("#ringing")).to_be_hidden()  # another's now: it rings there


def test_a_trial_on_one_phone_is_shown_in_the_ring_room_of_the_other(one_shop, phones):
    ana, ben = pair(one_shop.address, phones)
    with_our_clock(ben)
    ben.evaluate("() => { location.hash = '#ring'; }")
    expect(ben.locator("#ring-crew h3")).to_contain_text(["This phone: Ben, Booth"])
    expect(ben.locator("#ring-crew li").first).to_contain_text("No trial told yet.")
    ben.context.set_offline(True)  # the server would take our clock back to its own
    ben.tap("#ring-trial")
    expect(ben.locator("#ring-trial")).to_contain_text("lock the phone")
    ben.clock.run_for(31_000)
    ben.tap("[data-rang=yes]")
    expect(ben.locator("#ring-crew li").first).to_contain_text("rang on time, with Sandtime in front. By sound")
    ben.context.set_offline(False)
    listen(ben, "() => document.getElementById('signal-words').textContent === 'Saved.'")
    ana.evaluate("() => { location.hash = '#ring'; }")
    row = ana.locator("#ring-crew li", has_text="Ben, Booth")
    listen(ana, "() => document.getElementById('ring-crew')?.textContent.includes('rang on time')")
    expect(row).to_contain_text("rang on time, with Sandtime in front. By sound")
    fits(ana)


def test_long_names_and_a_long_note_fit_every_screen_that_shows_them(one_shop, phones):
    ana, ben = pair(one_shop.address, phones)
    named(ben, "Maximiliane of the long name who works at the back, left 🚗 ك", "Q" * 60)
    heard(ben)
    put_panel(ana, LONG[:200])
    listen(ana, KNOWS)
    ana.locator("#floor .card h2 button").tap()
    ana.tap("[data-do=people-hand]")
    ana.fill("#hand-note", LONG[:200])
    fits(ana)
    ana.tap("#hand-phones button")
    expect(ana.locator("#panel-card [data-text=taken]")).to_contain_text("Handed to Maximiliane")
    fits(ana)
    go(ana, "Floor")
    fits(ana)
    deed(ana.locator("#floor .card"), "done")
    go(ana, "Book")
    fits(ana)
    ana.tap("[data-do=people-name]")
    fits(ana)
    ana.tap("#dialog-own button[value=cancel]")
    ana.evaluate("() => { location.hash = '#ring'; }")
    expect(ana.locator("#ring-crew li")).to_have_count(2)
    fits(ana)
