"""A tablet on the wall, which may only look: it offers no button that would make an act or be refused."""

import pytest
from playwright.sync_api import expect

from .conftest import card, furnished, heard
from .test_screens import go
from .walk import OPENED, REFUSED, SHOP, WHY

pytestmark = pytest.mark.browser
HUNG = """async () => {
  const { $data_state: shop, $data_views: views, $data_queries: queries } = await import('/static/joined/floor.js');
  const { $data_acts: acts } = await import('/static/joined/actions.js');
  const cup = queries.cups()[0];
  await shop.keep(acts.panelAdded('Demo: door', 'Demo: car', { name: 'Walk', steps: [] }));
  const twice = queries.onFloor().find((on) => views.view(on).films.length);
  const act = shop.actsOf(twice).find(({ kind }) => kind === 'film_laid');
  await shop.keep({ ...act, id: `${act.id}b`, film: 'twin', who: 'another-phone', at: act.at + 1000 });
  await shop.note({ meanwhile: [{ on: twice, kind: 'laid', n: 1 }] });
  Object.defineProperty(shop.meta, 'role', { get: () => 'wall', set: () => {} });
  dispatchEvent(new Event('hashchange'));
  return twice;
}"""
# Each button that can be tapped, tapped: [what it does, acts that came of it, what was said].
TAPPED = """async (apart) => {
  const { $data_state: shop } = await import('/static/joined/floor.js');
  const seen = () => [...document.querySelectorAll('[data-do], [data-change]')]
    .filter((node) => node.checkVisibility({ visibilityProperty: true }) && !node.disabled)
    .filter((node) => !node.closest('#notice') && !apart.includes(node.dataset.do));
  const shut = () => document.querySelectorAll('dialog[open]').forEach((dialog) => dialog.close());
  const rest = () => new Promise((go) => setTimeout(go, 40));
  const { hash } = location;
  const found = [];
  const tap = async (node) => {
    const before = shop.rows().length;
    document.getElementById('notice-words').textContent = '';
    if (node.dataset.change) node.dispatchEvent(new Event('change', { bubbles: true }));
    else node.click();
    await rest();
    const said = [...document.querySelectorAll('#notice-words, dialog[open] .error, .why')];
    const words = said.map((one) => one.textContent);
    found.push([node.dataset.do ?? node.dataset.change, shop.rows().length - before, words.join(' ').trim()]);
  };
  for (const node of seen()) {
    if (!node.isConnected || !node.checkVisibility()) continue; // an earlier tap closed what it stood in
    await tap(node);
    for (const inner of document.querySelectorAll('dialog[open] [data-do]')) {
      if (inner.checkVisibility()) await tap(inner);
    }
    shut();
    if (location.hash !== hash) { location.hash = hash; await rest(); }
  }
  return found;
}"""
APART = ["tongue", "ring-trial"]  # loads the page anew; waits for half a minute
ROOMS = ("floor", "panel", "book", "ring", "phones", "help", "join")


def test_no_button_of_a_wall_makes_an_act_or_is_refused(server, phones):
    page = phones(server.address)
    heard(page)
    furnished(page)
    go(page, "Floor")
    page.route("**/sync", lambda route: route.abort())
    page.evaluate(SHOP)
    page.evaluate(REFUSED, WHY)
    panel = page.evaluate(HUNG)
    expect(page.locator("body")).to_have_attribute("data-role", "wall")
    expect(card(page, "Panel waits")).to_be_visible()
    tapped = {}
    for room in ROOMS:
        page.evaluate("(hash) => { location.hash = hash; }", f"panel={panel}" if room == "panel" else room)
        expect(page.locator(f"#screen-{room} h1")).to_be_attached()
        page.evaluate(OPENED, f"#screen-{room}")
        tapped[room] = page.evaluate(TAPPED, APART)
    assert {do for do, _, _ in tapped["floor"]} >= {"open", "twice-ask"}
    assert {do for do, _, _ in tapped["book"]} >= {"theme", "sync-now", "throw-away"}
    bad = [(room, *one) for room, rows in tapped.items() for one in rows if one[1] > 0 or "Nothing was" in one[2]]
    assert bad == []
