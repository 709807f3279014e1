"""A browser in a process of its own, which can be put to sleep, killed, and started again with what it kept.

Playwright's own pages are made to think that they are always seen; this one is attached to as it is, so that it can be
hidden and frozen by the browser itself.
"""

import os
import signal
import subprocess
import time

from tests.conftest import CHROMIUM_FLAGS, chromium_path

# Both clocks of a page run ahead by so much; its timers do not know.
LATER = """(() => {
  const date = Date.now.bind(Date);
  const since = performance.now.bind(performance);
  window.later = Number(%d);
  Date.now = () => date() + window.later;
  performance.now = () => since() + window.later;
})()"""


class Handset:
    def __init__(self, chromium, folder):
        self.chromium, self.folder = chromium, folder
        self.process = self.browser = self.page = None

    def start(self, script: str = "", later_ms: int = 0, offline: bool = False):
        """The browser with one empty page; a script runs in each page before its own."""
        said = self.folder / "DevToolsActivePort"
        said.unlink(missing_ok=True)
        flags = ["--headless", *CHROMIUM_FLAGS, "--remote-debugging-port=0", f"--user-data-dir={self.folder}"]
        quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "start_new_session": True}
        self.process = subprocess.Popen([chromium_path(), *flags, "about:blank"], **quiet)
        self.browser = self.chromium.browser_type.connect_over_cdp(
            f"http://127.0.0.1:{port_in(said)}", no_defaults=True
        )
        context = self.browser.contexts[0]
        context.set_offline(offline)
        self.page = context.pages[0]
        self.page.set_viewport_size({"width": 360, "height": 740})
        self.page.add_init_script(LATER % later_ms)
        self.page.add_init_script(script or "0")
        self.tool = context.new_cdp_session(self.page)
        return self.page

    def freeze(self):
        """Hidden, and no timer runs."""
        self.tool.send("Page.setWebLifecycleState", {"state": "frozen"})

    def thaw(self):
        """Timers run; the page is still hidden."""
        self.tool.send("Page.setWebLifecycleState", {"state": "active"})

    def kill(self):
        """As a phone does that needs the memory: no page is told."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait(timeout=20)
        self.process = None

    def end(self):
        if self.process:
            self.kill()


def port_in(said) -> str:
    """The port that the browser says in this file, once it is whole."""
    for _ in range(400):
        if said.exists() and "\n" in (text := said.read_text()):
            return text.split()[0]
        time.sleep(0.05)
    raise AssertionError("the browser did not start within 20 s")
