"""A finger that lands is answered at once, and only that it was felt is said; a screen's width is used."""

import pytest
from playwright.sync_api import expect

from .conftest import PHONE, add_panel, card, heard

pytestmark = pytest.mark.browser
ACTS = "async () => (await import('/static/joined/floor.js')).$data_queries.bookActs(99).length"
OUTLINE = """(node) => {
  const { outlineStyle, outlineWidth, outlineColor } = getComputedStyle(node);
  const probe = document.body.appendChild(document.createElement('i'));
  probe.style.color = 'var(--ink)';
  const ink = getComputedStyle(probe).color;
  probe.remove();
  return [outlineStyle, parseFloat(outlineWidth), outlineColor === ink];
}"""
COLUMNS = """() => new Set([...document.querySelectorAll('#floor .card')].map((card) => card.offsetLeft)).size"""


def lands(page, button):
    """A finger that stays; the session by which it lifts."""
    expect(button).to_be_visible()
    button.scroll_into_view_if_needed()
    box = button.bounding_box()
    finger = page.context.new_cdp_session(page)
    at = {"x": box["x"] + box["width"] / 2, "y": box["y"] + box["height"] / 2}
    finger.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [at]})
    return finger


@pytest.mark.parametrize("theme", ["sun", "dark"])
def test_a_button_says_that_a_finger_is_on_it_before_anything_is_kept(server, phones, theme):
    page = phones(server.address)
    heard(page)
    add_panel(page, "Hood")
    heard(page)
    page.evaluate("(theme) => document.documentElement.dataset.theme = theme", theme)
    button, step = card(page, "Hood").locator("[data-do=done]"), card(page, "Hood").locator("[data-text=step]")
    before, acts = step.text_content(), page.evaluate(ACTS)
    finger = lands(page, button)
    expect(button).to_have_attribute("data-pressed", "")
    assert button.evaluate(OUTLINE) == ["solid", 4, True]
    assert (step.text_content(), page.evaluate(ACTS)) == (before, acts)
    finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    expect(step).not_to_have_text(before)
    expect(page.locator("[data-pressed]")).to_have_count(0)


def test_a_finger_that_turns_out_to_scroll_takes_the_answer_back_and_the_clocks_go_on(server, phones):
    page = phones(server.address)
    heard(page)
    add_panel(page, "Hood")
    heard(page)  # the card that the server drew has taken the place of ours
    button = card(page, "Hood").locator("[data-do=done]")
    lands(page, button)
    expect(button).to_have_attribute("data-pressed", "")
    page.evaluate("() => document.dispatchEvent(new PointerEvent('pointercancel'))")
    expect(page.locator("[data-pressed]")).to_have_count(0)
    painted = page.evaluate("document.body.dataset.paintedAt")
    page.wait_for_function("(painted) => document.body.dataset.paintedAt !== painted", arg=painted)


@pytest.mark.parametrize(
    ("width", "height", "columns"), [(360, 740, 1), (740, 360, 2), (800, 1280, 2), (1280, 800, 3), (1440, 900, 3)]
)
def test_the_floor_uses_the_width_and_its_address_leads_to_the_top(server, phones, width, height, columns):
    page = phones(server.address, **{**PHONE, "viewport": {"width": width, "height": height}})
    heard(page)
    for name in ("Hood", "Roof", "Sill", "Tailgate"):
        add_panel(page, name)
    assert page.evaluate(COLUMNS) == columns
    page.evaluate("() => scrollTo(0, 500)")
    page.tap(".bar a[href='#floor']")
    page.wait_for_function("() => scrollY === 0")
