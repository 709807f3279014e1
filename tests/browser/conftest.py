"""A real server in a process of its own, and phones: touch, 360x740 unless a test says otherwise."""

import contextlib
import sqlite3
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.support.serve import Server

PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True, "device_scale_factor": 1}
TALL_PHONE = {**PHONE, "viewport": {"width": 412, "height": 915}}
POLLING_MS = 50  # at every frame, which a page would draw only for being asked, it costs five times as much
PATIENCE_MS = 20_000  # for a machine that does much else; nothing here is about how fast a screen is
SAVED = r"^(Saved|Guardado|Gespeichert|⟦Saved \S*⟧)\.$"  # the last in the tongue of tests/pseudo.py
CLASSES = {"waterborne": "waterbase"}  # where the word is not the name
OUR_TABLES = "SELECT name FROM sqlite_master WHERE type = 'table' AND (name LIKE 'shop_%' OR name LIKE 'timers_%')"
SET_UP = Path(__file__).with_name("set_up.js").read_text("utf-8").partition("\n")[2]
# A phone has its service worker only once a story asks for it: to install one costs as much as a short story.
NO_WORKER_YET = """(() => {
  const workers = navigator.serviceWorker;
  if (!workers || 'withWorker' in window) return;
  const register = workers.register.bind(workers);
  workers.register = (...how) => window.withWorker ? register(...how) : Promise.reject(new Error('not yet'));
  window.askForWorker = () => { window.withWorker = true; return register('/sw.js').catch(() => {}); };
})()"""
ASK_FOR_WORKER = "() => window.askForWorker && void window.askForWorker()"
expect.set_options(timeout=PATIENCE_MS)


@pytest.fixture(scope="session")
def server(tmp_path_factory):
    """One server for the run: every new browser context is a phone with a shop of its own."""
    running = Server(tmp_path_factory.mktemp("server")).start()
    yield running
    running.stop()


@pytest.fixture(scope="session")
def _shared(tmp_path_factory):
    running = Server(tmp_path_factory.mktemp("shared"), "--one-shop").start()
    yield running
    running.stop()


@pytest.fixture
def one_shop(_shared):
    """A server with one shop that every phone joins, begun with the first phone of the test; no test may stop it."""
    with contextlib.closing(sqlite3.connect(_shared.folder / "sandtime.sqlite3", timeout=20)) as database, database:
        for (name,) in database.execute(OUR_TABLES).fetchall():
            database.execute(f"DELETE FROM {name}")
    return _shared


@pytest.fixture
def own_server(tmp_path):
    """A server for one test, to be stopped, killed or put back, with one shop that every phone joins."""
    running = Server(tmp_path / "data", "--one-shop").start()
    yield running
    running.stop()


@pytest.fixture
def phones(chromium):
    """Makes phones (browser contexts); any error on a page fails the test.

    `worker` is whether a phone has its service worker from the start; others have it before their signal goes, and
    when a story waits for it (`kept_offline`)."""
    contexts, errors = [], []

    def make(address: str, worker: bool = False, **options):
        context = chromium.new_context(**{**PHONE, "service_workers": "allow", **options})
        contexts.append(context)
        if not worker:
            context.add_init_script(NO_WORKER_YET)
        page = context.new_page()
        if options.get("service_workers") != "block":
            context.set_offline = whole_first(page, context.set_offline)
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.on("console", lambda said: errors.append(said.text) if "Content Security Policy" in said.text else None)
        page.goto(address)
        ready(page)
        return page

    yield make
    for context in contexts:
        context.close()
    assert errors == []


def whole_first(page, set_offline):
    """The signal goes only once a phone holds all that taps need, as a moment after the first visit it does."""

    def turned(off: bool):
        if off and not page.is_closed() and page.url.startswith("http"):
            kept_offline(page)
            page.wait_for_function("() => document.body?.dataset.whole === 'yes'", polling=POLLING_MS)
        set_offline(off)

    return turned


def ready(page):
    """Wait until the floor stands."""
    page.wait_for_function("() => document.body?.dataset.ready === 'yes'", polling=POLLING_MS)


def heard(page):
    """Wait until every tap of this phone is at the server, in whatever tongue it says so."""
    page.wait_for_function(
        "(saved) => new RegExp(saved).test(document.getElementById('signal-words').textContent)",
        arg=SAVED,
        polling=POLLING_MS,
    )


def kept_offline(page):
    """Wait until the service worker holds the shell."""
    page.context.add_init_script("window.withWorker = true")
    page.evaluate(ASK_FOR_WORKER)
    page.wait_for_function("() => navigator.serviceWorker.controller !== null", polling=POLLING_MS)


def furnished(page):
    """Wait until the markup of the screens that are loaded late is in the page."""
    page.tap(".bar a[href='#mix']")
    page.wait_for_selector("#mix-product", state="attached")


def put_panel(page, name: str, route: str = "Chips and small dings", before: str = "", steps: list | None = None):
    """A panel that a story begins with, its steps before one done; its card.  No tap is made."""
    page.evaluate(SET_UP, [name, route, before, [] if route == "Empty" else steps])
    return card(page, name)


def add_panel(page, name: str, route: str = "Chips and small dings"):
    """Two taps and a name; the panel's card."""
    page.tap("[data-do=add]")
    page.fill("#add-name", name)
    page.tap(f"#add-routes button:has-text('{route}')")
    return card(page, name)


def card(page, name: str):
    found = page.locator("#floor .card").filter(has=page.locator("h2", has_text=name))
    found.wait_for()
    return found


def deed(found, do: str):
    found.locator(f".deeds [data-do={do}]").tap()


def lay(page, name: str, choice: int = 0):
    """Two taps: the card's main button, then the product offered first."""
    deed(card(page, name), "lay")
    page.locator("#lay-offers button").nth(choice).tap()


def tell_air(page, degrees: int):
    page.tap("[data-do=air]")
    for _ in range(60):
        page.wait_for_function("() => document.getElementById('dialog-air')?.open")
        said = page.inner_text("#air-temp")
        shown = int(said.split()[0].replace("−", "-"))
        if shown == degrees:
            break
        page.tap(f"#dialog-air [data-dial=temp][data-by='{'1' if shown < degrees else '-1'}']")
        expect(page.locator("#air-temp")).not_to_have_text(said)
    page.tap("[data-do=air-tell]")


def to_putty(page, name: str = "Hood"):
    """A panel that stands before its first putty."""
    put_panel(page, name, before="Glazing putty")
    expect(card(page, name).locator("[data-text=step]")).to_have_text("Glazing putty")


def to_coat(page, name: str, cls: str = "Surfacer", coats: int = 1):
    """A panel whose way is so many coats of a class of product."""
    coat = {"id": "1", "do": "coat", "words": cls, "cls": CLASSES.get(cls, cls.lower()), "coats": coats}
    put_panel(page, name, steps=[coat])


def demo_floor(page, address: str):
    """The demo on the floor of a new shop, by a tap as a person gets it."""
    page.goto(address)
    ready(page)
    heard(page)
    page.tap("[data-do=demo-begin]")
    expect(page.locator("#floor .card").nth(3)).to_be_visible()


def with_our_clock(page):
    """Loaded anew, its clock in our hands."""
    page.clock.install()
    page.reload()
    ready(page)
    return page


def in_hand(page, script: str = ""):
    """A phone that holds all it needs, its clock in our hands, 20 °C told, no signal; a script runs before its own."""
    heard(page)
    kept_offline(page)
    if script:
        page.add_init_script(script)
    with_our_clock(page)
    page.locator("#dialog-air").wait_for(state="attached")
    tell_air(page, 20)
    heard(page)
    page.context.set_offline(True)
    return page
