"""Every button that makes an act says it in its markup, to htmx: read there, tapped, with a signal and without."""

import json
import re
from urllib.parse import parse_qs

import pytest
from playwright.sync_api import expect

from tests.conftest import ROOT

from .conftest import add_panel, card, deed, furnished, heard, kept_offline, ready
from .walk import SHOP

pytestmark = pytest.mark.browser
# Kinds that markup says, in templates and where a script makes a button say one.
KIND_IN_MARKUP = re.compile(
    r"""hx-vals='\{"kind":"(\w+)"|\bact: \{ kind: "(\w+)"|\bsetVals\([^;]*?kind: (?:[\w.= ]+\? "(\w+)" : )?"(\w+)\""""
)
# The first product has a gun; and all acts that this page keeps from now on.
LISTEN = """async () => {
  const { $data_state: shop, $data_queries: queries } = await import('/static/joined/floor.js');
  const { $data_acts: acts } = await import('/static/joined/actions.js');
  const product = queries.docs('product').find((one) => one.away_at === null).on;
  await shop.keep(acts.gunSet(product, { gun: 'Gravity', tip_um: 1300 }));
  const { keepAll } = shop;
  globalThis.kept = [];
  shop.keepAll = (acts, ...rest) => {
    kept.push(...acts);
    return keepAll(acts, ...rest);
  };
}"""
# In one place each different button that says an act, tapped once: [its name, its kind, kinds that were kept, words].
TAPPED = """async ([hash, opener, fields]) => {
  const { $data_queries: queries, $data_views: views, $ui_turns: turns } = await import('/static/joined/floor.js');
  const rest = (ms) => new Promise((go) => setTimeout(go, ms));
  const until = async (is) => {
    for (let n = 0; n < 250 && !is(); n += 1) await rest(20);
    return is();
  };
  const own = (node) => JSON.parse(node.getAttribute('hx-vals') ?? '{}');
  const vals = (node) => (node ? { ...vals(node.parentElement), ...own(node) } : {});
  const isSeen = (node) => node.checkVisibility({ visibilityProperty: true }) && !node.disabled;
  const seen = (selector) => [...document.querySelectorAll(selector)].filter(isSeen);
  const named = (node) => `${node.dataset.do} ${vals(node).kind}`;
  const done = [];
  for (;;) {
    const on = queries.onFloor().find((one) => views.view(one).steps.some((step) => step.done_at));
    const product = queries.docs('product').find((one) => one.away_at === null).on;
    location.hash = hash.replace('PANEL', on).replace('PRODUCT', product);
    await rest(30);
    await until(() => seen("main [hx-post='/sync']").length);
    if (opener) {
      await until(() => seen(opener).length);
      seen(opener)[0].click();
      if (!(await until(() => document.querySelector('dialog[open]')))) return [...done, [opener, 'no sheet', [], '']];
    }
    for (const details of document.querySelectorAll('details')) details.open = true;
    for (const [selector, value] of Object.entries(fields)) {
      const [field] = seen(selector);
      if (field.matches('button')) field.click();
      else field.value = value;
      await turns.inTurn(() => {});
    }
    const places = opener ? 'dialog[open] ' : '';
    const button = seen(`${places}[hx-post='/sync']`).find((one) => !done.some(([name]) => name === named(one)));
    if (!button) {
      document.querySelector('dialog[open]')?.close();
      return done;
    }
    const [name, { kind }] = [named(button), vals(button)];
    kept.length = 0;
    button.click();
    await turns.inTurn(() => {});
    const words = document.querySelector('dialog[open] .error')?.textContent ?? '';
    done.push([name, kind, kept.map((act) => act.kind), words]);
    document.querySelector('dialog[open]')?.close();
  }
}"""
PLACES = [
    ("floor", "", {}),
    ("floor", "[data-do=add]", {"#add-name": "Spoiler"}),
    ("floor", ".deeds [data-do=lay]", {}),
    ("panel=PANEL", "#panel-back", {"#back-area": "upper edge"}),
    ("floor", "[data-do=cup-empty]", {}),
    ("floor", "[data-do=air]", {"#air-times button": ""}),
    ("panel=PANEL", "", {}),
    ("panel=PANEL", "#screen-panel [data-do=step]", {"#step-words": "Block P180"}),
    ("panel=PANEL", "#screen-panel [data-do=rename]", {}),
    ("panel=PANEL", "#panel-surface", {}),
    ("mix", "", {}),
    ("shelf", "", {}),
    ("sheet=PRODUCT", "", {}),
    ("book", "", {}),
]
# All steps before one; a film, and what it said of its cup.
SEVERAL = {"step-here step_done", "undo undone", "undo restored", "undo-last undone", "undo-last restored"}


def kinds_in_sources() -> set[str]:
    files = [*(ROOT / "templates").rglob("*.html"), *(ROOT / "static/js").rglob("*.js")]
    matches = [KIND_IN_MARKUP.findall(path.read_text(encoding="utf-8")) for path in files]
    return {kind for rows in matches for row in rows for kind in row if kind}


@pytest.mark.parametrize("offline", [False, True], ids=["with signal", "with no signal"])
def test_each_button_that_says_an_act_makes_one_of_that_kind_which_the_server_takes(server, phones, offline):
    page = phones(server.address)
    heard(page)
    kept_offline(page)
    furnished(page)
    page.evaluate(SHOP)
    page.evaluate(LISTEN)
    page.context.set_offline(offline)
    tapped = [row for place in PLACES for row in page.evaluate(TAPPED, list(place))]
    page.context.set_offline(False)
    page.evaluate("() => dispatchEvent(new Event('online'))")
    assert [row for row in tapped if not row[2] or row[2][0] != row[1] or row[3]] == []
    assert {name for name, kind, kinds, _ in tapped if kinds.count(kind) != 1} <= SEVERAL
    assert kinds_in_sources() - {kind for _, kind, _, _ in tapped} == set()
    heard(page)  # the server took them all


class Htmx:
    """htmx on its way to a page that begins anew: kept back until it is let go, or lost."""

    def __init__(self, page):
        self.page, self.asked, self.posts = page, [], []
        page.route("**/django_htmx/**", lambda route: self.asked.append(route))  # noqa: PLW0108 - Playwright marks it
        page.on("request", lambda one: self.posts.append(one) if one.url.endswith("/sync") else None)
        page.reload()
        ready(page)

    def over(self, how: str):
        for route in self.asked:
            getattr(route, how)()
        self.page.unroute("**/django_htmx/**")

    def acts(self) -> list[str]:
        """The kinds of all acts posted, by posts that are whole: no button's own request is among them."""
        bodies = [parse_qs(one.post_data, keep_blank_values=True) for one in self.posts]
        assert all({"acts", "cursor", "shop"} <= set(body) and "kind" not in body for body in bodies)
        return [act["kind"] for body in bodies for act in json.loads(body["acts"][0])]


# A form of htmx's, sent off at once.
FORM = """() => {
  document.body.insertAdjacentHTML('beforeend', '<form id="any" hx-post="/clock"><input name="a" value="b"></form>');
  document.getElementById('any').requestSubmit();
}"""


@pytest.fixture
def hood(server, phones):
    page = phones(server.address, service_workers="block")
    heard(page)
    add_panel(page, "Hood")
    heard(page)
    return page


def place(page):
    return card(page, "Hood").locator("[data-text=place]")


def test_taps_before_htmx_wait_for_it_and_are_taken_once_in_their_order(hood):
    htmx, sent = Htmx(hood), []
    hood.on("request", lambda one: sent.append(one.post_data) if one.method == "POST" and "/clock" in one.url else None)
    deed(card(hood, "Hood"), "done")
    deed(card(hood, "Hood"), "done")
    hood.evaluate(FORM)
    hood.locator("#floor h2 button").tap()
    hood.wait_for_timeout(400)
    expect(place(hood)).to_contain_text("Step 1 of")
    assert (htmx.acts(), sent) == ([], [])
    htmx.over("continue_")
    expect(hood.locator("#screen-panel h1")).to_have_text("Hood")
    expect(hood.locator("#panel-card [data-text=place]")).to_contain_text("Step 3 of")
    heard(hood)
    assert (htmx.acts(), sent) == (["step_done", "step_done"], ["a=b"])


def test_a_tap_for_which_htmx_does_not_come_is_said_not_to_be_kept_and_the_next_asks_for_it_again(hood):
    htmx = Htmx(hood)
    deed(card(hood, "Hood"), "done")
    hood.wait_for_timeout(400)
    htmx.over("abort")
    expect(hood.locator("#notice-words")).to_contain_text("Nothing was saved: tap again")
    expect(place(hood)).to_contain_text("Step 1 of")
    hood.tap("[data-do=hush]")
    deed(card(hood, "Hood"), "done")
    expect(place(hood)).to_contain_text("Step 2 of")
    heard(hood)
    assert htmx.acts() == ["step_done"]
