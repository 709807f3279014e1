"""A walk through every screen in a made-up tongue: nothing is said that was not looked up, and longer words fit."""

from pathlib import Path

import pytest

from tests import pseudo

from .conftest import PHONE, TALL_PHONE, Server, in_hand
from .walk import WHY, stops

pytestmark = pytest.mark.browser
MEASURES = Path(__file__).with_name("measures.js").read_text("utf-8")
BARE = Path(__file__).with_name("bare_words.js").read_text("utf-8")
SIZED = """['sideways', 'clipped']
  .flatMap((look) => measures[look]().map((said) => `${look}: ${said}`))"""
# What the walk itself types, and names that are the same in every tongue; each as it stands whole.
DATA = ["Sandtime", "English", "Español", "Deutsch", "Grey estate", "Walk", "so much", "Any putty", "Wrong", WHY]
DATA += [
    f"Panel {name}" for name in ["waits", "open", "closing", "shut", "still", "asked", "free", "finished", "away"]
] + ["Panel try it"]
DATA += [
    "Panel try it",
    "Surfacer",
    "Putty",
    "Block P180",
    "Block P120",
    "Wash",
    "Paint",
    "Hardener",
    "Reducer",
]  # in acts of the walk


@pytest.fixture(scope="module")
def walked(tmp_path_factory, chromium):
    """What was read outside of brackets, and what did not fit, by the stop of the walk."""
    folder = tmp_path_factory.mktemp("pseudo")
    running = Server(folder / "data").start(SANDTIME_LOCALE=str(pseudo.made_in(folder / "locale")), SANDTIME_STATIC="")
    context = chromium.new_context(**PHONE, service_workers="allow", locale="de-DE")
    try:
        yield _walked(context.new_page(), running.address)
    finally:
        context.close()
        running.stop()


def _walked(page, address: str) -> dict:
    page.goto(address)
    page.wait_for_function("() => document.body?.dataset.ready === 'yes'")
    in_hand(page)
    page.evaluate(MEASURES)
    page.evaluate(BARE)
    found = {"words": {}, "sizes": {}}
    for name in stops(page):
        if said := page.evaluate("([data, units]) => window.bareWords(data, units)", [DATA, sorted(pseudo.UNITS)]):
            found["words"][name] = said
        for size in (TALL_PHONE, PHONE):
            page.set_viewport_size(size["viewport"])
            if said := page.evaluate(SIZED):
                found["sizes"][f"{name}, {size['viewport']['width']}"] = said
    return found


def test_every_word_was_looked_up(walked):
    assert walked["words"] == {}, "\n".join(sorted({one for said in walked["words"].values() for one in said}))


def test_words_two_fifths_longer_fit(walked):
    assert walked["sizes"] == {}
