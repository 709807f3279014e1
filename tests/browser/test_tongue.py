"""In which tongue a phone reads, changed with no signal; and the twelve hours of a shop's clocks."""

import re

import pytest
from playwright.sync_api import expect

from .conftest import card, furnished, heard, kept_offline, lay, put_panel, ready, tell_air, to_putty
from .test_screens import fits

pytestmark = pytest.mark.browser
LATE_HELD = """async () => (await Promise.all(['/?tongue=es', '/?tongue=de'].map(async (shell) => {
  const kept = await (await caches.match(shell))?.text();
  return kept && caches.match(kept.match(/data-rooms="([^"]+)"/)[1]);
}))).every(Boolean)"""


def to(page, screen: str):
    """To a screen of the bar, whatever its name is in the phone's tongue."""
    page.tap(f".bar a[href='#{screen}']")
    expect(page.locator(f"#screen-{screen}")).to_be_visible()


def chip(page, tongue: str):
    return page.locator(f"[data-do=tongue][data-tongue={tongue}]")


def reads(page, tongue: str):
    """The shell on the screen is in a tongue, and the Book says so."""
    expect(page.locator("html")).to_have_attribute("lang", tongue)
    ready(page)
    for one in ("en", "es", "de"):
        expect(chip(page, one)).to_have_attribute("aria-pressed", "true" if one == tongue else "false")
    assert f"late.rooms.{tongue}" in page.locator("#sync").get_attribute("data-rooms")


def held_in_all_tongues(page):
    """One panel, at the server; and the service worker holds the shell and the rooms of every tongue."""
    heard(page)
    kept_offline(page)
    put_panel(page, "Sill by the well")
    heard(page)
    page.wait_for_function(LATE_HELD)
    return page


@pytest.mark.parametrize(("asks", "tongue"), [("de-DE", "de"), ("es-MX", "es"), ("fr-FR", "en")])
def test_a_new_phone_reads_what_its_browser_asks_for_where_there_is_such_a_tongue(server, phones, asks, tongue):
    page = phones(server.address, locale=asks)
    to(page, "book")
    reads(page, tongue)
    fits(page)
    page.reload()
    reads(page, tongue)


def test_another_tongue_is_chosen_with_no_signal_and_stands_at_a_cold_start(server, phones):
    page = held_in_all_tongues(phones(server.address))
    page.context.set_offline(True)
    to(page, "book")
    reads(page, "en")
    chip(page, "es").tap()
    reads(page, "es")
    expect(page.locator("#screen-book")).to_be_visible()
    fits(page)
    to(page, "floor")
    expect(card(page, "Sill by the well")).to_be_visible()
    furnished(page)
    context = page.context
    page.close()
    anew = context.new_page()
    anew.goto(server.address)
    reads(anew, "es")
    expect(card(anew, "Sill by the well")).to_be_visible()
    furnished(anew)
    to(anew, "book")
    chip(anew, "en").tap()
    reads(anew, "en")


def test_with_signal_the_chosen_tongue_rules_over_the_browsers_and_what_waits_is_sent(server, phones):
    page = held_in_all_tongues(phones(server.address))
    page.context.set_offline(True)
    put_panel(page, "Roof rail")
    to(page, "book")
    chip(page, "de").tap()
    reads(page, "de")
    page.context.set_offline(False)
    page.evaluate("() => dispatchEvent(new Event('online'))")
    expect(page.locator("#signal")).to_have_attribute("data-mood", "heard")
    to(page, "floor")
    expect(card(page, "Roof rail")).to_be_visible()
    plain = page.context.request.get(server.address)  # past the service worker, as a browser that holds nothing
    assert '<html lang="de"' in plain.text()


def test_a_tongue_that_is_not_on_the_phone_is_refused_with_no_signal_and_nothing_changes(own_server, phones):
    page = held_in_all_tongues(phones(own_server.address))
    own_server.stop()  # a service worker that the browser starts anew may ask before it is told that it is offline
    page.context.set_offline(True)
    page.evaluate(
        "async () => { for (const name of await caches.keys()) await (await caches.open(name)).delete('/?tongue=es'); }"
    )
    to(page, "book")
    chip(page, "es").tap()
    expect(page.locator("#notice-words")).to_have_text(
        "This tongue is not on this phone yet, and there is no signal. Nothing was changed."
    )
    reads(page, "en")
    page.reload()
    reads(page, "en")


# --- the hours of the shop's clocks ---


def twelve(time: str) -> str:
    hour, minute = time.split(":")
    return f"{(int(hour) + 11) % 12 + 1}:{minute} {'am' if int(hour) < 12 else 'pm'}"


def choose_hours(page, hours: str):
    to(page, "book")
    unit = page.locator(f"#units [data-what=hours][data-unit='{hours}']")
    unit.tap()
    expect(unit).to_have_attribute("aria-pressed", "true")
    fits(page)
    to(page, "floor")


def test_twelve_hours_are_chosen_for_the_shop_and_stand_on_the_cards_of_every_phone(own_server, phones):
    one, two = (phones(own_server.address) for _ in range(2))
    heard(one)
    tell_air(one, 20)
    to_putty(one)
    lay(one, "Hood")
    says = card(one, "Hood").locator("[data-text=say]")
    expect(says).to_have_text(re.compile(r"from (tomorrow )?\d\d:\d\d"))
    time = re.search(r"\d\d:\d\d", says.inner_text())[0]
    expect(card(two, "Hood").locator("[data-text=say]")).to_contain_text(time)
    choose_hours(one, "12")
    for page in (one, two):
        expect(card(page, "Hood").locator("[data-text=say]")).to_have_text(re.compile(rf"\b{twelve(time)}\b"))
    choose_hours(two, "24")
    for page in (one, two):
        expect(card(page, "Hood").locator("[data-text=say]")).to_have_text(re.compile(rf"\b{time}\b(?! [ap]m)"))


def test_the_ring_room_reads_twelve_hours_too(server, phones):
    page = phones(server.address)
    heard(page)
    choose_hours(page, "12")
    to(page, "book")
    page.locator("#screen-book a[href='#ring']").tap()
    page.locator("#ring-quiet").tap()
    expect(page.locator("#ring-quiet")).to_have_text("Quiet from 10:00 pm to 6:00 am. Turn off")
    expect(page.locator("#ring-from")).to_have_text("10:00 pm")
    page.locator("[data-do=ring-trial]").tap()
    expect(page.locator("#ring-trial")).to_have_text(re.compile(r"^Rings at \d{1,2}:\d\d:\d\d [ap]m: lock the phone$"))
