"""What is no good is not taken: altered, of another shop, of another time, too large, not true.  Nothing changes."""

import json
import os
import time

import pytest
from playwright.sync_api import expect

from tests import packs
from tests.conftest import ROOT
from timers.core.acts import new_id

from .conftest import furnished, heard
from .handed import meta, outbox, paste, take
from .test_screens import go

pytestmark = pytest.mark.browser
ALTERED = (ROOT / "tests/browser/altered.js").read_text()
COUNT = 100_000  # tests/soak/test_codes_soak.py tries a hundred thousand
UNDO_SUBTLE = "Object.defineProperty(crypto, 'subtle', { value: undefined })"


def read(temp_dc: int = 200, **more) -> dict:
    at = time.time_ns() // 1_000_000
    return {"id": new_id(at, os.urandom(10)), "at": at, "on": "air", "kind": "air_read", "temp_dc": temp_dc, **more}


def altered(text: str, at: int) -> str:
    return text[:at] + ("0" if text[at] != "0" else "1") + text[at + 1 :]


def resigned(parts: list[str], key: str, change) -> str:
    """The first part with its head changed and signed again: what only a phone of the shop could make."""
    part = bytearray(packs.unlettered(parts[0])[:-16])
    change(part)
    return packs.letters(bytes(part) + packs.signed(key, "part", bytes(part))[:16])


def bad(key: str, shop: str) -> dict[str, tuple[list[str], str]]:
    """Texts by what is wrong with them, and words of the refusal."""
    act = read()
    (good,) = packs.made([act], key, shop)
    made = lambda acts, **more: packs.made(acts, key, shop, **more)  # noqa: E731
    bomb = packs.squeezed(b'{"acts": [' + b" " * 40_000_000 + b"]}")
    one, two = made([read() for _ in range(3)], of=2)
    swapped = [
        resigned([two], key, lambda part: part.__setitem__(13, 1)),
        resigned([one], key, lambda part: part.__setitem__(13, 2)),
    ]
    lots = {
        name: resigned([good], key, lambda part, of=of: part.__setitem__(slice(13, 15), bytes(of)))
        for name, of in (("0 of 1", (0, 1)), ("2 of 1", (2, 1)), ("1 of 41", (1, 41)))
    }
    return {
        "no code": (["hello"], "This is no code for taking over."),
        "another code": (["https://example.org/menu"], "This is no code for taking over."),
        "too short": (["ABC"], "This is no code for taking over."),
        "endless": (["A" * 300_000], "This is no code for taking over."),
        "in small letters": ([good.lower()], "This is no code for taking over."),
        "a sign altered": ([altered(good, 60)], "This code was altered"),
        "the last sign altered": ([altered(good, len(good) - 2)], "This code was altered"),
        "another key": (packs.made([act], "ab" * 32, shop), "This code was altered"),
        "another shop": (packs.made([act], key, "01936d2e-7a10-7cc3-98c4-dc0c0c07398f"), "another shop"),
        "a later version": (made([act], version=2), "a newer Sandtime"),
        "version 0": (made([act], version=0), "too old"),
        **{name: ([text], "This code was altered") for name, text in lots.items()},
        "pieces in each other's place": (swapped, "do not belong together"),
        "a bomb": (made([], body=bomb, of=40), "is too much"),
        "not deflated": (made([], body=b"\xff" * 40), "cannot be unpacked"),
        "something after the end": (made([], body=packs.squeezed(b'{"acts": []}') + b"x"), "cannot be unpacked"),
        "cut off": (made([], body=packs.squeezed(json.dumps({"acts": [act]}).encode())[:-9]), "cannot be unpacked"),
        "no JSON": (made([], body=packs.squeezed(b"acts")), "are no taps"),
        "no UTF-8": (made([], body=packs.squeezed(b'{"acts": ["\xff"]}')), "are no taps"),
        "no list": (made({"0": act}), "are no taps"),
        "nothing": (made([]), "are no taps"),
        "null": (made([], body=packs.squeezed(b"null")), "are no taps"),
        "no act": (made([7]), "A tap in it cannot be kept"),
        "too hot": (made([act, read(5_000)]), "The temperature must be from -40 to 60 °C"),
        "three days ahead": (made([{**act, "at": act["at"] + 3 * 86_400_000}]), "more than two days from now"),
        "one number twice": (made([act, {**act, "temp_dc": 210}]), "A number stands for two taps"),
    }


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
    change = "async (said) => Object.assign((await import('/static/joined/floor.js')).$shop.meta, said)"
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
