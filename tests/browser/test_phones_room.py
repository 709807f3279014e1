"""The keeper's room: roles, a phone ended and let back in, the last keeper, the phrase; and the tablet on the wall."""

import pytest
from playwright.sync_api import expect

from .conftest import card, deed, heard, kept_offline, lay, put_panel, ready
from .test_join import code, in_theme, joins, to_phones, types
from .test_screens import fits, go

pytestmark = pytest.mark.browser
ACTS = """() => [...document.querySelectorAll('button, input, select, summary')]
  .filter((node) => node.checkVisibility({visibilityProperty: true}) && !node.disabled)
  .map((node) => node.dataset.do || node.id)"""
WAITING = "async () => (await import('/static/joined/floor.js')).$data_state.unsent().length"


def shop(server, phones, role: str = "painter", name: str = "Bench", **options):
    """A keeper's phone in the room of the phones, and another that has joined."""
    keeper = phones(server.address)
    heard(keeper)
    put_panel(keeper, "Hood")
    heard(keeper)
    to_phones(keeper)
    _, secret = code(keeper, role)
    other = phones(f"{server.address}#join={secret}", **options)
    expect(other.locator("#join-shop")).to_be_visible()
    joins(other, name)
    expect(card(other, "Hood")).to_be_visible()
    heard(other)
    expect(row(keeper, name)).to_be_visible()
    return keeper, other


def row(page, name: str):
    return page.locator(".phonerow").filter(has=page.locator("b", has_text=name))


def does(page, name: str, button: str):
    """A button of a phone's row."""
    row(page, name).get_by_role("button", name=button, exact=True).tap()


def ask(page):
    """The page looks at the server again, as it does when signal comes back."""
    page.evaluate("() => dispatchEvent(new Event('online'))")


def test_a_phone_is_ended_keeps_its_tap_says_so_and_sends_it_when_let_back_in(server, phones):
    keeper, other = shop(server, phones)
    does(keeper, "Bench", "Change")
    fits(keeper)
    does(keeper, "Bench", "End this phone")
    expect(row(keeper, "Bench").locator(".small p")).to_contain_text("End “Bench”?")
    fits(keeper)
    does(keeper, "Bench", "No")
    does(keeper, "Bench", "End this phone")
    does(keeper, "Bench", "Yes, end it")
    expect(row(keeper, "Bench")).to_contain_text("ended now")

    put_panel(other, "Roof")
    expect(other.locator("#signal-words")).to_have_text(
        "A keeper has ended this phone. What it holds stays on it. 1 tap waits on this phone."
    )
    fits(other)
    other.reload()
    ready(other)
    expect(card(other, "Roof")).to_be_visible()

    does(keeper, "Bench", "Let it back in")
    expect(row(keeper, "Bench")).not_to_contain_text("ended")
    ask(other)
    heard(other)
    go(keeper, "Floor")
    ask(keeper)
    expect(card(keeper, "Roof")).to_be_visible()


def test_the_last_keeper_can_neither_be_ended_nor_given_another_role(server, phones):
    keeper, other = shop(server, phones)
    own = row(keeper, "No name yet")
    does(keeper, "No name yet", "Change")
    does(keeper, "No name yet", "Painter")
    last = "This is the last keeper's phone. Make another one keeper first. Nothing was changed."
    expect(own.locator(".why")).to_have_text(last)
    fits(keeper)
    does(keeper, "Bench", "Change")
    does(keeper, "Bench", "Keeper")
    pressed = row(keeper, "Bench").get_by_role("button", name="Keeper")
    expect(pressed).to_have_attribute("aria-pressed", "true")
    does(keeper, "No name yet", "Change")
    does(keeper, "No name yet", "Painter")
    expect(keeper.locator("#phones-words")).to_have_text("This is a painter's phone. A keeper's phone lets others in.")
    expect(keeper.locator("#phones-keeper")).to_have_count(0)
    go(other, "Book")
    other.locator("a[href='#phones']").tap()
    expect(other.locator("#phones-keeper")).to_be_visible()


def test_the_recovery_phrase_is_shown_once_and_makes_another_phone_keeper(server, phones):
    keeper = phones(server.address)
    heard(keeper)
    put_panel(keeper, "Hood")
    heard(keeper)
    to_phones(keeper)
    expect(keeper.locator("#phones-phrase-words")).to_contain_text("None yet.")
    keeper.tap("#phones-phrase-deed")
    expect(keeper.locator("#phones-paper")).to_be_visible()
    phrase = keeper.locator("#phones-phrase").text_content()
    assert len(phrase.split()) == 8
    fits(keeper)
    keeper.emulate_media(media="print")
    expect(keeper.locator("#phones-phrase")).to_be_visible()
    for hidden in (".bar", "#phones-list", "#phones-paper-deeds"):
        expect(keeper.locator(hidden)).to_be_hidden()
    keeper.emulate_media(media="screen")
    keeper.tap("#phones-paper-deeds [data-do=room-clear]")
    expect(keeper.locator("#phones-paper")).to_have_count(0)
    assert phrase not in keeper.content()
    expect(keeper.locator("#phones-phrase-words")).to_contain_text("There is one, on paper.")

    other = phones(f"{server.address}#join")
    types(other, phrase.lower())
    expect(other.locator("#join-shop")).to_have_text("“My shop” takes this phone in as a keeper's phone.")
    joins(other, "New keeper")
    expect(card(other, "Hood")).to_be_visible()
    to_phones(other)


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280)], ids=["1280x800", "800x1280"])
def test_a_tablet_on_the_wall_sees_the_floor_big_and_has_no_button_that_acts(server, phones, size):
    view = {"viewport": {"width": size[0], "height": size[1]}, "device_scale_factor": 1}
    keeper, wall = shop(server, phones, "wall", "Wall", **view)
    go(keeper, "Floor")
    put_panel(keeper, "Roof")
    for _ in range(3):
        deed(card(keeper, "Hood"), "done")
    expect(card(keeper, "Hood").locator("[data-text=step]")).to_have_text("Glazing putty")
    lay(keeper, "Hood")
    expect(card(keeper, "Hood")).to_have_attribute("data-state", "wait")
    heard(keeper)
    ask(wall)
    expect(card(wall, "Hood")).to_have_attribute("data-state", "wait")
    for theme in ("sun", "dark"):
        in_theme(wall, theme)
        fits(wall)
    assert wall.evaluate(ACTS) == ["open", "open"]
    boxes = [card(wall, name).bounding_box() for name in ("Hood", "Roof")]
    assert (boxes[0]["y"] == boxes[1]["y"]) == (size[0] == 1280)  # side by side where there is room
    assert all(box["width"] > 500 for box in boxes)
    left = card(wall, "Hood").locator(".left")
    assert left.evaluate("(node) => parseFloat(getComputedStyle(node).fontSize)") >= 64
    card(wall, "Hood").locator("h2 button").tap()
    expect(wall.locator("#panel-name")).to_have_text("Hood")
    assert wall.evaluate(ACTS) == ["open"]
    fits(wall)
    go(wall, "Book")
    assert set(wall.evaluate(ACTS)) == {"theme", "tongue", "sync-now"}
    leads = (
        "() => [...document.querySelectorAll('#screen-book a')].filter((a) => a.checkVisibility()).map((a) => a.hash)"
    )
    assert wall.evaluate(leads) == ["#help", "#phones", "#join", "#ring"]  # and nowhere it may not act


def test_a_tap_made_on_a_wall_all_the_same_is_not_born_and_what_waited_is_refused_and_kept(server, phones):
    keeper, other = shop(server, phones)
    other.context.set_offline(True)
    put_panel(other, "Roof")
    expect(other.locator("#signal-words")).to_contain_text("1 tap waits on this phone")
    does(keeper, "Bench", "Change")
    does(keeper, "Bench", "Wall")
    expect(row(keeper, "Bench")).to_contain_text("on the wall, looks only")
    other.context.set_offline(False)
    ask(other)
    expect(other.locator("#signal-words")).to_have_text("Saved. 1 tap refused: look in the Book.")
    expect(other.locator("body")).to_have_attribute("data-role", "wall")
    other.evaluate("() => document.querySelector('#floor [data-do=done]').click()")
    expect(other.locator("#notice-words")).to_have_text(
        "This phone is on the wall: it may only look. Nothing was saved."
    )
    assert other.evaluate(WAITING) == 0
    go(other, "Book")
    expect(other.locator("#waiting")).to_contain_text("Panel added: Roof")
    expect(other.locator("#waiting .why")).to_contain_text("it may only look")
    does(keeper, "Bench", "Painter")
    expect(row(keeper, "Bench")).not_to_contain_text("on the wall, looks only")
    ask(other)
    other.locator("[data-do=say-now]").tap()
    heard(other)
    go(other, "Floor")
    expect(card(other, "Roof")).to_be_visible()


def test_a_door_that_a_keeper_closes_says_how_to_get_in_and_opens_again(one_shop, phones):
    keeper = phones(one_shop.address)
    heard(keeper)
    put_panel(keeper, "Hood")
    to_phones(keeper)
    words, door = keeper.locator("#phones-door-words"), keeper.locator("#phones-door-deed")
    expect(words).to_contain_text("Open:")
    door.tap()
    expect(words).to_contain_text("Closed: a phone comes in by a code only.")
    expect(door).to_have_text("Open the door")
    fits(keeper)

    other = phones(one_shop.address)
    expect(other.locator("#signal-words")).to_contain_text("Ask a phone of your shop to let this one in.")
    put_panel(other, "Roof", "Empty")  # tapped before it is in: not lost
    door.tap()
    expect(words).to_contain_text("Open:")
    ask(other)
    expect(card(other, "Hood")).to_be_visible()
    heard(other)
    go(keeper, "Floor")
    expect(card(keeper, "Roof")).to_be_visible()


def test_a_server_that_is_off_is_not_said_to_be_no_signal(own_server, phones):
    page = phones(own_server.address)
    heard(page)
    kept_offline(page)
    page.wait_for_function("() => document.body.dataset.whole === 'yes'")
    own_server.stop()
    off = "The server is not reached: no signal, or it is off. "
    rooms = {
        "thermometer": "Thermometers can be seen, made and ended once it answers.",
        "phones": "Phones can be seen, let in and changed once it answers.",
    }
    for room, words in rooms.items():
        page.evaluate("(room) => { location.hash = room; }", room)
        expect(page.locator(f"#screen-{room} [data-asked]")).to_have_text(f"{off}{words}")
        expect(page.locator(f"#screen-{room} [data-again]")).to_be_visible()
