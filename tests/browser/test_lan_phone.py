"""A phone on the network of a shop box: before it trusts the box, the page that says how, and after."""

import os
import re
import shutil
import ssl
import subprocess

import pytest
from playwright.sync_api import Error, expect

from shop.lan import certificates
from tests.conftest import CHROMIUM_FLAGS, chromium_path
from tests.support.boxes import Box

from .conftest import PHONE, add_panel, card, heard, kept_offline, ready
from .test_screens import fits

pytestmark = pytest.mark.browser
NAME = next(name for name in certificates.host_names() if name.endswith(".local") or name == "localhost")


@pytest.fixture(scope="module")
def box(tmp_path_factory):
    running = Box(tmp_path_factory.mktemp("box") / "data").ready()
    yield running
    running.stop()


@pytest.fixture
def trusting(chromium, box, tmp_path):
    """A browser with a store of certificates of its own, in which the authority of the box was installed."""
    assert shutil.which("certutil"), "certutil is not installed: sh tests/run installs it"
    store = tmp_path / ".pki/nssdb"
    store.mkdir(parents=True)
    authority = tmp_path / "authority.pem"
    authority.write_text(ssl.DER_cert_to_PEM_cert(box.page("/sandtime-authority.crt")[1]))
    certutil = ["certutil", "-d", f"sql:{store}"]
    subprocess.run([*certutil, "-N", "--empty-password"], check=True, capture_output=True)
    subprocess.run([*certutil, "-A", "-t", "C,,", "-n", "box", "-i", authority], check=True, capture_output=True)
    flags = [*CHROMIUM_FLAGS, f"--host-resolver-rules=MAP {NAME} 127.0.0.1"]
    home = {**os.environ, "HOME": str(tmp_path)}
    browser = chromium.browser_type.launch(executable_path=chromium_path(), args=flags, env=home)
    yield browser
    browser.close()


def test_a_phone_that_trusts_the_box_works_through_a_night_without_it(trusting, box):
    page = trusting.new_context(**PHONE).new_page()
    page.goto(f"https://{NAME}:{box.port}/")
    ready(page)
    heard(page)
    add_panel(page, "Left door")
    heard(page)
    kept_offline(page)
    assert page.evaluate("() => isSecureContext")
    cookies = page.context.cookies()
    assert [cookie["secure"] for cookie in cookies if cookie["name"] == "sandtime_phone"] == [True]
    page.context.set_offline(True)
    page.reload()
    ready(page)
    expect(card(page, "Left door").locator("h2")).to_contain_text("Left door")


def test_a_phone_that_does_not_trust_it_is_warned(chromium, box):
    page = chromium.new_context(**PHONE).new_page()
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        page.goto(f"https://localhost:{box.port}/")
    page.context.close()


def test_the_page_fits_a_phone_and_gives_the_file_and_the_way_on(chromium, box):
    context = chromium.new_context(**PHONE)
    page = context.new_page()
    wrong = []
    page.on("console", lambda said: wrong.append(said.text) if "Content Security Policy" in said.text else None)
    page.goto(f"http://127.0.0.1:{box.page_port}/")
    fits(page)
    assert page.evaluate("() => document.querySelector('.lanqr').naturalWidth") > 200
    expect(page.locator(".fingerprint")).to_have_text(re.compile(r"^([0-9A-F]{2}:){31}[0-9A-F]{2}$"))
    expect(page.get_by_role("link", name="Open Sandtime")).to_have_attribute("href", f"https://127.0.0.1:{box.port}/")
    with page.expect_download() as download:
        page.get_by_role("link", name="Take the authority").tap()
    assert download.value.suggested_filename == "sandtime-authority.crt"
    assert wrong == []
    if os.environ.get("SHOW"):
        page.screenshot(path=f"{os.environ['SHOW']}/lan.png", full_page=True)
    context.close()
