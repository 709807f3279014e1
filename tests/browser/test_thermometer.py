"""A keeper makes a thermometer a token, runs the line that is shown, sees what it said, ends it."""

import json
import shlex
import urllib.error
import urllib.request

import pytest
from playwright.sync_api import expect

from .conftest import TALL_PHONE, heard, kept_offline
from .test_screens import fits

pytestmark = pytest.mark.browser


def opened(page):
    page.tap(".bar a[href='#book']")
    page.tap("a[href='#thermometer']")
    expect(page.locator("#screen-thermometer")).to_be_visible()
    return page


def run(line: str) -> tuple[int, str]:
    """What the shown line does, word for word, without curl."""
    words = shlex.split(line)
    headers = dict(word.split(": ", 1) for at, word in enumerate(words) if words[at - 1] == "-H")
    address = next(word for word in words if word.startswith("http"))
    asked = urllib.request.Request(address, words[words.index("-d") + 1].encode(), headers)
    try:
        with urllib.request.urlopen(asked, timeout=30) as answer:
            return answer.status, answer.read().decode()
    except urllib.error.HTTPError as answer:
        return answer.code, answer.read().decode()


def test_a_token_is_made_used_and_ended(server, phones):
    page = phones(server.address, **TALL_PHONE)
    heard(page)
    opened(page)
    expect(page.locator("#thermometer-words")).to_have_text("None yet.")
    page.fill("#thermometer-name", "By the <b>door</b>")
    page.tap("#thermometer-new button")
    expect(page.locator("#thermometer-told h2")).to_be_focused()
    row = page.locator("#thermometer-list li")
    expect(row.locator("span")).to_have_text("Not heard yet.")
    expect(row.locator("b")).to_have_text("By the <b>door</b>")
    fits(page)
    line = page.input_value("#thermometer-line")

    status, said = run(line)
    assert (status, json.loads(said)["kept"]) == (201, True)
    page.reload()
    expect(page.locator("#air-words")).to_contain_text("18.5 °C")
    opened(page)
    expect(row.locator("span")).to_contain_text("18.5 °C, 52 %, read")
    expect(page.locator("#thermometer-told")).to_have_count(0)

    row.locator("button").tap()
    expect(row).to_have_count(0)
    assert run(line) == (401, "This thermometer belongs to no shop here. Nothing was saved.")


def test_without_a_name_or_without_signal_it_says_so_in_place_and_makes_nothing(server, phones):
    page = phones(server.address)
    heard(page)
    opened(page)
    why = page.locator("#thermometer-new .error")
    page.tap("#thermometer-new button")
    expect(why).to_have_text("Say where it hangs first: one word will do. Nothing was saved.")
    page.context.set_offline(True)
    page.fill("#thermometer-name", "By the door")
    page.tap("#thermometer-new button")
    expect(why).to_contain_text("No signal")
    fits(page)
    page.context.set_offline(False)
    assert page.input_value("#thermometer-name") == "By the door"
    page.press("#thermometer-name", "Enter")
    expect(page.locator("#thermometer-list li")).to_have_count(1)


def test_a_room_that_was_opened_with_no_signal_says_so_and_asks_again_when_told_to(server, phones):
    page = phones(server.address)
    heard(page)
    kept_offline(page)
    page.context.set_offline(True)
    opened(page)
    said, again = (page.locator(f"#screen-thermometer [data-{name}]") for name in ("asked", "again"))
    expect(said).to_have_text(
        "No signal: the server did not answer. Thermometers can be seen, made and ended once it answers."
    )
    fits(page)
    page.context.set_offline(False)
    again.tap()
    expect(page.locator("#thermometer-words")).to_have_text("None yet.")
    expect(said).to_be_hidden()
    expect(again).to_be_hidden()


def test_a_room_is_in_the_tongue_of_its_phone(server, phones):
    page = phones(server.address, locale="de-AT")
    heard(page)
    opened(page)
    expect(page.locator("#thermometer-words")).to_have_text("Noch keins.")
    page.tap("#thermometer-new button")
    expect(page.locator("#thermometer-new .error")).to_contain_text("Nichts wurde gespeichert.")
