"""Debian's Firefox ESR, driven by the protocol it speaks itself: WebDriver BiDi (W3C), over a WebSocket."""

import contextlib
import itertools
import json
import shutil
import subprocess
import tempfile
import time

from websockets.sync.client import connect

from tests.conftest import free_port

PATIENCE_S = 60


class Firefox:
    """A browser with a profile of its own, without a window."""

    name = "Firefox"

    def __init__(self):
        program = shutil.which("firefox-esr") or shutil.which("firefox")
        assert program, "Firefox is not installed: sh tests/engines/run installs it"
        self.profile, port = tempfile.mkdtemp(prefix="sandtime-firefox-"), free_port()
        command = [program, "--headless", "--no-remote", "--profile", self.profile, f"--remote-debugging-port={port}"]
        self.process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        self.numbers = itertools.count(1)
        self.held = contextlib.ExitStack()
        self.wire = self._connected(f"ws://127.0.0.1:{port}/session")
        self._ask("session.new", capabilities={})
        self.open()

    def _connected(self, address: str):
        end = time.monotonic() + PATIENCE_S
        while True:
            try:
                return self.held.enter_context(connect(address, max_size=None, open_timeout=5))
            except OSError:
                assert time.monotonic() < end, "Firefox did not start"
                time.sleep(0.2)

    def _ask(self, method: str, **params):
        number = next(self.numbers)
        self.wire.send(json.dumps({"id": number, "method": method, "params": params}))
        while True:
            answer = json.loads(self.wire.recv(timeout=PATIENCE_S))
            if answer.get("id") == number:
                assert answer["type"] == "success", answer
                return answer["result"]

    def open(self):
        """A new page in front, and none beside it: what is there at a cold start."""
        old = [one["context"] for one in self._ask("browsingContext.getTree")["contexts"]]
        self.page = self._ask("browsingContext.create", type="tab")["context"]
        for one in old:
            self._ask("browsingContext.close", context=one)
        self._ask("browsingContext.setViewport", context=self.page, viewport={"width": 412, "height": 915})

    def goto(self, address: str):
        """Goes there and waits until the page is loaded; a server that does not answer is for the page to say."""
        self._ask("browsingContext.navigate", context=self.page, url=address, wait="complete")

    def run(self, function: str, *args):
        """What a function of the page answers, awaited; arguments and answer are JSON."""
        text = f"(async () => JSON.stringify(await ({function})(...{json.dumps(args)})))()"
        asked = {"expression": text, "target": {"context": self.page}, "awaitPromise": True}
        answer = self._ask("script.evaluate", **asked, userActivation=True)
        assert answer["type"] == "success", answer["exceptionDetails"]["text"]
        value = answer["result"].get("value")
        return None if value is None else json.loads(value)

    def click(self, x: int, y: int):
        """A click of the pointer at a place of the window, as the browser gets it from a hand."""
        steps = [{"type": "pointerMove", "x": x, "y": y}, {"type": "pointerDown", "button": 0}]
        pointer = {"type": "pointer", "id": "hand", "actions": [*steps, {"type": "pointerUp", "button": 0}]}
        self._ask("input.performActions", context=self.page, actions=[pointer])

    def close(self):
        with contextlib.suppress(Exception):
            self._ask("browser.close")
            self.held.close()
        self.process.terminate()
        self.process.wait(timeout=30)
        shutil.rmtree(self.profile, ignore_errors=True)
