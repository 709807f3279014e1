"""`manage.py serve`: everything from an empty folder to an open address."""

import os
import threading
import webbrowser

import uvicorn
from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand
from django.db import connection

from shop import database
from shop.models import Shop
from timers.begin import furnished_shop
from timers.demo import demo_shop
from timers.ringer import Ringer
from timers.views import now_ms


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
        settings.OPEN_SHOP = settings.OPEN_SHOP or demo or one_shop
        with database.one_at_a_time(connection):
            call_command("migrate", interactive=False, verbosity=0)
            if (demo or one_shop) and not Shop.objects.exists():
                (demo_shop if demo else _plain_shop)(settings.SHOP_ZONE, now_ms())
        call_command("collectstatic", interactive=False, clear=True, verbosity=0)
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
            uvicorn.run("shop.asgi:application", host=host, port=port, log_config=None, lifespan="off")
        finally:
            stopped.set()
            ringer.join(timeout=2)


def _plain_shop(zone: str, at_ms: int) -> None:
    furnished_shop("My shop", zone, at_ms)
