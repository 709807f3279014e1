"""`serve --lan`: https with our own certificate, the trust page beside it, and a regular check of the addresses."""

import ssl
import threading
from pathlib import Path

import uvicorn
from django.conf import settings

from ..server import serving
from . import certificates
from .trust_page import Page, qr_text

REFRESH_S = 60
CIPHERS = "ECDHE+AESGCM:ECDHE+CHACHA20"  # of TLS 1.2; those of 1.3 are all as good


class PortInUse(OSError):
    """A port is in use."""


class Box:
    """A shop box on its network.  Its certificate is renewed while it runs, for new addresses or before it ends."""

    def __init__(self, host: str, port: int, page_port: int, folder: Path, report):
        self.host, self.port, self.folder, self.report = host, port, folder, report
        self.names: list[str] = []
        self.files: certificates.Files | None = None
        self.server: uvicorn.Server | None = None
        try:
            self.page = Page(host, page_port, port)
        except OSError as why:
            words = f"Port {page_port} cannot be had ({why.strerror}). Choose another with --page-port."
            raise PortInUse(words) from why

    def run(self) -> None:
        """Serve until stopped."""
        self.refresh()
        config = serving.config(self.host, self.port, ssl_certfile=str(self.files.leaf))
        config.load()
        config.ssl.minimum_version = ssl.TLSVersion.TLSv1_2
        config.ssl.set_ciphers(CIPHERS)
        self.server = serving.Server(config)
        self.page.start()
        self.announce()
        stopped = threading.Event()
        threading.Thread(target=self._watch, args=(stopped,), daemon=True, name="lan watch").start()
        try:
            self.server.run()
        finally:
            stopped.set()
            self.page.shutdown()
            self.page.server_close()

    def refresh(self) -> bool:
        """Take up new names or a new certificate; whether there were any."""
        names = certificates.host_names(self.host)
        files = certificates.ensure_files(self.folder, names, certificates.now())
        if (names, files.fingerprint) == (self.names, self.files and self.files.fingerprint) and not files.made:
            return False
        self.names, self.files = names, files
        self.page.update(names, files)
        hosts = [certificates.bracketed(name) for name in names]
        settings.ALLOWED_HOSTS[:] = dict.fromkeys([*settings.ALLOWED_HOSTS, *hosts])
        if self.server:
            self.server.config.ssl.load_cert_chain(files.leaf)  # new visits get the new one
        return True

    def announce(self) -> None:
        """Print the addresses, for the person at the box."""
        https = [f"https://{certificates.bracketed(name)}:{self.port}/" for name in self.names]
        first = f"http://{certificates.bracketed(self.names[0])}:{self.page.server_address[1]}/"
        self.report(f"Sandtime runs at {https[0]}  (Ctrl-C stops it)")
        self.report(f"also at {'  '.join(https[1:])}")
        self.report(f"A new phone opens {first} first: it says how to make it trust this box.\n{qr_text(first)}")
        self.report(f"The fingerprint that the phone shows must be this one (SHA-256):\n{self.files.fingerprint}")

    def _watch(self, stopped: threading.Event) -> None:
        while not stopped.wait(REFRESH_S):
            try:
                if self.refresh():
                    self.announce()
            except (OSError, ValueError) as why:  # the folder is full or away: the old certificate serves on
                self.report(f"The certificate could not be looked after: {why}")
