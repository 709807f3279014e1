"""The rooms that hand over and take: they fit a phone, codes turn by themselves, what cannot be given is said."""

import pytest
from playwright.sync_api import expect

from timers.core.acts import envelope as rules

from .conftest import heard, put_panel
from .handed import follow, links, meta, show
from .test_handing import pair
from .test_screens import fits, go, looks

pytestmark = pytest.mark.browser


def test_both_rooms_fit_a_phone(one_shop, phones):
    one, two = pair(one_shop, phones)
    for n in range(8):
        put_panel(one, f"Panel {n} " + "with a very long name " * 4, "Chips and small dings")
    go(one, "Book")
    one.tap("text=Hand over with no signal")
    expect(one.locator("#hand-choice")).to_be_visible()
    fits(one)
    show(one, "Left door")
    fits(one)
    for look in looks(one):
        seen = [one.locator(part).bounding_box() for part in ("#hand-code", "[data-do=hand-next]", ".bar")]
        assert seen[0]["y"] >= 0, look
        assert seen[1]["y"] + seen[1]["height"] <= seen[2]["y"], look  # code and buttons, no scrolling
    go(two, "Book")
    two.tap("text=Take from another phone")
    expect(two.locator("#take-ways")).to_be_visible()
    fits(two)
    made = links(one)
    follow(two, made[0])
    fits(two)
    for link in made[1:]:
        follow(two, link)
    expect(two.locator("[data-do=take-take]")).to_be_visible()
    fits(two)


def test_codes_turn_by_themselves_when_told_to_and_stop_when_the_room_is_left(one_shop, phones):
    one, _ = pair(one_shop, phones)
    for n in range(8):
        put_panel(one, f"Panel number {n} of the long van", "Chips and small dings")
    show(one)
    expect(one.locator("#hand-code")).to_have_attribute("data-code", "1")
    one.tap("#hand-turn")
    expect(one.locator("#hand-code")).to_have_attribute("data-code", "2")
    expect(one.locator("#hand-code")).to_have_attribute("data-code", "1", timeout=30_000)  # round again
    one.tap("[data-do=hand-back]")
    one.tap("[data-do=hand-choose]")
    expect(one.locator("#hand-choice")).to_be_visible()
    show(one)
    expect(one.locator("#hand-turn")).to_have_attribute("aria-pressed", "false")
    go(one, "Floor")
    go(one, "Book")
    one.tap("text=Hand over with no signal")
    expect(one.locator("#hand-choice")).to_be_visible()


def test_where_the_server_heard_all_only_whole_panels_go(one_shop, phones):
    page = phones(one_shop.address)
    heard(page)
    go(page, "Book")
    page.tap("text=Hand over with no signal")
    expect(page.locator("#hand-heard")).to_be_visible()
    expect(page.locator("#hand-none")).to_be_visible()
    expect(page.locator("#hand-show")).to_be_hidden()
    assert rules.is_id(meta(page)["shop"]) is False  # a shop's id is no act's id; only its first letters travel
    assert len(meta(page)["key"]) == 64
    assert meta(page)["key"] not in page.content()
