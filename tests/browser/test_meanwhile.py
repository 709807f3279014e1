"""What others did while a phone heard nothing: one list, until the person closes it."""

import pytest
from playwright.sync_api import expect

from .conftest import card, heard, put_panel, ready
from .handed import away, back

pytestmark = pytest.mark.browser
EARLIER = """async () => { const { $data_state: shop } = await import('/static/joined/floor.js');
  await shop.remember({ heard: shop.meta.heard - 700_000 }); }"""
ADDED = """async (count) => {
  const { $data_state: shop, $data_views: views, $data_queries: queries } = await import('/static/joined/floor.js');
  const { $data_acts: acts } = await import('/static/joined/actions.js');
  const { $sync_sync: sync } = await import('/static/joined/online.js');
  for (let n = 0; n < count; n += 1) await shop.keep(acts.panelAdded(`${'Van side, '.repeat(15)}${n}`, '', null));
  const on = queries.onFloor().find((one) => views.view(one).name === 'Left door');
  await shop.keep(acts.born(on, 'panel_named', { name: 'Right door', job: '' }));
  sync.ask();
  while (shop.unsent().length) await new Promise((go) => setTimeout(go, 50)); }"""


def apart(one_shop, phones, count: int):
    """Two phones; the first was away for long while the second renamed its door and added panels."""
    one = phones(one_shop.address)
    heard(one)
    put_panel(one, "Left door", "Empty")
    heard(one)
    two = phones(one_shop.address)
    expect(card(two, "Left door")).to_be_visible()
    away(one)
    one.evaluate(EARLIER)
    expect(two.locator("body[data-whole=yes]")).to_be_attached()
    two.evaluate(ADDED, count)
    back(one)
    return one, two


def test_forty_things_are_counted_the_lost_name_first_and_a_reload_keeps_them_until_closed(one_shop, phones):
    one, two = apart(one_shop, phones, 40)
    expect(one.locator("#meanwhile-title")).to_have_text("While you were away: 41 things")
    lost = "Right door: this phone had called it “Left door”. Another phone's name stands."
    expect(one.locator("#meanwhile-lines li", has_text=lost)).to_have_count(1)
    expect(one.locator("#meanwhile-lines li")).to_have_count(8)
    expect(one.locator("#meanwhile-more")).to_have_text("and 33 more")
    assert one.evaluate("() => document.documentElement.scrollWidth <= innerWidth")
    lines = one.locator("#meanwhile-lines a")
    assert all(words.endswith((": added.", "stands.")) for words in lines.all_text_contents())
    assert all(lines.evaluate_all("(all) => all.map((line) => line.scrollHeight <= line.clientHeight)"))
    one.reload()
    ready(one)
    expect(one.locator("#meanwhile-title")).to_have_text("While you were away: 41 things")
    one.locator("#meanwhile-lines a", has_text=lost).tap()
    expect(one.locator("#panel-name")).to_have_text("Right door")
    one.go_back()
    one.tap("[data-do=meanwhile-close]")
    expect(one.locator("#meanwhile")).to_be_hidden()
    one.reload()
    ready(one)
    heard(one)
    expect(one.locator("#meanwhile")).to_be_hidden()
    expect(two.locator("#meanwhile")).to_be_hidden()  # it heard all along
