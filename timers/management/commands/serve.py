"""`manage.py serve`: migrations, static files, the ringer and the server in one command."""

import contextlib
import os
import threading
import webbrowser

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection

from shop.base import database, limits
from shop.lan import box_server, certificates
from shop.models import Shop
from shop.security.guards import now_ms
from shop.server import serving
from shop.shell import collect
from timers.alarm.ringer import Ringer
from timers.shops import renewal
from timers.shops.demo import demo_shop
from timers.shops.sign_up import furnished_shop


class Command(BaseCommand):
    help = "Bring the database and static files up to date, start the server and print its address."

    def add_arguments(self, parser):
        parser.add_argument("--demo", action="store_true", help="a demo shop that every phone of this address joins")
        parser.add_argument("--one-shop", action="store_true", help="every phone of this address joins one shop")
        parser.add_argument("--host", help="127.0.0.1; with --lan all addresses of this machine")
        parser.add_argument("--port", type=int, help="8000; with --lan 8443")
        parser.add_argument("--lan", action="store_true", help="https for the phones of this network, as a shop box")
        parser.add_argument("--page-port", type=int, default=8080, help="with --lan: http, how to trust this box")
        parser.add_argument("--no-browser", action="store_true", help="do not open a browser window here")

    def handle(self, *args, demo, one_shop, no_browser, **options):
        os.umask(0o077)  # files in the data folder are readable by their owner only
        settings.DATA_DIR.mkdir(parents=True, exist_ok=True)
        settings.OPEN_SHOP = settings.OPEN_SHOP or demo or one_shop
        with database.migrating(connection):
            call_command("migrate", interactive=False, verbosity=0)
            if demo and Shop.objects.filter(demo=False).exists():
                raise CommandError("--demo lets everybody in, and this folder holds a real shop: name another folder.")
            if (demo or one_shop) and not Shop.objects.exists():
                (demo_shop if demo else _plain_shop)(settings.SHOP_ZONE, now_ms())
            renewal.renew(now_ms())
        collect.collect()
        self._raise_file_limit()
        stopped = threading.Event()
        ringer = threading.Thread(target=Ringer(now_ms).run, args=(stopped,), daemon=True, name="ringer")
        ringer.start()
        try:
            if options["lan"]:
                self._box(options["host"] or "0.0.0.0", options["port"] or 8443, options["page_port"])
            else:
                self._plain(options["host"] or "127.0.0.1", options["port"] or 8000, no_browser)
        finally:
            stopped.set()
            ringer.join(timeout=2)

    def _box(self, host: str, port: int, page_port: int) -> None:
        """A shop box: https for its own network, and the http page that explains how to trust it."""
        if host not in certificates.ANY and not certificates.is_private(host):
            raise CommandError(f"{host} is no address of a private network and no name ending in .local.")
        try:
            box_server.Box(host, port, page_port, settings.DATA_DIR / "lan", self._print).run()
        except (certificates.CertificateError, box_server.PortInUse) as why:
            raise CommandError(str(why)) from why

    def _plain(self, host: str, port: int, no_browser: bool) -> None:
        if host not in settings.ALLOWED_HOSTS and host not in ("0.0.0.0", "::"):
            settings.ALLOWED_HOSTS.append(host)
        address = f"http://{'localhost' if host == '127.0.0.1' else host}:{port}/"
        self._print(f"Sandtime runs at {address}  (Ctrl-C stops it)")
        if not no_browser and (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
            webbrowser.open(address)
        with contextlib.suppress(KeyboardInterrupt):
            serving.Server(serving.config(host, port)).run()

    def _raise_file_limit(self) -> None:
        if files := limits.raise_open_files():
            most = limits.most_connections(settings.LIMITS.connections)
            self._print(f"Open files: {files[1]} (were {files[0]}), so at most {most} connections at once.")

    def _print(self, words: str) -> None:
        self.stdout.write(words)
        self.stdout.flush()


def _plain_shop(zone: str, at_ms: int) -> None:
    furnished_shop("My shop", zone, at_ms)
