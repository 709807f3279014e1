"""What a phone must not take: texts by what is wrong with them, each with words of its refusal."""

import json
import os
import time
from functools import partial

from timers.core.acts.envelope import new_id

from . import packs

ELSEWHERE = "01936d2e-7a10-7cc3-98c4-dc0c0c07398f"
DAY_MS = 86_400_000


def read(temp_dc: int = 200, **more) -> dict:
    """A temperature that was read just now."""
    at = time.time_ns() // 1_000_000
    return {"id": new_id(at, os.urandom(10)), "at": at, "on": "air", "kind": "air_read", "temp_dc": temp_dc, **more}


def bad(key: str, shop: str) -> dict[str, tuple[list[str], str]]:
    """Every kind of what must not be taken by a phone of this shop: {what: (texts in their order, words)}."""
    made = partial(packs.made, key=key, shop=shop)
    return {**_strange(), **_altered(key, shop, made), **_signed_by_our_own(key, made), **_bodies(made), **_acts(made)}


def _strange() -> dict:
    texts = {
        "no code": "hello",
        "another code": "https://example.org/menu",
        "too short": "ABC",
        "endless": "A" * 300_000,
    }
    return {what: ([text], "This is no code for taking over.") for what, text in texts.items()}


def _altered(key: str, shop: str, made) -> dict:
    (good,) = made([read()])
    return {
        "in small letters": ([good.lower()], "This is no code for taking over."),
        "a sign altered": ([_other_sign(good, 60)], "This code was altered"),
        "a sign near the end altered": ([_other_sign(good, len(good) - 2)], "This code was altered"),
        "another key": (packs.made([read()], "ab" * 32, shop), "This code was altered"),
        "another shop": (packs.made([read()], key, ELSEWHERE), "another shop"),
        "a later version": (made([read()], version=2), "a newer Sandtime"),
        "version 0": (made([read()], version=0), "too old"),
    }


def _other_sign(text: str, at: int) -> str:
    return text[:at] + ("0" if text[at] != "0" else "1") + text[at + 1 :]


def _signed_by_our_own(key: str, made) -> dict:
    """Heads that only a phone that has the key could sign, and that none of ours writes."""
    (good,), (one, two) = made([read()]), made([read() for _ in range(3)], of=2)
    counts = {"part 0 of 1": (0, 1), "part 2 of 1": (2, 1), "part 1 of 41": (1, 41)}
    return {
        **{what: ([_counted(good, key, *count)], "This code was altered") for what, count in counts.items()},
        "pieces in each other's place": (
            [_counted(two, key, 1, 2), _counted(one, key, 2, 2)],
            "do not belong together",
        ),
    }


def _counted(text: str, key: str, part: int, of: int) -> str:
    """A part that says another count, signed again."""
    data = packs.unlettered(text)[:-16]
    data = data[:13] + bytes([part, of]) + data[15:]
    return packs.letters(data + packs.signed(key, "part", data)[:16])


def _bodies(made) -> dict:
    """Bodies that are no acts; one of them of 40 MB, once unpacked."""
    whole = packs.squeezed(json.dumps({"acts": [read()]}).encode())
    unpacked = {
        "a bomb": packs.squeezed(b'{"acts": [' + b" " * 40_000_000 + b"]}"),
        "not deflated": b"\xff" * 40,
        "something after the end": whole + b"x",
        "cut off": whole[:-9],
    }
    said = {
        "no JSON": b"acts",
        "no UTF-8": b'{"acts": ["\xff"]}',
        "null": b"null",
        "nothing": b'{"acts": []}',
        "no list": b'{"acts": {"0": 1}}',
        "too many": json.dumps({"acts": [0] * 1_001}).encode(),
    }
    return {
        **{
            what: (made([], body=body, of=-(-len(body) // 1_000)), "cannot be unpacked, or is too much")
            for what, body in unpacked.items()
        },
        **{what: (made([], body=packs.squeezed(body)), "are no taps") for what, body in said.items()},
    }


def _acts(made) -> dict:
    act = read()
    ahead = {**read(), "at": act["at"] + 3 * DAY_MS}
    return {
        "no act": (made([7]), "A tap in it cannot be kept"),
        "one of two too hot": (made([act, read(5_000)]), "The temperature must be from -40 to 60 °C"),
        "three days ahead": (made([ahead]), "more than two days from now"),
        "one number twice": (made([act, {**act, "temp_dc": 210}]), "A number stands for two taps"),
    }
