"""A real Chromium on a folder of its own, spoken to over a pipe with nothing but the standard library.

Test drivers hold every service worker at its start until they have looked at it; that would be in the figures.
This one attaches to the page only, unless a benchmark asks for more.
"""

import contextlib
import fcntl
import json
import os
import select
import signal
import time

from tests.conftest import CHROMIUM_FLAGS, chromium_path

FLAGS = [*CHROMIUM_FLAGS, "--headless=new", "--remote-debugging-pipe", "--no-default-browser-check", "--mute-audio"]
FLAGS += [
    "--disable-crash-reporter",
    "--disable-renderer-backgrounding",
    "--disable-features=Translate,OptimizationHints,MediaRouter",
]
SETTLE_S = 0.8  # after the process starts: its own housekeeping is not what is measured


class Browser:
    """`with Browser(folder) as browser: page = browser.page()`; closing it keeps the folder for the next start."""

    def __init__(self, folder):
        self.folder, self.count, self.buffer, self.events = folder, 0, b"", []

    def __enter__(self):
        path = chromium_path()
        said, told = _pipe(), _pipe()
        command = [path, *FLAGS, f"--user-data-dir={self.folder}", "about:blank"]
        quiet = [(os.POSIX_SPAWN_OPEN, to, os.devnull, os.O_WRONLY, 0) for to in (1, 2)]
        ends = [(os.POSIX_SPAWN_DUP2, said[0], 3), (os.POSIX_SPAWN_DUP2, told[1], 4)]
        self.process = os.posix_spawn(path, command, os.environ, file_actions=[*quiet, *ends], setpgroup=0)
        os.close(said[0])
        os.close(told[1])
        self.say, self.hear = said[1], told[0]
        self.call("Target.setDiscoverTargets", discover=True)
        time.sleep(SETTLE_S)
        return self

    def __exit__(self, *error):
        with contextlib.suppress(OSError, EOFError):
            self.call("Browser.close")
        for _ in range(200):
            if os.waitpid(self.process, os.WNOHANG)[0]:
                break
            time.sleep(0.05)
        else:
            os.killpg(self.process, signal.SIGKILL)
            os.waitpid(self.process, 0)
        os.close(self.say)
        os.close(self.hear)

    def page(self):
        found = self.call("Target.getTargets")["targetInfos"]
        return Page(self, next(one["targetId"] for one in found if one["type"] == "page"))

    def call(self, method: str, session: str = "", **params):
        """One command and its answer; events that come in between are kept for `wait`."""
        number = self.send(method, session, **params)
        answer = self._until(lambda said: said.get("id") == number, 60)
        if "error" in answer:
            raise RuntimeError(f"{method}: {answer['error']['message']}")
        return answer["result"]

    def send(self, method: str, session: str = "", **params) -> int:
        """One command, without waiting for its answer."""
        self.count += 1
        said = {"id": self.count, "method": method, "params": params} | ({"sessionId": session} if session else {})
        os.write(self.say, json.dumps(said).encode() + b"\0")
        return self.count

    def wait(self, wanted, seconds: float = 60):
        """The first event, kept or still to come, for which `wanted` is true."""
        for at, event in enumerate(self.events):
            if wanted(event):
                return self.events.pop(at)
        return self._until(wanted, seconds)

    def gather(self, seconds: float):
        """Take in events for a while."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            self._read(end)

    def _until(self, wanted, seconds):
        end = time.monotonic() + seconds
        seen = len(self.events)
        while True:
            for at in range(seen, len(self.events)):
                if wanted(self.events[at]):
                    return self.events.pop(at)
            seen = len(self.events)
            if time.monotonic() > end:
                raise TimeoutError("the browser did not say what was waited for")
            self._read(end)

    def _read(self, end):
        if select.select([self.hear], [], [], max(0, end - time.monotonic()))[0]:
            said = os.read(self.hear, 1 << 20)
            if not said:
                raise EOFError("the browser went away")
            *whole, self.buffer = (self.buffer + said).split(b"\0")
            self.events += [json.loads(one) for one in whole]


class Page:
    """One tab, as a phone unless told otherwise."""

    def __init__(self, browser: Browser, target: str):
        self.browser = browser
        self.session = browser.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        self.call("Page.enable")
        self.call("Runtime.enable")
        self.call("Runtime.addBinding", name="tell")
        self.call("Emulation.setDeviceMetricsOverride", width=360, height=740, deviceScaleFactor=2, mobile=True)
        self.call("Emulation.setTouchEmulationEnabled", enabled=True, maxTouchPoints=2)

    def call(self, method: str, **params):
        return self.browser.call(method, self.session, **params)

    def before(self, script: str):
        """A script that runs in every document before its own."""
        self.call("Page.addScriptToEvaluateOnNewDocument", source=script)

    def slow(self, times: int):
        """The page's main thread that many times slower; the service worker and the disk stay as they are."""
        self.call("Emulation.setCPUThrottlingRate", rate=times)

    def cookie(self, address: str, name: str, value: str):
        self.call("Network.setCookie", name=name, value=value, url=address, httpOnly=True, expires=time.time() + 9e6)

    def go(self, address: str):
        self.call("Page.navigate", url=address)

    def told(self, seconds: float = 60):
        """What the page told with `tell(JSON)`."""
        said = self.browser.wait(lambda event: event.get("method") == "Runtime.bindingCalled", seconds)
        return json.loads(said["params"]["payload"])

    def run(self, script: str):
        """The value of an expression in the page; a promise is awaited."""
        given = self.call("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in given:
            raise RuntimeError(given["exceptionDetails"]["exception"].get("description", "error in the page"))
        return given["result"].get("value")

    def until(self, script: str, seconds: float = 30):
        end = time.monotonic() + seconds
        while not self.run(script):
            assert time.monotonic() < end, f"never came true: {script}"
            time.sleep(0.1)

    def tap(self, x: float, y: float, rests_s: float = 0):
        """A finger down and, so much later, up, as the browser gets it from a touch screen."""
        self.browser.send("Input.dispatchTouchEvent", self.session, type="touchStart", touchPoints=[{"x": x, "y": y}])
        self.browser.gather(rests_s)
        self.call("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])


def _pipe():
    """Both ends of a pipe, numbered out of the way of the two that Chromium reads."""
    ends = os.pipe()
    moved = [fcntl.fcntl(end, fcntl.F_DUPFD_CLOEXEC, 20) for end in ends]
    for end in ends:
        os.close(end)
    return moved
