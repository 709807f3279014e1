"""Run by test_join_races.py in a process of its own: many phones at once use one code, on a database on the disk."""

import os
import sys
import threading

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
django.setup()

from django.core.management import call_command  # noqa: E402
from django.db import connection  # noqa: E402

from shop.models import Invite, Phone  # noqa: E402
from shop.phones import attempts, joining  # noqa: E402
from shop.security import access, errors, rate_limit  # noqa: E402
from timers.shops.sign_up import untouched  # noqa: E402
from timers.web.pages import now_ms  # noqa: E402

THREADS = 16


class Racer(threading.Thread):
    """Phones one after another, each with an address of its own, all with one code; who was let in, and why not."""

    def __init__(self, first: int, count: int, said: list[dict], start: threading.Barrier):
        super().__init__()
        self.numbers, self.said, self.start_line = range(first, first + count), said, start
        self.tokens: list[str] = []
        self.refused: dict[str, int] = {}

    def run(self):
        self.start_line.wait()
        for n in self.numbers:
            try:
                way = joining.admission(self.said[n % 2], f"phone {n}", "", now_ms())
                self.tokens.append(joining.join(way, None, f"Phone {n}", "", now_ms(), untouched)[1])
            except errors.UserError as why:
                self.refused[str(why)] = self.refused.get(str(why), 0) + 1
        connection.close()


def main(racers: int) -> None:
    call_command("migrate", interactive=False, verbosity=0)
    race(racers)
    count(racers)


def race(racers: int) -> None:
    """One code, many phones: one is let in."""
    shop = access.new_shop("Any garage", "UTC", now_ms())
    keeper, _ = access.new_phone(shop, Phone.Role.KEEPER, now_ms())
    attempts.MOST_TYPED = racers  # the limit is another test's; here all must come through to the code
    secret, code, _ = joining.create_invite(shop, Phone.Role.PAINTER, now_ms())
    start = threading.Barrier(THREADS)
    each = -(-racers // THREADS)
    said = [{"secret": secret}, {"typed": code}]
    threads = [Racer(n * each, min(each, racers - n * each), said, start) for n in range(THREADS)]
    together(threads)
    tokens = [token for thread in threads for token in thread.tokens]
    refused = sum(sum(thread.refused.values()) for thread in threads)
    words = {why for thread in threads for why in thread.refused}
    assert refused + len(tokens) == racers, (refused, tokens)
    assert words <= {f"Another phone has used this {kind}. Ask for a new one." for kind in ("code", "link")}, words
    winner = Phone.objects.exclude(pk=keeper.pk).get()  # one row, whoever was told what
    assert [access.phone_with_token(token) for token in tokens] == [winner]
    assert Invite.objects.get().phone == winner
    print(f"{len(tokens)} of {racers}")


def count(tries: int) -> None:
    """One key, many tries: exactly as many are let through as may be."""
    at_ms, let_through = now_ms(), []

    def spend():
        for _ in range(tries // THREADS):
            if rate_limit.spend("one key", tries // 4, 600_000, at_ms):
                let_through.append(1)
        connection.close()

    together([threading.Thread(target=spend) for _ in range(THREADS)])
    assert len(let_through) == tries // 4, len(let_through)


def together(threads: list[threading.Thread]) -> None:
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


if __name__ == "__main__":
    main(int(sys.argv[1]))
