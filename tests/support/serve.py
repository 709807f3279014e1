"""A server of the tests: `manage.py serve` in a process of its own."""

import os
import signal
import subprocess
import sys
import time
import urllib.request

from tests.conftest import ROOT, free_port

from . import ready_made

# manage.py, but quick where it compresses files of its own.
MANAGE = f"import runpy; {ready_made.QUICKLY}; runpy.run_path('manage.py', run_name='__main__')"


class Server:
    """`manage.py serve` on a folder of its own; it can be stopped, killed and started again on the same address."""

    def __init__(self, folder, *options: str):
        self.folder, self.options = folder, options
        self.port = free_port()
        self.address = f"http://localhost:{self.port}/"
        self.process = None

    def start(self, **more: str):
        command = [sys.executable, "-c", MANAGE, "serve", "--no-browser", "--port", str(self.port), *self.options]
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
