"""What is no good is not taken: altered, of another shop, of another time, too large, not true.  Nothing changes."""

import os

import pytest
from playwright.sync_api import expect

from tests.conftest import ROOT
from tests.support import packs
from tests.support.bad_packs import bad, read
from timers.core.acts.envelope import new_id

from .conftest import furnished, heard
from .handed import meta, outbox, paste, take
from .test_screens import go

pytestmark = pytest.mark.browser
ALTERED = (ROOT / "tests/browser/altered.js").read_text()
COUNT = 100_000
UNDO_SUBTLE = "Object.defineProperty(crypto, 'subtle', { value: undefined })"


def test_what_is_no_good_is_refused_in_words_and_changes_nothing(server, phones):
    page = phones(server.address)
    heard(page)
    known = meta(page)
    for what, (texts, words) in bad(known["key"], known["shop"]).items():
        for no, text in enumerate(texts, start=1):
            paste(page, text)
            if no < len(texts):
                expect(page.locator("#take-link"), what).to_have_value("")
        expect(page.locator("#take-why"), what).to_contain_text(words)
        expect(page.locator("#take-why"), what).to_contain_text("Nothing was")
        expect(page.locator("#take-sets li"), what).to_have_count(0)
        assert meta(page)["taking"] == 0, what
    assert outbox(page) == []
    paste(page, "#take=" + packs.made([read(213)], known["key"], known["shop"])[0])
    expect(page.locator("#take-why")).to_be_empty()
    take(page)
    heard(page)
    go(page, "Book")
    expect(page.locator("#book")).to_contain_text("Air: 21.3 °C")


def test_an_address_that_a_camera_wrote_in_another_way_is_read(server, phones):
    page = phones(server.address)
    heard(page)
    known = meta(page)
    (text,) = packs.made([read(207)], known["key"], known["shop"])
    page.goto(f"{server.address}#take={text.replace('$', '%24').replace(':', '%3A').replace('/', '%2f')}")
    expect(page.locator(".set .say")).to_contain_text("1 tap on the air, made on another phone ")
    take(page)


def test_no_altered_text_is_read(server, phones):
    page = phones(server.address)
    heard(page)
    furnished(page)
    assert tried(page, COUNT, 1) == COUNT


def tried(page, count: int, seed: int) -> int:
    """How many altered texts were tried; none of them read, each refused in words."""
    known = meta(page)
    acts = [read(180 + n) for n in range(40)]
    texts = [
        text
        for some in (acts[:1], acts[:7], acts)
        for text in packs.made(some, known["key"], known["shop"], of=1 + len(some) // 20)
    ]
    outcome = page.evaluate(ALTERED, [texts, known, count, seed])
    assert outcome["read"] == []
    assert outcome["odd"] == []
    return outcome["tried"]


def test_it_is_said_on_whose_phone_a_tap_was_made(server, phones):
    page = phones(server.address)
    heard(page)
    known = meta(page)
    one, two, three = (new_id(1, os.urandom(10)) for _ in range(3))
    told = {one: {"person": "Ana", "name": "Red"}, two: {"person": "", "name": "Door side"}}
    page.evaluate(
        "async (told) => { (await import('/static/joined/floor.js')).$data_views.view('shop').phones = told; }", told
    )
    whose = {one: "Ana's phone", two: "Door side", three: "another phone", known["phone"]: "this phone"}
    for who, words in whose.items():
        paste(page, packs.made([read(who=who)], known["key"], known["shop"])[0])
        expect(page.locator(".set .say")).to_contain_text(f"1 tap on the air, made on {words} ")
        page.locator("[data-do=take-leave]").tap()
        expect(page.locator("#take-sets li")).to_have_count(0)
    acts = [read(who=one), read(who=two)]
    paste(page, packs.made([acts[0], {**acts[1], "at": acts[1]["at"] - 7_200_000}], known["key"], known["shop"])[0])
    expect(page.locator(".set .say")).to_contain_text("2 taps on the air, made on 2 phones ")
    expect(page.locator(".set .say")).to_contain_text(" to ")


def test_over_plain_http_it_says_that_handing_needs_https(server, phones):
    page = phones(server.address)
    heard(page)
    page.add_init_script(UNDO_SUBTLE)
    page.reload()
    for room in ("hand", "take"):
        page.evaluate("(room) => { location.hash = room; }", room)
        expect(page.locator(f"#{room}-why")).to_contain_text("Handing over needs https or localhost")
    expect(page.locator("#take-ways")).to_be_hidden()


def test_a_wall_and_a_phone_without_the_key_say_so_and_a_link_waits_for_the_key(server, phones):
    page = phones(server.address)
    heard(page)
    known = meta(page)
    change = "async (facts) => (await import('/static/joined/floor.js')).$data_state.remember(facts)"
    page.context.set_offline(True)
    page.evaluate(change, {"role": "wall", "key": ""})
    page.evaluate("() => { location.hash = 'hand'; }")
    expect(page.locator("#hand-why")).to_contain_text("A wall tablet only looks on")
    page.evaluate(change, {"role": "keeper"})
    expect(page.locator("#hand-why")).to_contain_text("has not heard the shop's key yet")
    (text,) = packs.made([read(207)], known["key"], known["shop"])
    page.evaluate("(text) => { location.hash = `take=${text}`; }", text)
    expect(page.locator("#take-why")).to_contain_text("has not heard the shop's key yet")
    page.evaluate(change, {"key": known["key"]})
    expect(page.locator(".set .say")).to_contain_text("1 tap on the air")


def test_nine_lots_that_are_not_whole_are_one_too_many(server, phones):
    page = phones(server.address)
    heard(page)
    known = meta(page)
    for n in range(9):
        paste(page, packs.made([read(180 + n)], known["key"], known["shop"], of=3)[0])
        expect(page.locator("#take-sets li")).to_have_count(min(n + 1, 8))
    expect(page.locator("#take-why")).to_contain_text("8 lots wait here already")
    assert outbox(page) == []
