"""`manage.py ringer`: the server's ringer as a process of its own; as many as wanted, on as many hosts."""

import signal
import threading

from django.core.management.base import BaseCommand

from shop.security.guards import now_ms
from timers.alarm.ringer import Ringer, put_right
from timers.management import preflight


class Command(BaseCommand):
    help = "Tell phones by push what rings, until stopped.  `serve` does this too; more of them ring nothing twice."

    def add_arguments(self, parser):
        parser.add_argument("--once", action="store_true", help="tell what is due now, and end")

    def handle(self, *args, once, **options):
        preflight.needed()
        ringer = Ringer(now_ms)
        if once:
            put_right(now_ms())
            ringer.turn()
            ringer.settle()
            return
        stopped = threading.Event()
        for name in (signal.SIGTERM, signal.SIGINT):
            signal.signal(name, lambda *_: stopped.set())
        self.stdout.write("The ringer rings  (Ctrl-C stops it)")
        self.stdout.flush()
        ringer.run(stopped)
