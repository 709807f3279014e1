"""Debian's WebKitGTK in its MiniBrowser, driven by its own WebDriver (W3C) over HTTP, on a screen that nobody sees."""

import contextlib
import json
import os
import shutil
import subprocess
import time
import urllib.error
import urllib.request
from pathlib import Path

from tests.conftest import free_port

PATIENCE_S = 60


class WebKit:
    """A browser with storage of its own that goes with it."""

    name = "WebKit"

    def __init__(self):
        driver, screen = shutil.which("WebKitWebDriver"), shutil.which("Xvfb")
        browsers = sorted(Path("/usr/lib").glob("*/webkit2gtk-4.*/MiniBrowser"))
        assert all((driver, screen, browsers)), "WebKit is not installed: sh tests/engines/run installs it"
        port = free_port()
        self.screen, display = _screen(screen)
        env = {**os.environ, "DISPLAY": display, "GDK_BACKEND": "x11", "WEBKIT_FORCE_SANDBOX": "0"}
        quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
        self.driver = subprocess.Popen([driver, f"--port={port}"], env=env, **quiet)
        self.address = f"http://127.0.0.1:{port}/session"
        options = {"binary": str(browsers[-1]), "args": ["--automation"]}
        wanted = {"alwaysMatch": {"webkitgtk:browserOptions": options}}
        self.session = self._begun({"capabilities": wanted})
        self._ask("/timeouts", {"script": PATIENCE_S * 1000})
        self._ask("/window/rect", {"width": 412, "height": 915})

    def _begun(self, wanted) -> str:
        end = time.monotonic() + PATIENCE_S
        while True:
            try:
                return f"/{_post(self.address, wanted)['sessionId']}"
            except urllib.error.URLError:
                assert time.monotonic() < end, "WebKit did not start"
                time.sleep(0.2)

    def _ask(self, path: str, said=None):
        return _post(f"{self.address}{self.session}{path}", said or {})

    def open(self):
        """A new page in front, and none beside it: what is there at a cold start."""
        old = _get(f"{self.address}{self.session}/window")
        new = self._ask("/window/new", {"type": "tab"})["handle"]
        self._ask("/window", {"handle": old})
        _post(f"{self.address}{self.session}/window", None, "DELETE")
        self._ask("/window", {"handle": new})

    def goto(self, address: str):
        """Goes there and waits until the page is loaded."""
        self._ask("/url", {"url": address})

    def run(self, function: str, *args):
        """What a function of the page answers, awaited; arguments and answer are JSON."""
        text = f"""const [args, done] = arguments;
          (async () => JSON.stringify(await ({function})(...args)))().then(done, (why) => done(`!${{why}}`));"""
        value = self._ask("/execute/async", {"script": text, "args": [list(args)]})
        assert not (value or "").startswith("!"), value
        return None if value is None else json.loads(value)

    def click(self, x: int, y: int):
        """A click of the pointer at a place of the window, as the browser gets it from a hand."""
        steps = [{"type": "pointerMove", "x": x, "y": y}, {"type": "pointerDown", "button": 0}]
        pointer = {"type": "pointer", "id": "hand", "actions": [*steps, {"type": "pointerUp", "button": 0}]}
        self._ask("/actions", {"actions": [pointer]})

    def close(self):
        with contextlib.suppress(OSError):
            _post(f"{self.address}{self.session}", None, "DELETE")
        for one in (self.driver, self.screen):
            one.terminate()
            one.wait(timeout=30)


def _screen(program: str):
    """A screen that nobody sees, and its name."""
    read, write = os.pipe()
    command = [program, "-displayfd", str(write), "-screen", "0", "1280x1024x24", "-nolisten", "tcp"]
    screen = subprocess.Popen(command, pass_fds=[write], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    os.close(write)
    with os.fdopen(read) as name:
        return screen, f":{name.readline().strip()}"


def _get(address: str):
    with urllib.request.urlopen(address, timeout=PATIENCE_S) as answer:
        return json.load(answer)["value"]


def _post(address: str, said, method: str = "POST"):
    body = None if said is None else json.dumps(said).encode()
    request = urllib.request.Request(address, body, {"Content-Type": "application/json"}, method=method)
    try:
        with urllib.request.urlopen(request, timeout=PATIENCE_S * 2) as answer:
            return json.load(answer)["value"]
    except urllib.error.HTTPError as why:
        raise AssertionError(why.read().decode()) from why
