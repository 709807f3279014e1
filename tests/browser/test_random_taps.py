"""Random taps with no signal: what the cards showed is what the server reckons for the same moment."""

from pathlib import Path

import pytest
from playwright.sync_api import expect

from shop.models import Shop
from timers.core.acts.envelope import new_id
from timers.defaults import products
from timers.log import reader, writer
from timers.web.pages import now_ms

from .conftest import card, heard, kept_offline

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

# Every card, and each other lane of it, as a part of its own.
READ_CARDS = """(root) => [...root.querySelectorAll('.card, .lane')].map((part) => {
  const isOwn = (node) => node.closest('.card, .lane') === part;
  const own = (selector) => [...part.querySelectorAll(selector)].filter(isOwn);
  return {
    on: part.closest('.card').dataset.on, state: part.dataset.state,
    words: own('[data-text]').map((node) => [node.dataset.text, node.textContent]),
    shape: own('.strip')[0].dataset.shape,
    names: own('.deeds button').map((button) => button.dataset.do),
    buttons: own('.deeds button:not([hidden])').map((button) => button.dataset.do) };
})"""
SHOWN = f"""() => ({{ now: Number(document.body.dataset.paintedAt),
  cards: ({READ_CARDS})(document.querySelector('#floor')) }})"""
TAPS = (Path(__file__).parent / "random_taps.js").read_text()
LAST_KEPT = """async () =>
  (await import('/static/joined/floor.js')).$data_state.rows().at(-1).act.kind"""
# Painted since the finger left: cards keep their places for a moment after a touch.
PAINTED_CALM = "(since) => Number(document.body.dataset.paintedAt) > since + 2_500"


def quick_sheets(shop: Shop) -> None:
    """Sheets with gates of seconds, so that films pass through all their states within the test."""
    acts = []
    for at, doc in enumerate(products.PRODUCTS):
        gates = {gate: [[200, 2_000, 1_000 * (3 + at % 4)]] for gate in doc["gates"]}
        gates |= {"recoat_by": [[200, 7_000, 9_000]]} if "recoat_by" in gates else {}
        gates |= {"recoat_again": [[200, 10_000, 14_000]]} if "recoat_again" in gates else {}
        quick = {**doc, "name": f"Quick {doc['name']}", "gates": gates, "variants": []}
        act = {"id": new_id(now_ms(), bytes([at] * 10)), "at": now_ms(), "on": f"product:{doc['id']}"}
        acts.append({**act, "kind": "sheet_written", "doc": quick})
    assert {verdict["verdict"] for verdict in writer.append(shop.pk, None, acts, now_ms())} == {writer.KEPT}


def lay_on_a_last_panel(page):
    """A panel brought to its putty and laid on, by clicks that pass under a ring, as those of random_taps.js do:
    with sheets of seconds one may come up over any button at any moment."""

    def press(button):
        button.dispatch_event("click")

    press(page.locator("#screen-floor [data-do=add]").first)
    page.fill("#add-name", "Last one")
    press(page.locator("#add-routes button:has-text('Chips and small dings')"))
    last = card(page, "Last one")
    step = last.locator("[data-text=step]")
    while (said := step.text_content()) != "Glazing putty":
        press(last.locator(".deeds [data-do=done]"))
        expect(step).not_to_have_text(said)
    press(last.locator(".deeds [data-do=lay]"))
    press(page.locator("#lay-offers button").first)


@pytest.mark.parametrize("seed", [12])
def test_cards_shown_with_no_signal_are_the_cards_the_server_reckons(live_server, phones, settings, seed):
    settings.OPEN_SHOP = True
    page = phones(f"http://localhost:{live_server.url.rsplit(':')[-1]}/", timezone_id="America/St_Johns")
    heard(page)
    kept_offline(page)
    shop = Shop.objects.get()
    quick_sheets(shop)
    page.evaluate("() => dispatchEvent(new Event('online'))")
    page.locator(".bar a", has_text="Shelf").tap()
    expect(page.locator("#products h2", has_text="Quick")).to_have_count(len(products.PRODUCTS))
    page.locator(".bar a", has_text="Floor").tap()

    page.context.set_offline(True)
    page.reload()
    expect(page.locator("body[data-ready=yes]")).to_be_visible()
    done = page.evaluate(TAPS, {"seed": seed, "taps": 180})
    assert set(done) >= {"add-panel", "lay-film", "air-tell", "done", "ready", "send-back", "undo-last"}
    lay_on_a_last_panel(page)
    while page.evaluate(LAST_KEPT) != "film_laid":  # a tap waits for those before it
        page.wait_for_timeout(50)
    page.wait_for_function(PAINTED_CALM, arg=page.evaluate("Date.now()"))
    shown = page.evaluate(SHOWN)
    waiting = page.evaluate("async () => (await import('/static/joined/floor.js')).$data_state.unsent().length")
    assert waiting > 100
    assert len({card["state"] for card in shown["cards"]}) > 1

    page.context.set_offline(False)
    page.evaluate("() => dispatchEvent(new Event('online'))")
    heard(page)
    reckoned = [
        {"on": card["on"], "face": face}
        for card in reader.floor(shop, shown["now"])["cards"]
        for face in [card["face"], *card["face"].get("lanes", [])]
    ]
    assert shown["cards"] == [seen(card, one) for card, one in zip(shown["cards"], reckoned, strict=True)]


def seen(card: dict, reckoned: dict) -> dict:
    """A card as it should have been read, with words, strip and buttons of the face that the server reckons."""
    face = {**reckoned["face"], **{f"strip.{key}": value for key, value in reckoned["face"]["strip"].items()}}
    return {
        "on": reckoned["on"],
        "state": face["state"],
        "words": [[spot, str(face.get(spot, ""))] for spot, _ in card["words"]],
        "shape": face["strip.shape"],
        "buttons": [name for name in card["names"] if name in face["buttons"]],
        "names": card["names"],
    }
