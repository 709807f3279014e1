"""A phone that belongs to a shop joins another: it is asked, nothing that waits on it is lost, every page follows."""

import json

import pytest
from playwright.sync_api import expect

from .conftest import card, heard, put_panel, ready
from .test_join import code, joins, to_phones
from .test_phones_room import ask, does, row
from .test_screens import fits, go

pytestmark = pytest.mark.browser


def keeper_of(server, phones, panel: str):
    """A keeper's phone of a shop of its own, with a panel on the floor, in the room of the phones."""
    keeper = phones(server.address)
    heard(keeper)
    put_panel(keeper, panel)
    expect(card(keeper, panel)).to_be_visible()
    heard(keeper)
    to_phones(keeper)
    return keeper


def member(keeper, phones, address: str, name: str = "Mover"):
    """A painter's phone of that shop."""
    _, secret = code(keeper)
    other = phones(f"{address}#join={secret}")
    expect(other.locator("#join-shop")).to_be_visible()
    joins(other, name)
    expect(other.locator("#floor .card")).to_have_count(1)
    heard(other)
    expect(row(keeper, name)).to_be_visible()
    return other


def comes_by(page, secret: str):
    """A phone opens the link of another shop."""
    page.evaluate("(secret) => { location.hash = `#join=${secret}`; }", secret)
    expect(page.locator("#join-shop")).to_be_visible()


def leaves(page, name: str = "Mover"):
    page.fill("#join-name", name)
    expect(page.locator("#join-in")).to_have_text("Leave “My shop” and join “My shop”")
    page.tap("#join-in")


def only(page, panel: str):
    """The floor is that of the shop with this panel, and no other's."""
    expect(page.locator("#floor .card h2")).to_have_text([panel])
    ready(page)
    heard(page)


def ends(keeper, name: str):
    """The keeper ends a phone."""
    for button in ("Change", "End this phone", "Yes, end it"):
        does(keeper, name, button)
    expect(row(keeper, name)).to_contain_text("ended now")


def test_the_last_keeper_makes_a_phrase_first_is_asked_and_then_has_the_other_floor(server, phones):
    new, old = keeper_of(server, phones, "Hood"), keeper_of(server, phones, "Roof")
    _, secret = code(new)
    comes_by(old, secret)
    expect(old.locator("#join-asks")).to_contain_text("This phone is the last keeper of “My shop”.")
    expect(old.locator("#join-in")).to_have_count(0)
    fits(old)
    old.tap("[data-do=join-not]")
    to_phones(old)
    old.tap("#phones-phrase-deed")
    expect(old.locator("#phones-paper")).to_be_visible()
    phrase = old.locator("#phones-phrase").text_content()
    old.tap("#phones-paper-deeds [data-do=room-clear]")
    old.evaluate("() => { location.hash = '#join'; }")
    old.reload()
    ready(old)
    comes_by(old, secret)
    expect(old.locator("#join-asks")).to_contain_text("What was done stays in “My shop”.")
    fits(old)
    leaves(old)
    only(old, "Hood")
    old.evaluate("() => { location.hash = '#join'; }")
    old.fill("#join-typed", phrase)
    old.tap("#join-ask button")
    leaves(old)
    only(old, "Roof")


def test_joining_waits_until_what_was_tapped_is_sent(server, phones):
    new, old = keeper_of(server, phones, "Hood"), keeper_of(server, phones, "Roof")
    mover = member(old, phones, server.address)
    _, secret = code(new)
    mover.route("**/sync", lambda route: route.fulfill(status=503, body="no"))
    put_panel(mover, "Tailgate")
    comes_by(mover, secret)
    expect(mover.locator("#join-waits")).to_contain_text("1 tap stands only on this phone, made in “My shop”.")
    expect(mover.locator("#join-in")).to_be_hidden()
    fits(mover)
    mover.unroute("**/sync")
    ask(mover)
    expect(mover.locator("#join-waits")).to_have_text("")
    leaves(mover)
    only(mover, "Hood")
    go(old, "Floor")
    ask(old)
    expect(card(old, "Tailgate")).to_be_visible()


def test_an_ended_phone_takes_its_waiting_taps_out_before_it_joins_another_shop(server, phones):
    new, old = keeper_of(server, phones, "Hood"), keeper_of(server, phones, "Roof")
    mover = member(old, phones, server.address)
    ends(old, "Mover")
    put_panel(mover, "Tailgate")
    expect(mover.locator("#signal-words")).to_contain_text("A keeper has ended this phone.")
    _, secret = code(new)
    comes_by(mover, secret)
    expect(mover.locator("#join-waits")).to_contain_text("That shop has ended this phone")
    expect(mover.locator("#join-in")).to_be_hidden()
    fits(mover)
    with mover.expect_download() as download:
        mover.tap("#join-take")
    said = json.loads(download.value.path().read_text())
    assert [act["name"] for act in said["acts"]] == ["Tailgate"]
    mover.fill("#join-name", "Mover")
    mover.tap("#join-in")
    only(mover, "Hood")


def test_an_ended_phone_that_joins_its_shop_again_sends_what_waited(server, phones):
    old = keeper_of(server, phones, "Roof")
    mover = member(old, phones, server.address)
    ends(old, "Mover")
    put_panel(mover, "Tailgate")
    expect(mover.locator("#signal-words")).to_contain_text("1 tap waits")
    _, secret = code(old)
    comes_by(mover, secret)
    expect(mover.locator("#join-waits")).to_have_text("")
    mover.fill("#join-name", "Mover")
    mover.tap("#join-in")
    expect(mover.locator("#screen-floor")).to_be_visible()
    heard(mover)
    expect(mover.locator("#floor .card")).to_have_count(2)
    go(old, "Floor")
    ask(old)
    expect(card(old, "Tailgate")).to_be_visible()


def test_an_answer_lost_on_the_way_still_brings_the_phone_in(server, phones):
    new, old = keeper_of(server, phones, "Hood"), keeper_of(server, phones, "Roof")
    mover = member(old, phones, server.address)
    _, secret = code(new)
    comes_by(mover, secret)
    tried, lost = [], []

    def lose(route):
        if tried:
            return route.continue_()
        tried.append(route)
        route.abort()  # first: else the stream may tell the phone where it is before its answer is lost
        lost.append(mover.context.request.fetch(route.request).status)
        return None

    mover.route("**/join", lose)
    leaves(mover)
    expect(mover.locator("#join-why")).to_contain_text("The server is not reached: no signal, or it is off.")
    while not lost:
        mover.wait_for_timeout(50)
    assert lost == [200]
    ask(mover)  # the phone finds that it is in another shop than it shows
    only(mover, "Hood")


def test_another_page_of_the_phone_goes_along_to_the_new_shop(server, phones):
    new, old = keeper_of(server, phones, "Hood"), keeper_of(server, phones, "Roof")
    mover = member(old, phones, server.address)
    beside = mover.context.new_page()
    beside.goto(server.address)
    ready(beside)
    expect(beside.locator("#floor .card h2")).to_have_text(["Roof"])
    _, secret = code(new)
    comes_by(mover, secret)
    leaves(mover)
    only(mover, "Hood")
    only(beside, "Hood")
