"""A start moves nothing under the finger: no layout shift on any main screen, with signal and without."""

import pytest

from tests.bench.seed import COOKIE, MIXED, Seeder

from .conftest import PHONE, TALL_PHONE, heard, kept_offline, ready

pytestmark = pytest.mark.browser
SIZES = {
    "a phone": PHONE,
    "a tall phone": TALL_PHONE,
    "a phone on its side": {**PHONE, "viewport": {"width": 740, "height": 360}},
    "a laptop": {**PHONE, "viewport": {"width": 1440, "height": 900}},
}
# Every shift counts, also those that the browser takes for an answer to a tap: nobody taps here.
WATCH = """globalThis.shifts = [];
const named = ({ node }) => (node?.nodeType === 1 ? node : node?.parentElement)?.outerHTML.slice(0, 80) ?? 'gone';
new PerformanceObserver((list) => {
  for (const { value, sources } of list.getEntries()) shifts.push([value, sources.map(named)]);
}).observe({ type: 'layout-shift', buffered: true });"""
# Two frames, after which the browser has said of every frame before what moved in it.
SHIFTS = """() => new Promise((done) => {
  requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(() => done(shifts))));
})"""
WHOLE = """(screen) => document.body.dataset.whole === 'yes'
  && document.querySelector(`#screen-${screen}`)?.checkVisibility({ visibilityProperty: true })
  && [...document.querySelectorAll(`#screen-${screen} :is(.card, #mix-product option, .product)`)].length > 0"""


@pytest.fixture(scope="module")
def settled(server, chromium):
    """A phone that belongs to a shop with panels in every state, and its first panel."""
    seeder = Seeder(server.address)
    on = seeder.fill(8, MIXED)
    context = chromium.new_context(**PHONE, service_workers="allow")
    context.add_cookies([{"name": COOKIE, "value": seeder.cookie, "url": server.address}])
    page = context.new_page()
    page.goto(server.address)
    ready(page)
    heard(page)
    kept_offline(page)
    page.wait_for_function("() => document.body.dataset.whole === 'yes'")
    page.add_init_script(WATCH)
    yield page, on[0]
    context.close()


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES)
@pytest.mark.parametrize("offline", [False, True], ids=["with signal", "with no signal"])
def test_nothing_moves_while_a_screen_starts(server, settled, size, offline):
    page, on = settled
    page.set_viewport_size(size["viewport"])
    page.context.set_offline(offline)
    try:
        for screen, hash in (("floor", ""), ("mix", "mix"), ("shelf", "shelf"), ("panel", f"panel={on}")):
            page.goto("about:blank")
            page.goto(f"{server.address}#{hash}")
            page.wait_for_function(WHOLE, arg=screen)
            if offline:
                page.wait_for_function("() => document.getElementById('signal').dataset.mood === 'away'")
            else:
                heard(page)
            assert page.evaluate(SHIFTS) == [], screen
    finally:
        page.context.set_offline(False)


def test_what_moves_would_be_seen(settled):
    page, _ = settled
    page.evaluate("() => document.querySelector('main').before(document.createElement('hr'))")
    assert page.evaluate(SHIFTS) != []
