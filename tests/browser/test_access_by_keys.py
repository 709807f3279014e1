"""By keys alone and by ear: every action by Tab and Enter, the focus seen and kept, no chatter, nothing that moves."""

import pytest
from playwright.sync_api import expect

from .conftest import add_panel, card, deed, heard, in_hand, lay, to_putty
from .test_ringing import ringing, wait_out
from .test_screens import go

pytestmark = pytest.mark.browser
# What the focus is on, and whether that is to be seen.
FOCUS = """() => {
  const node = document.activeElement;
  const { outlineStyle, outlineWidth } = getComputedStyle(node);
  const name = node.dataset.do || node.id || node.textContent.trim();
  return [name, outlineStyle !== 'none' && parseFloat(outlineWidth) >= 2];
}"""
TO_REACH = """() => [...document.querySelectorAll('button, a[href], input, summary')]
  .filter((node) => node.checkVisibility({ visibilityProperty: true }))
  .map((node) => node.dataset.do || node.id || node.textContent.trim())"""
MOVES = """() => document.getAnimations().map(({ animationName, effect }) => {
  const { iterations } = effect.getTiming();
  const parts = effect.getKeyframes().flatMap((frame) => Object.keys(frame));
  const seen = parts.some((part) => /color|opacity|transform/i.test(part));
  return [animationName, iterations, parts.includes('pointerEvents') && !seen];
})"""
LIVE = """() => [...document.querySelectorAll('[aria-live], [role=alert], [role=status], [role=timer]')]
  .map((node) => [node, { alert: 'assertive', status: 'polite', timer: 'off' }[node.getAttribute('role')]])
  .map(([node, live]) => ({
  name: node.id || node.className || node.dataset.fault,
  live: node.getAttribute('aria-live') || live,
  error: node.matches('.error'),
  ticks: node.matches('[role=timer], .hands') || node.querySelector('.left, [role=timer], .card') !== null,
}))"""


def focus(page) -> str:
    return page.evaluate(FOCUS)[0]


def tab_to(page, wanted: str, most: int = 80):
    """The Tab key, again and again, until the focus is there."""
    for _ in range(most):
        page.keyboard.press("Tab")
        if focus(page) == wanted:
            return
    raise AssertionError(f"the Tab key does not come to {wanted}")


def expect_focus(page, wanted: str):
    page.wait_for_function(
        "(name) => (document.activeElement.dataset.do || document.activeElement.id) === name", arg=wanted
    )


def test_the_tab_key_comes_to_everything_on_the_floor_and_what_it_is_on_is_seen(server, phones):
    page = in_hand(phones(server.address))
    to_putty(page)
    lay(page, "Hood")
    wait_out(page, 21, 0)
    expect(ringing(page)).to_have_count(1)
    wanted, came = set(page.evaluate(TO_REACH)), set()
    for _ in range(40):
        page.keyboard.press("Tab")
        name, seen = page.evaluate(FOCUS)
        assert seen or page.evaluate("document.activeElement === document.body"), name
        came.add(name)
    assert wanted - came == set()


def test_a_panel_is_added_worked_on_and_laid_by_keys_alone(server, phones):
    page = phones(server.address)
    heard(page)
    tab_to(page, "add")
    page.keyboard.press("Enter")
    expect(page.locator("#dialog-add")).to_be_visible()
    assert focus(page) == "add-name"
    page.keyboard.type("Tailgate")
    tab_to(page, "add-panel")
    page.keyboard.press("Enter")
    expect(card(page, "Tailgate")).to_be_visible()
    tab_to(page, "done")
    for _ in range(3):  # the focus stays on the card
        step = card(page, "Tailgate").locator("[data-text=step]").text_content()
        page.keyboard.press("Enter")
        expect(card(page, "Tailgate").locator("[data-text=step]")).not_to_have_text(step)
        assert page.evaluate("document.activeElement.closest('.card') !== null")
    expect(card(page, "Tailgate").locator("[data-text=step]")).to_have_text("Glazing putty")
    assert focus(page) == "lay"  # what went hands the focus to what came
    page.keyboard.press("Enter")
    expect(page.locator("#dialog-lay")).to_be_visible()
    tab_to(page, "lay-film")
    page.keyboard.press("Enter")
    expect(card(page, "Tailgate")).to_have_attribute("data-state", "wait")
    assert page.evaluate("document.activeElement.closest('.card') !== null")


@pytest.mark.parametrize(("opener", "sheet"), [("add", "#dialog-add"), ("air", "#dialog-air"), ("lay", "#dialog-lay")])
def test_a_sheet_that_closes_gives_the_focus_back_to_what_opened_it(server, phones, opener, sheet):
    page = phones(server.address)
    heard(page)
    add_panel(page, "Hood")
    for _ in range(3):
        deed(card(page, "Hood"), "done")
    expect(card(page, "Hood").locator("[data-text=step]")).to_have_text("Glazing putty")
    page.locator(f"#screen-floor [data-do={opener}]:visible, .top [data-do={opener}]").first.focus()
    page.keyboard.press("Enter")
    expect(page.locator(sheet)).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.locator(sheet)).to_be_hidden()
    expect_focus(page, opener)


def test_the_focus_stays_on_a_card_when_an_answer_changes_it(server, phones):
    page = phones(server.address)
    heard(page)
    add_panel(page, "Hood")
    heard(page)
    old = card(page, "Hood").element_handle()
    card(page, "Hood").locator("[data-do=done]").focus()
    page.evaluate("""async () => {
      const { $data_acts: acts } = await import('/static/joined/actions.js');
      const { $data_state: shop, $data_queries: queries } = await import('/static/joined/floor.js');
      await shop.keep(acts.born(queries.onFloor()[0], 'panel_named', { name: 'Hood', job: 'Blue van' }));
      dispatchEvent(new Event('online')); }""")
    heard(page)
    expect(card(page, "Hood").locator("[data-text=job]")).to_have_text("Blue van")
    assert page.evaluate("(card) => card.isConnected && card.contains(document.activeElement)", old)
    assert focus(page) == "done"


def test_a_screen_that_is_opened_begins_with_its_heading_in_focus(server, phones):
    page = phones(server.address)
    heard(page)
    add_panel(page, "Hood")
    for screen in ("Mix", "Shelf", "Book"):
        go(page, screen)
        page.wait_for_function("() => document.activeElement.tagName === 'H1'")
    page.locator("#screen-book a[href='#ring']").tap()
    page.wait_for_function("() => document.activeElement.textContent === 'How this phone rings'")


def test_only_what_rings_speaks_in_between_and_no_countdown_speaks(server, phones):
    page = in_hand(phones(server.address))
    to_putty(page)
    lay(page, "Hood")
    go(page, "Book")
    page.locator("#screen-book a[href='#ring']").tap()
    expect(page.locator("#screen-ring")).to_be_visible()
    found = page.evaluate(LIVE)
    assert [one["name"] for one in found if one["live"] == "assertive" and not one["error"]] == ["ringing-list"]
    assert [one["name"] for one in found if one["ticks"] and one["live"] != "off"] == []
    assert any(one["ticks"] for one in found)


@pytest.mark.parametrize("motion", ["reduce", "no-preference"])
def test_nothing_flashes_and_with_less_motion_only_the_guard_of_the_ring_is_left(server, phones, motion):
    page = in_hand(phones(server.address, reduced_motion=motion))
    to_putty(page)
    lay(page, "Hood")
    page.evaluate("""() => {
      window.moved = [];
      document.addEventListener('animationstart', ({ animationName }) => window.moved.push(animationName)); }""")
    wait_out(page, 21, 0)
    expect(ringing(page)).to_have_count(1)
    page.wait_for_function("() => window.moved.length > 0")
    assert set(page.evaluate("moved")) == {"landing"}  # it takes taps away for 0.7 s and changes nothing to be seen
    for name, times, unseen in page.evaluate(MOVES):
        assert (name, times, unseen) == ("landing", 1, True)
