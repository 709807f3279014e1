"""Strangers at a real server: who send slowly, read slowly, or come in crowds; and a server that says what it logs."""

import os
import resource
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request

from tests.browser.conftest import Server
from tests.conftest import ROOT
from tests.support import ready_made

PATIENCE_S = 20  # nothing is measured; a machine may be slow
FORM = "Content-Type: application/x-www-form-urlencoded"


class Watched(Server):
    """A server whose log can be read, under a limit of open files if one is named."""

    def start(self, files: int = 0, **more: str):
        command = [sys.executable, "manage.py", "serve", "--no-browser", "--port", str(self.port), *self.options]
        own = {"SANDTIME_DATA": str(self.folder), "SANDTIME_STATIC": ready_made.static(), "SANDTIME_DEBUG": ""}
        self.output = self.folder.parent / f"said-{self.port}"
        ready_made.database(self.folder)
        limit = (lambda: resource.setrlimit(resource.RLIMIT_NOFILE, (files, files))) if files else None
        with self.output.open("w") as out:
            self.process = subprocess.Popen(
                command,
                cwd=ROOT,
                env={**os.environ, **own, **more},
                stdout=out,
                stderr=subprocess.STDOUT,
                preexec_fn=limit,  # noqa: PLW1509  (one call of the system, before anything else)
            )
        return self.wait()

    def spent_s(self) -> float:
        """Seconds of processor that the server has taken."""
        with open(f"/proc/{self.process.pid}/stat") as file:
            fields = file.read().rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


class Stranger:
    """A connection that says what it likes, when it likes."""

    def __init__(self, server: Server, sent: bytes = b"", takes: int = 0):
        self.wire = socket.socket()
        if takes:
            self.wire.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, takes)
        self.wire.settimeout(PATIENCE_S)
        self.wire.connect(("127.0.0.1", server.port))
        self.wire.sendall(sent)

    def heard(self, most: int = 1 << 16) -> bytes:
        """All that the server says until it closes; TimeoutError where it does not."""
        received = b""
        try:
            while len(received) < most and (more := self.wire.recv(1 << 14)):
                received += more
        except ConnectionError:
            pass
        return received

    def status(self) -> int:
        return int(self.wire.recv(1 << 12).split()[1])

    def close(self):
        self.wire.close()


def head(path: str, *lines: str, method: str = "POST") -> bytes:
    return "\r\n".join([f"{method} {path} HTTP/1.1", "Host: localhost", "X-Sandtime: 1", *lines, "", ""]).encode()


def asked(server: Server, path: str = "clock", body: bytes | None = None, method: str | None = None, **headers: str):
    """An honest visitor: the status, the headers and the body."""
    named = {name.replace("__", "-"): value for name, value in headers.items()}
    request = urllib.request.Request(f"{server.address}{path}", body, named, method=method)
    try:
        with urllib.request.urlopen(request, timeout=PATIENCE_S / 2) as answer:
            return answer.status, answer.headers, answer.read()
    except urllib.error.HTTPError as why:
        with why:
            return why.code, why.headers, why.read()


def soon(holds, within_s: float = PATIENCE_S) -> bool:
    end = time.monotonic() + within_s
    while not holds() and time.monotonic() < end:
        time.sleep(0.05)
    return holds()
