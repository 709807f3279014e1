"""`manage.py serve`: everything from an empty folder to an open address."""

import contextlib
import os
import threading
import webbrowser

import uvicorn
from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand

from shop.hub import hub
from shop.models import Shop
from timers.begin import furnished_shop
from timers.demo import demo_shop
from timers.ringer import Ringer
from timers.views import now_ms

SERVED = {"log_level": "warning", "lifespan": "off", "timeout_graceful_shutdown": 5}


class _Server(uvicorn.Server):
    """Streams are open for ever: they end when the server does, so that it need not wait for them."""

    async def shutdown(self, sockets=None):
        hub.close()
        await super().shutdown(sockets)


class Command(BaseCommand):
    help = "Bring the database and static files up to date, start the server and print its address."

    def add_arguments(self, parser):
        parser.add_argument("--demo", action="store_true", help="a demo shop that every phone of this address joins")
        parser.add_argument("--one-shop", action="store_true", help="every phone of this address joins one shop")
        parser.add_argument("--host", default="127.0.0.1")
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--no-browser", action="store_true", help="do not open a browser window here")

    def handle(self, *args, demo, one_shop, host, port, no_browser, **options):
        settings.DATA_DIR.mkdir(parents=True, exist_ok=True)
        call_command("migrate", interactive=False, verbosity=0)
        call_command("collectstatic", interactive=False, clear=True, verbosity=0)
        if demo or one_shop:
            settings.OPEN_SHOP = True
            if not Shop.objects.exists():
                (demo_shop if demo else _plain_shop)(settings.SHOP_ZONE, now_ms())
        if host not in settings.ALLOWED_HOSTS and host not in ("0.0.0.0", "::"):
            settings.ALLOWED_HOSTS.append(host)
        address = f"http://{'localhost' if host == '127.0.0.1' else host}:{port}/"
        self.stdout.write(f"Sandtime runs at {address}  (Ctrl-C stops it)")
        self.stdout.flush()
        if not no_browser and (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
            webbrowser.open(address)
        stopped = threading.Event()
        ringer = threading.Thread(target=Ringer(now_ms).run, args=(stopped,), daemon=True, name="ringer")
        ringer.start()
        try:
            with contextlib.suppress(KeyboardInterrupt):
                _Server(uvicorn.Config("shop.asgi:application", host=host, port=port, **SERVED)).run()
        finally:
            stopped.set()
            ringer.join(timeout=2)


def _plain_shop(zone: str, at_ms: int) -> None:
    furnished_shop("My shop", zone, at_ms)
