"""A real server in a process of its own, and phones: touch, 360x740 unless a test says otherwise."""

import contextlib
import os
import signal
import sqlite3
import subprocess
import sys
import time
import urllib.request

import pytest
from playwright.sync_api import expect

from tests.conftest import ROOT, free_port
from tests.support import ready_made

PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True, "device_scale_factor": 1}
TALL_PHONE = {**PHONE, "viewport": {"width": 412, "height": 915}}
POLLING_MS = 50  # at every frame, which a page would draw only for being asked, it costs five times as much
PATIENCE_MS = 20_000  # for a machine that does much else; nothing here is about how fast a screen is
SAVED = r"^(Saved|Guardado|Gespeichert|⟦Saved \S*⟧)\.$"  # the last in the tongue of tests/pseudo.py
OUR_TABLES = "SELECT name FROM sqlite_master WHERE type = 'table' AND (name LIKE 'shop_%' OR name LIKE 'timers_%')"
expect.set_options(timeout=PATIENCE_MS)


class Server:
    """`manage.py serve` on a folder of its own; it can be stopped, killed and started again on the same address."""

    def __init__(self, folder, *options: str):
        self.folder, self.options = folder, options
        self.port = free_port()
        self.address = f"http://localhost:{self.port}/"
        self.process = None

    def start(self, **more: str):
        command = [sys.executable, "manage.py", "serve", "--no-browser", "--port", str(self.port), *self.options]
        own = {"SANDTIME_DATA": str(self.folder), "SANDTIME_STATIC": ready_made.static(), "SANDTIME_DEBUG": ""}
        env = {**os.environ, **own, **more}
        ready_made.database(self.folder)
        self.process = subprocess.Popen(command, cwd=ROOT, env=env, stdout=subprocess.DEVNULL)
        return self.wait()

    def wait(self):
        """Until it answers."""
        for _ in range(1_200):
            try:
                urllib.request.urlopen(f"{self.address}clock", timeout=1).read()
            except OSError:
                assert self.process.poll() is None, "the server stopped by itself"
                time.sleep(0.05)
            else:
                return self
        raise AssertionError("the server did not answer within a minute")

    def stop(self, how=signal.SIGTERM):
        if self.process:
            self.process.send_signal(how)
            self.process.wait(timeout=20)
            self.process = None


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
    """Makes phones (browser contexts); any error on a page fails the test."""
    contexts, errors = [], []

    def make(address: str, **options):
        context = chromium.new_context(**{**PHONE, "service_workers": "allow", **options})
        contexts.append(context)
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
    page.wait_for_function("() => navigator.serviceWorker.controller !== null", polling=POLLING_MS)


def furnished(page):
    """Wait until the markup of the screens that are loaded late is in the page."""
    page.tap(".bar a[href='#mix']")
    page.wait_for_selector("#mix-product", state="attached")


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
    """A panel brought to its first putty."""
    add_panel(page, name)
    for _ in range(3):
        deed(card(page, name), "done")
    expect(card(page, name).locator("[data-text=step]")).to_have_text("Glazing putty")


def to_coat(page, name: str, cls: str = "Surfacer", coats: int = 1):
    """A panel whose way is so many coats of a class of product; back on the floor."""
    add_panel(page, name, "Empty")
    card(page, name).locator("h2 button").tap()
    page.tap("#screen-panel [data-do=step]")
    page.locator("#step-does button", has_text="Coat").tap()
    page.locator("#step-classes button", has_text=cls).tap()
    for _ in range(coats - 1):
        page.locator("[data-dial=coats][data-by='1']").tap()
    page.locator("[data-do=add-step]:text('at the end')").tap()
    page.locator(".bar a", has_text="Floor").tap()


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
