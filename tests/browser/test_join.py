"""Two phones: one shows a code, the other joins by the link or by the typed code, and holds the whole floor offline."""

import re
import sqlite3

import numpy as np
import pytest
from playwright.sync_api import expect

from shop.phones import code_alphabet

from .conftest import TALL_PHONE, card, heard, kept_offline, put_panel, ready
from .handed import read_by_another
from .test_screens import fits, go

pytestmark = pytest.mark.browser
BUTTONS = {"painter": "Let a painter in", "keeper": "Let a keeper in", "wall": "Put a tablet on the wall"}
MODULES = """() => {
  const svg = document.getElementById('phones-qr');
  const [least, , side] = svg.getAttribute('viewBox').split(' ').map(Number);
  const path = new Path2D(svg.firstElementChild.getAttribute('d'));
  const context = new OffscreenCanvas(1, 1).getContext('2d');
  const at = [...Array(side).keys()].map((n) => n + least + 0.5);
  return at.map((y) => at.map((x) => (context.isPointInPath(path, x, y) ? 0 : 255)));
}"""


def to_phones(page):
    go(page, "Book")
    page.locator("a[href='#phones']").tap()
    expect(page.locator("#phones-words")).to_have_text("This is a keeper's phone.")


def code(page, role: str = "painter") -> tuple[str, str]:
    """A keeper's phone shows a code: the nine signs, and the link in the picture."""
    page.get_by_role("button", name=BUTTONS[role]).tap()
    typed = page.locator("#phones-code").text_content()
    assert re.fullmatch(r"(\S{3} ){2}\S{3}", typed)
    link = read_by_another(np.array(page.evaluate(MODULES), dtype=np.uint8))
    address, _, secret = link.partition("#join=")
    assert page.url.startswith(address)
    return code_alphabet.parse(typed), secret


def joins(page, name: str = "Bench", person: str = ""):
    """A phone that has found the shop goes in."""
    page.fill("#join-name", name)
    page.fill("#join-person", person)
    page.tap("#join-in")
    expect(page.locator("#screen-floor")).to_be_visible()


def types(page, typed: str):
    page.fill("#join-typed", typed)
    page.tap("#join-ask button")


def in_theme(page, theme: str):
    page.evaluate("(theme) => { document.documentElement.dataset.theme = theme; }", theme)


def test_a_phone_joins_by_the_link_and_holds_the_floor_with_no_signal(server, phones):
    keeper = phones(server.address)
    heard(keeper)
    put_panel(keeper, "Left front door")
    heard(keeper)
    to_phones(keeper)
    fits(keeper)
    _, secret = code(keeper)
    fits(keeper)

    other = phones(f"{server.address}#join={secret}", **TALL_PHONE)
    expect(other.locator("#join-shop")).to_have_text("“My shop” takes this phone in as a painter's phone.")
    fits(other)
    other.tap("#join-in")
    expect(other.locator("#join-why")).to_have_text("Give this phone a name first: Bench, Booth. Nothing was changed.")
    joins(other)
    expect(card(other, "Left front door")).to_be_visible()
    heard(other)
    assert secret not in other.url
    expect(keeper.locator("#phones-came")).to_have_text("“Bench” is in, as painter.")
    expect(keeper.locator("#phones-opening")).to_have_count(0)
    expect(keeper.locator(".phonerow", has_text="Bench")).to_contain_text("painter")

    kept_offline(other)
    other.context.set_offline(True)
    other.reload()
    ready(other)
    expect(card(other, "Left front door")).to_be_visible()


def test_a_phone_joins_by_the_typed_code_from_its_empty_floor_by_keyboard(server, phones):
    keeper = phones(server.address)
    heard(keeper)
    put_panel(keeper, "Hood")
    heard(keeper)
    to_phones(keeper)
    typed, _ = code(keeper)
    other = phones(server.address)
    heard(other)
    other.locator(".tojoin a").focus()
    other.keyboard.press("Enter")
    expect(other.locator("#join-typed")).to_be_visible()  # its room comes late, and its heading takes the focus then
    other.locator("#join-typed").focus()
    other.keyboard.type(f"{typed[:3]} {typed[3:]}".lower())
    other.keyboard.press("Enter")
    expect(other.locator("#join-shop")).to_contain_text("takes this phone in")
    other.locator("#join-name").focus()
    other.keyboard.type("Booth")
    other.keyboard.press("Enter")
    expect(card(other, "Hood")).to_be_visible()
    heard(other)
    expect(keeper.locator(".phonerow", has_text="Booth")).to_be_visible()
    put_panel(other, "Roof")
    heard(other)
    keeper.evaluate("() => dispatchEvent(new Event('online'))")
    go(keeper, "Floor")
    expect(card(keeper, "Roof")).to_be_visible()
    expect(other.locator(".tojoin")).to_be_hidden()


def test_wrong_old_and_used_codes_are_said_in_words(server, phones):
    keeper = phones(server.address)
    heard(keeper)
    to_phones(keeper)
    typed, secret = code(keeper)
    other = phones(f"{server.address}#join")
    why = other.locator("#join-why")
    types(other, "K4T")
    expect(why).to_contain_text("A code has nine signs")
    types(other, typed[1:] + typed[0] if len(set(typed)) > 1 else "K4T7WX24A")
    expect(why).to_have_text("No keeper has given this code. Look again, or ask for a new one.")
    other.context.set_offline(True)
    types(other, typed)
    expect(why).to_have_text("No signal: the server did not answer. Tap again when there is.")
    other.context.set_offline(False)
    types(other, typed)
    joins(other)
    heard(other)
    late = phones(f"{server.address}#join={secret}")
    expect(late.locator("#join-why")).to_have_text("Another phone has used this link. Ask for a new one.")
    expect(late.locator("#join-typed")).to_be_visible()
    fits(late)


def test_a_code_that_nobody_used_goes_from_the_screen_once_it_is_over(server, phones):
    keeper = phones(server.address)
    heard(keeper)
    to_phones(keeper)
    code(keeper)
    expect(keeper.locator("#phones-left")).to_contain_text("Good until")
    with sqlite3.connect(server.folder / "sandtime.sqlite3", timeout=20) as database:
        database.execute("UPDATE shop_invite SET until_ms = 1 WHERE id = (SELECT MAX(id) FROM shop_invite)")
    expect(keeper.locator("#phones-opening")).to_have_count(0)
    expect(keeper.locator("#phones-came")).to_have_text("The code is over: nobody came in by it. Make a new one.")
    keeper.get_by_role("button", name=BUTTONS["painter"]).tap()
    expect(keeper.locator("#phones-left")).to_contain_text("Good until")
    fits(keeper)
    keeper.locator("#phones-opening").get_by_role("button", name="Close").tap()
    expect(keeper.locator("#phones-opening")).to_have_count(0)
    expect(keeper.get_by_role("button", name=BUTTONS["painter"])).to_be_visible()
