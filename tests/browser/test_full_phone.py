"""A phone that is full: what it could not keep is never said to be kept, and is not lost while the page is open."""

import json

import pytest
from playwright.sync_api import expect

from .conftest import add_panel, card, deed, heard, ready
from .test_two_pages import ON_DISK

pytestmark = pytest.mark.browser
FULL = """() => { window.put ??= IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = () => { throw new DOMException('full', 'QuotaExceededError'); }; }"""
ROOM = "() => { IDBObjectStore.prototype.put = window.put; }"
LOOSE = "3 taps are only on this page: keep it open"
DONE = ("Hood", "Roof", "Tailgate")


@pytest.fixture
def full(one_shop, phones):
    """Three cards, no signal, no room: Done on each."""
    page = phones(one_shop.address, worker=True)
    heard(page)
    for name in DONE:
        add_panel(page, name)
    heard(page)
    page.context.set_offline(True)
    page.evaluate(FULL)
    for name in DONE:
        deed(card(page, name), "done")
        expect(card(page, name).locator("[data-text=place]")).to_contain_text("Step 2 of")
    return page


def test_taps_that_a_full_phone_could_not_keep_are_said_to_be_only_on_the_page(full, phones, one_shop):
    words = full.locator("#signal-words")
    full.wait_for_timeout(1_500)  # the server was asked meanwhile and did not answer: the signal is another fact
    expect(words).to_contain_text("This phone is full")
    expect(words).to_contain_text(LOOSE)
    expect(words).to_contain_text("No signal. Clocks keep running.")
    assert "on this phone" not in words.text_content()
    warned = []
    full.once("dialog", lambda dialog: (warned.append(dialog.type), dialog.dismiss()))
    full.evaluate("() => { setTimeout(() => location.reload()); }")
    full.wait_for_timeout(300)
    assert warned == ["beforeunload"]
    full.context.set_offline(False)
    full.evaluate("() => dispatchEvent(new Event('online'))")
    other = phones(one_shop.address)
    for name in DONE:
        expect(card(other, name).locator("[data-text=place]")).to_contain_text("Step 2 of")
    expect(words).not_to_contain_text("only on this page")
    expect(words).to_contain_text("This phone is full")  # nobody has seen it yet
    full.evaluate(ROOM)
    full.tap("[data-do=hush]")
    heard(full)


def test_taps_that_had_no_room_are_written_as_soon_as_there_is(full):
    full.evaluate(ROOM)
    words = full.locator("#signal-words")
    expect(words).to_contain_text("3 taps wait on this phone")
    expect(words).not_to_contain_text("only on this page")
    assert len(full.evaluate(ON_DISK)) == 3
    full.reload()
    ready(full)
    for name in DONE:
        expect(card(full, name).locator("[data-text=place]")).to_contain_text("Step 2 of")


def test_taps_that_had_no_room_can_be_taken_out_as_a_file_and_as_codes(full):
    full.tap("#signal")
    with full.expect_download() as given:
        full.tap("#take-out")
    acts = json.loads(given.value.path().read_text())["acts"]
    assert [act["kind"] for act in acts] == ["step_done"] * 3
    full.evaluate("() => { location.hash = '#hand'; }")
    expect(full.locator("#hand-unheard")).to_have_text("What the server has not heard: 3 taps")
    full.tap("[data-do=hand-show]")
    expect(full.locator("#hand-count")).to_have_text("One code")


def test_what_a_full_phone_hears_comes_to_the_disk_whole_or_not_at_all(one_shop, phones):
    page, other = phones(one_shop.address), phones(one_shop.address)
    heard(page)
    page.evaluate(FULL)
    add_panel(other, "Hood", "Empty")
    expect(card(page, "Hood")).to_be_visible()
    expect(page.locator("#signal-words")).to_contain_text("This phone is full")
    page.evaluate(ROOM)
    add_panel(other, "Roof", "Empty")
    expect(card(page, "Roof")).to_be_visible()
    page.wait_for_function("async () => !(await import('/static/joined/first.js')).$data_db.owes()")
    page.context.set_offline(True)
    page.reload()
    for name in ("Hood", "Roof"):
        expect(card(page, name)).to_be_visible()
