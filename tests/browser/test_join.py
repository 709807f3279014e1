"""Two phones: one shows a code, the other joins by the link or by the typed code, and holds the whole floor offline."""

import pytest
from playwright.sync_api import expect

from shop.phones import code_alphabet

from .conftest import TALL_PHONE, add_panel, card, heard, kept_offline, ready, with_our_clock
from .test_screens import fits, go

pytestmark = pytest.mark.browser


def to_phones(page):
    go(page, "Book")
    page.locator("a[href='#phones']").tap()
    expect(page.locator("#phones-words")).to_have_text("This is a keeper's phone.")


def code(page, role: str = "painter") -> tuple[str, str]:
    """A keeper's phone shows a code: the nine signs, and the link in the picture."""
    with page.expect_response("**/phones/code") as answer:
        page.locator(f"[data-do=phones-let][data-role={role}]").tap()
    expect(page.locator("#phones-qr path")).to_be_visible()
    said = answer.value.json()
    expect(page.locator("#phones-code")).to_have_text(code_alphabet.grouped(said["code"], 3))
    return said["code"], said["secret"]


def joins(page, name: str = "Bench", person: str = ""):
    """A phone that has found the shop goes in."""
    page.fill("#join-name", name)
    page.fill("#join-person", person)
    page.tap("#join-in")
    expect(page.locator("#screen-floor")).to_be_visible()


def types(page, typed: str):
    page.fill("#join-typed", typed)
    page.tap("[data-do=join-look]")


def in_theme(page, theme: str):
    page.evaluate("(theme) => { document.documentElement.dataset.theme = theme; }", theme)


def test_a_phone_joins_by_the_link_and_holds_the_floor_with_no_signal(server, phones):
    keeper = phones(server.address)
    heard(keeper)
    add_panel(keeper, "Left front door")
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
    expect(keeper.locator("#phones-words")).to_have_text("“Bench” is in, as painter.")
    expect(keeper.locator("#phones-opening")).to_be_hidden()
    expect(keeper.locator(".phonerow", has_text="Bench")).to_contain_text("painter")

    kept_offline(other)
    other.context.set_offline(True)
    other.reload()
    ready(other)
    expect(card(other, "Left front door")).to_be_visible()


def test_a_phone_joins_by_the_typed_code_from_its_empty_floor_by_keyboard(server, phones):
    keeper = phones(server.address)
    heard(keeper)
    add_panel(keeper, "Hood")
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
    add_panel(other, "Roof")
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


def test_a_code_that_nobody_used_goes_from_the_screen_after_five_minutes(server, phones):
    keeper = phones(server.address)
    heard(keeper)
    with_our_clock(keeper)
    to_phones(keeper)
    code(keeper)
    expect(keeper.locator("#phones-left")).to_contain_text("Good for 5 min more.")
    for word in ("sync", "clock"):  # the server would say that these five minutes have not passed
        keeper.route(f"**/{word}", lambda route: route.abort())
    keeper.clock.run_for(301_000)
    expect(keeper.locator("#phones-opening")).to_be_hidden()
    expect(keeper.locator("#phones-words")).to_have_text("The code is over: nobody came in by it. Make a new one.")


def test_the_picture_holds_the_link(server, phones):
    """Each module of the picture is dark where the library says so for this address, its quiet zone is light."""
    keeper = phones(server.address)
    heard(keeper)
    to_phones(keeper)
    _, secret = code(keeper)
    same = keeper.evaluate(
        """async (text) => {
          const { generate, correction } = await import('/static/vendor/lean-qr.mjs');
          const code = generate(text, { minCorrectionLevel: correction.M });
          const svg = document.getElementById('phones-qr');
          const [, , side] = svg.getAttribute('viewBox').split(' ').map(Number);
          const path = new Path2D(svg.firstElementChild.getAttribute('d'));
          const context = new OffscreenCanvas(1, 1).getContext('2d');
          let wrong = side === code.size + 8 ? 0 : 1;
          for (let y = -4; y < side - 4; y += 1) for (let x = -4; x < side - 4; x += 1)
            wrong += context.isPointInPath(path, x + .5, y + .5) === Boolean(code.get(x, y)) ? 0 : 1;
          return wrong;
        }""",
        f"{server.address}#join={secret}",
    )
    assert same == 0
