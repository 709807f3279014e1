"""A shop box for tests: its certificates under a handshake of Python's own TLS, and `serve --lan` as a process."""

import contextlib
import http.client
import os
import signal
import socket
import ssl
import subprocess
import sys
import time

from cryptography import x509

from shop.lan import certificates
from tests.conftest import ROOT, free_port
from tests.support import ready_made


class Refused(Exception):
    """A client did not trust the box."""


class Chain:
    """Certificates for some names, in a folder of their own."""

    def __init__(self, folder, names: list[str]):
        self.folder = folder
        self.files = certificates.ensure_files(folder, names, certificates.now())

    def leaf(self) -> x509.Certificate:
        return x509.load_pem_x509_certificate(self.files.leaf.read_bytes())

    def authority(self) -> x509.Certificate:
        return x509.load_der_x509_certificate(self.files.authority)

    def handshake(self, name: str, trusts: ssl.SSLContext | None = None) -> str:
        """The version of TLS that a client and the box agree on in memory; Refused in the client's words."""
        box = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        box.load_cert_chain(self.files.leaf)
        trusts = trusts or ssl.create_default_context(cadata=self.files.authority)
        up, down = ssl.MemoryBIO(), ssl.MemoryBIO()
        client, server = trusts.wrap_bio(down, up, server_hostname=name), box.wrap_bio(up, down, server_side=True)
        for _ in range(4):
            try:
                for side in (client, server):
                    with contextlib.suppress(ssl.SSLWantReadError):
                        side.do_handshake()
            except ssl.SSLCertVerificationError as why:
                raise Refused(why.verify_message) from why
        return client.version()


class Box:
    """`manage.py serve --lan` on a folder of its own."""

    def __init__(self, folder, *options: str):
        self.folder, self.output = folder, folder.parent / "said"
        self.port, self.page_port = free_port(), free_port()
        ports = ["--port", str(self.port), "--page-port", str(self.page_port)]
        command = [sys.executable, "manage.py", "serve", "--lan", *ports, *options]
        env = {**os.environ, "SANDTIME_DATA": str(folder), "SANDTIME_STATIC": ready_made.static(), "SANDTIME_DEBUG": ""}
        ready_made.database(folder)
        with self.output.open("w") as out:
            self.process = subprocess.Popen(command, cwd=ROOT, env=env, stdout=out, stderr=subprocess.STDOUT)

    def ready(self):
        """Wait until it answers."""
        for _ in range(600):
            assert self.process.poll() is None, self.output.read_text()
            with contextlib.suppress(OSError):
                socket.create_connection(("127.0.0.1", self.port), 1).close()
                return self
            time.sleep(0.1)
        raise AssertionError("the box did not answer within a minute")

    def trusting(self) -> ssl.SSLContext:
        """What a phone trusts that took the authority from the box's page."""
        return ssl.create_default_context(cadata=self.page("/sandtime-authority.crt")[1])

    def ask(self, method: str, path: str, body=None, host: str = "localhost", **headers):
        """An answer over https and its body."""
        road = http.client.HTTPSConnection(host, self.port, timeout=60, context=self.trusting())
        with contextlib.closing(road):
            road.request(method, path, body, headers)
            answer = road.getresponse()
            return answer, answer.read()

    def page(self, path: str = "/", method: str = "GET"):
        """An answer of the plain page and its body."""
        road = http.client.HTTPConnection("127.0.0.1", self.page_port, timeout=60)
        with contextlib.closing(road):
            road.request(method, path)
            answer = road.getresponse()
            return answer, answer.read()

    def stop(self):
        self.process.send_signal(signal.SIGTERM)
        self.process.wait(timeout=30)
