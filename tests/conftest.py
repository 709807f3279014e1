"""What every test may use."""

import functools
import http.server
import io
import os
import shutil
import socket
import threading
from pathlib import Path

import pytest
from hypothesis import settings

import tests.support.ready_made  # noqa: F401  (its folder is made before the worker processes begin)

os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")  # sync Playwright beside the ORM, in tests only
for limit in ("SANDTIME_BEGINS_PER_ADDRESS", "SANDTIME_BEGINS_PER_HOUR"):
    os.environ.setdefault(limit, "100000")  # servers that tests start: all their phones come from one address

# Laws in the suite try the same examples each time: what is green stays green for the same code.  New ones are searched
# by `pytest -k laws --hypothesis-profile search`.
settings.register_profile("suite", deadline=None, max_examples=200, derandomize=True, database=None)
settings.register_profile("search", deadline=None, max_examples=4000, print_blob=True)
settings.load_profile("suite")

ROOT = Path(__file__).resolve().parent.parent
ON_POSTGRESQL = bool(os.environ.get("DATABASE_URL"))
# Their views ask the database nothing of their own: who may open which address, what an answer's head holds.
SAME_ON_BOTH = ("shop/security/test_access_table.py", "shop/security/test_headers.py", "shop/shell/test_late_files.py")
CHROMIUM_FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def free_port() -> int:
    """A TCP port of this machine that nobody listens at just now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def chromium_path() -> str:
    """Where Debian's Chromium lies."""
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    assert path, "Chromium is not installed: sh tests/run installs it"
    return path


def bare_path() -> str:
    """The same Chromium without a window around its pages, a Debian package of its own: half the work for each page."""
    return shutil.which("chromium-headless-shell") or chromium_path()


def pytest_report_header():
    from django.db import connection

    return f"database: {connection.display_name}"


def pytest_collection_modifyitems(config, items):
    """On PostgreSQL only what asks the database; on SQLite what needs PostgreSQL waits for that run."""
    if ON_POSTGRESQL:
        asks = [item for item in items if item.get_closest_marker("django_db") or item.get_closest_marker("postgres")]
        asks = [item for item in asks if not item.nodeid.partition("::")[0].endswith(SAME_ON_BOTH)]
        kept = [item for item in asks if not item.get_closest_marker("browser")]
        config.hook.pytest_deselected(items=[item for item in items if item not in kept])
        items[:] = kept
    items.sort(key=weight)
    for item in items:
        if item.get_closest_marker("postgres") and not ON_POSTGRESQL:
            item.add_marker(pytest.mark.skip(reason="needs PostgreSQL: the second half of sh tests/run"))


def weight(item) -> int:
    """The files that take long come first (tests/run keeps this order): at the end only short ones are waited for."""
    if "test_schedules" in item.nodeid or item.get_closest_marker("postgres"):
        return 0
    return 1 if item.get_closest_marker("browser") and "twins" not in item.nodeid else 2


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *args):
        """Say nothing."""

    def send_head(self):
        """As a file of the folder, also a script that is made of data."""
        from shop.base import scripts

        made = scripts.made().get(self.path.removeprefix("/js/"))
        if made is None:
            return super().send_head()
        self.send_response(200)
        self.send_header("Content-Type", "text/javascript; charset=utf-8")
        self.end_headers()
        return io.BytesIO(made.encode())


@pytest.fixture(scope="session")
def playwright():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="session")
def chromium(playwright):
    """Debian's Chromium under Playwright, without a window, one process for the whole run."""
    browser = playwright.chromium.launch(executable_path=bare_path(), args=CHROMIUM_FLAGS)
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def windowed(playwright):
    """The whole of Debian's Chromium, for what one without a window has not: notifications."""
    browser = playwright.chromium.launch(executable_path=chromium_path(), args=CHROMIUM_FLAGS)
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def core_page(chromium):
    """A bare page from which the JavaScript twins can be imported: `import("/js/core/clock/cure.js")`."""
    handler = functools.partial(_Quiet, directory=str(ROOT / "static"))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    page = chromium.new_page()
    page.goto(f"http://127.0.0.1:{server.server_port}/icons/")
    yield page
    page.close()
    server.shutdown()


@pytest.fixture(autouse=True, scope="session")
def _files_from_the_checkout():
    """Tests in this process serve static files as they stand, without collecting them."""
    from django.conf import settings

    settings.WHITENOISE_USE_FINDERS = settings.WHITENOISE_AUTOREFRESH = True


@pytest.fixture(autouse=True, scope="session")
def quick_phrases():
    """The hash of a recovery phrase costs a thousandth in this process; gives the work that it has on a host."""
    from django.contrib.auth.hashers import ScryptPasswordHasher

    on_a_host, ScryptPasswordHasher.work_factor = ScryptPasswordHasher.work_factor, 2**4
    return on_a_host


@pytest.fixture
def push_service(settings, tmp_path):
    """A push service on loopback, the only one that is known, and keys of its own for this test."""
    from tests.support.pushed import Service

    running = Service()
    settings.DATA_DIR, settings.PUSH_HOSTS, settings.PUSH_SUBJECT = tmp_path, (running.host,), "mailto:shop@example.org"
    yield running
    running.end()


@pytest.fixture
def bell(push_service):
    """A shop with a door that rings, and phones that are told."""
    from tests.support.bell import Bell

    return Bell(push_service)
