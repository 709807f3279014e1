"""Phones of one shop that did not hear of each other: they meet, and agree, and ask where only people know."""

import pytest
from playwright.sync_api import expect

from .conftest import card, heard, kept_offline, lay, ready, tell_air, to_coat
from .test_screens import looks

pytestmark = pytest.mark.browser
ASK = "() => dispatchEvent(new Event('online'))"
DAY_MS = 86_400_000


SHOWN = """() => [...document.querySelectorAll('#floor .card')].map((card) => [card.dataset.on, card.dataset.state,
  ...['step', 'place', 'laid', 'twice'].map((key) => card.querySelector(`[data-text=${key}]`).textContent)])"""


def floors(pages) -> list:
    return [page.evaluate(SHOWN) for page in pages]


def away(*pages):
    for page in pages:
        page.context.set_offline(True)


def back(*pages):
    for page in pages:
        page.context.set_offline(False)
        page.evaluate(ASK)


def one_floor(pages, step: str):
    """Every phone has heard all, and all show the same."""
    for page in pages:
        heard(page)
        expect(card(page, "Hood").locator("[data-text=step]")).to_have_text(step)
    assert all(floor == floors(pages)[0] for floor in floors(pages))


ON_THE_WALL = """async () => { const { $data_state: shop } = await import('/static/joined/floor.js');
  Object.defineProperty(shop.meta, 'role', { get: () => 'wall', set: () => {}, configurable: true }); }"""


def shop_of(server, phones, count: int, **options):
    """Phones of one shop with a hood to be coated, all without signal."""
    pages = [phones(server.address, **options) for _ in range(count)]
    for page in pages:
        heard(page)
        kept_offline(page)
    tell_air(pages[0], 20)
    to_coat(pages[0], "Hood", coats=2)
    for page in pages:
        expect(card(page, "Hood").locator("[data-text=step]")).to_have_text("Surfacer, coat 1 of 2")
        heard(page)
    away(*pages)
    return pages


def test_a_coat_laid_on_two_phones_is_asked_about_and_a_third_phone_may_answer(one_shop, phones):
    pages = shop_of(one_shop, phones, 4)
    one, two, three, four = pages
    for page in (one, two):
        lay(page, "Hood")
        expect(card(page, "Hood").locator("[data-text=step]")).to_have_text("Surfacer, coat 2 of 2")
    back(*pages)
    one_floor(pages, "Every step is done")  # both count until somebody says
    four.evaluate(ON_THE_WALL)
    card(four, "Hood").locator("[data-do=twice-ask]").tap()
    expect(four.locator("#twice-error")).to_have_text("This phone is on the wall: it may only look. Answer on a phone.")
    expect(four.locator("#twice-choices button")).to_have_count(0)  # none that does nothing
    four.keyboard.press("Escape")
    question = card(three, "Hood").locator("[data-do=twice-ask]")
    expect(question).to_contain_text("coat 1: laid on two phones")
    for look in looks(three):
        box = question.bounding_box()
        assert box["height"] >= 48, look
        assert box["x"] + box["width"] <= three.viewport_size["width"], look
    question.tap()
    expect(three.locator("#twice-choices button").last).to_have_text("Twice: both were laid")
    for look in looks(three):
        assert all(node.bounding_box()["height"] >= 72 for node in three.locator("#twice-choices button").all()), look
    three.locator("#twice-choices button").first.tap()
    one_floor(pages, "Surfacer, coat 2 of 2")
    for page in pages:
        expect(card(page, "Hood").locator("[data-do=twice-ask]")).to_be_hidden()


def test_two_coats_said_to_be_two_stay_two(one_shop, phones):
    pages = shop_of(one_shop, phones, 2)
    for page in pages:
        lay(page, "Hood")
    back(*pages)
    one_floor(pages, "Every step is done")
    card(pages[1], "Hood").locator("[data-do=twice-ask]").tap()
    pages[1].locator("#twice-choices button", has_text="Twice").tap()
    for page in pages:
        expect(card(page, "Hood").locator("[data-do=twice-ask]")).to_be_hidden()
    one_floor(pages, "Every step is done")


def test_two_phones_that_answer_differently_are_left_with_one_coat(one_shop, phones):
    pages = shop_of(one_shop, phones, 2)
    for page in pages:
        lay(page, "Hood")
    back(*pages)
    one_floor(pages, "Every step is done")
    away(*pages)
    for nth, page in enumerate(pages):
        card(page, "Hood").locator("[data-do=twice-ask]").tap()
        page.locator("#twice-choices button", has_text="this phone" if nth else "Once").first.tap()
        expect(card(page, "Hood").locator("[data-text=step]")).to_have_text("Surfacer, coat 2 of 2")
    back(*pages)
    one_floor(pages, "Surfacer, coat 2 of 2")


def test_what_one_phone_took_out_another_puts_back_and_the_last_word_rules(one_shop, phones):
    pages = shop_of(one_shop, phones, 2)
    one, two = pages
    back(*pages)
    lay(one, "Hood")
    one_floor(pages, "Surfacer, coat 2 of 2")
    away(*pages)
    for page in pages:  # both take it out, then the second thinks better of it
        card(page, "Hood").locator("h2 button").tap()
        page.locator("#acts .actrow", has_text="Laid: ").first.locator("[data-do=undo]").tap()
        expect(page.locator("#acts .actrow[data-out=yes]")).to_have_count(1)
    two.locator("#acts .actrow[data-out=yes] [data-do=undo]").tap()
    for page in pages:
        page.locator(".bar a", has_text="Floor").tap()
    back(*pages)
    one_floor(pages, "Surfacer, coat 2 of 2")


def test_a_phone_a_day_ahead_lays_its_film_at_the_right_moment(one_shop, phones):
    one, two = phones(one_shop.address), phones(one_shop.address)
    heard(one)
    kept_offline(two)
    two.add_init_script(f"const now = Date.now; Date.now = () => now.call(Date) + {DAY_MS};")
    two.reload()
    ready(two)
    heard(two)
    tell_air(one, 20)
    to_coat(one, "Hood", coats=2)
    expect(card(two, "Hood").locator("[data-text=step]")).to_have_text("Surfacer, coat 1 of 2")
    away(two)
    lay(two, "Hood")
    expect(card(two, "Hood").locator("[data-text=laid]")).to_contain_text("laid")
    said = card(two, "Hood").locator("[data-text=laid]").text_content()
    back(two)
    one_floor([one, two], "Surfacer, coat 2 of 2")
    for page in (one, two):
        words = card(page, "Hood").locator("[data-text=laid]").text_content()
        assert words == said
        assert "yesterday" not in words
        assert "tomorrow" not in words
        expect(card(page, "Hood").locator("[data-text=note]")).not_to_contain_text("clock is wrong")
