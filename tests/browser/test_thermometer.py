"""A keeper makes a thermometer a token, runs the line that is shown, sees what it said, ends it."""

import json
import shlex
import urllib.error
import urllib.request

import pytest
from playwright.sync_api import expect

from .conftest import TALL_PHONE, heard
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
    page.tap("[data-do=thermometer-make]")
    expect(page.locator("#thermometer-told")).to_be_visible()
    row = page.locator("#thermometer-list li")
    expect(row.locator("[data-text=words]")).to_have_text("Not heard yet.")
    expect(row.locator("[data-text=name]")).to_have_text("By the <b>door</b>")
    fits(page)
    line = page.input_value("#thermometer-line")

    status, said = run(line)
    assert (status, json.loads(said)["kept"]) == (201, True)
    page.reload()
    expect(page.locator("#air-words")).to_contain_text("18.5 °C")
    opened(page)
    expect(row.locator("[data-text=words]")).to_contain_text("18.5 °C, 52 %, read")
    expect(page.locator("#thermometer-told")).to_be_hidden()

    row.locator("[data-do=thermometer-end]").tap()
    expect(row).to_have_count(0)
    assert run(line) == (401, "This thermometer belongs to no shop here. Nothing was saved.")


def test_without_a_name_or_without_signal_it_says_so_and_makes_nothing(server, phones):
    page = phones(server.address)
    heard(page)
    opened(page)
    page.tap("[data-do=thermometer-make]")
    expect(page.locator("#notice-words")).to_contain_text("Say where it hangs first")
    page.context.set_offline(True)
    page.fill("#thermometer-name", "By the door")
    page.tap("[data-do=thermometer-make]")
    expect(page.locator("#notice-words")).to_contain_text("No signal")
    expect(page.locator("#thermometer-words")).to_contain_text("No signal")
    expect(page.locator("#thermometer-told")).to_be_hidden()
    assert page.input_value("#thermometer-name") == "By the door"
