"""Who listens in this process, and who says that a shop moved: in this process, in another, on another host.

A notice says only that a shop moved, and to which sequence, or that its phones changed: a phone of another role asks at
once, one that was ended hears no more.  It may come twice, late or never.  A phone asks by its cursor, so that nothing
hangs on a notice.  Threads of Django say `moved`; all else runs in the server's one event loop.
"""

import asyncio
import contextlib
import logging
import random
from collections import Counter
from concurrent.futures import ThreadPoolExecutor

from django.db import close_old_connections, connection, transaction

from .models import Phone, Shop

CHANNEL = "sandtime_moved"
PHONES = "phones"  # said in the place of a sequence: roles changed, or a phone was ended
LOOK_S = 1  # other processes on one SQLite file are heard of by a look
STILL_OURS_S = 20  # a phone that was ended hears nothing after this
LONGEST_WAIT_S = 30
NOT_FOR_PSYCOPG = ("cursor_factory", "context", "prepare_threshold", "server_side_binding", "isolation_level")

logger = logging.getLogger(__name__)


class Listener:
    """One open stream: the last sequence that it was told of, whether its phone is to ask anyway, what to wait for."""

    __slots__ = ("address", "asks", "ended", "phone", "role", "seq", "shop", "woken")

    def __init__(self, phone: Phone, address: str = ""):
        self.address = address
        self.phone, self.shop, self.seq, self.role = phone.pk, phone.shop_id, phone.shop.seq, phone.role
        self.asks = self.ended = False
        self.woken = asyncio.Event()

    def wake(self, seq: int | None = None) -> None:
        """To a higher sequence, or for good."""
        if seq is None:
            self.ended = True
        elif seq <= self.seq:
            return
        else:
            self.seq = seq
        self.woken.set()

    def now(self, role: str | None) -> None:
        """The role that the phone has; None: it was ended."""
        if role is None:
            self.wake()
        elif role != self.role:
            self.role, self.asks = role, True
            self.woken.set()


class Hub:
    """The streams that are open in this process, by shop."""

    def __init__(self):
        self.shops: dict = {}
        self.count, self.addresses = 0, Counter()
        self._loop = None
        self._tasks: list[asyncio.Task] = []
        self._looks: set[asyncio.Future] = set()  # held, so that none is lost halfway
        self._threads = ThreadPoolExecutor(2, "live")

    def moved(self, shop_id, what) -> None:
        """A shop came to a sequence, or its phones changed: told from any thread, once it is written."""
        loop = self._loop
        if loop and shop_id in self.shops:
            with contextlib.suppress(RuntimeError):  # the loop was closed in this very moment
                loop.call_soon_threadsafe(self._wake, shop_id, what)

    async def aside(self, work, *args):
        """Work on the database, off the event loop."""
        return await asyncio.get_running_loop().run_in_executor(self._threads, _fresh, work, *args)

    def enter(self, phone: Phone, known: str = "", address: str = "") -> Listener:
        """A phone listens; `known` is the role that it knows it has."""
        listener = Listener(phone, address)
        self.count += 1
        self.addresses[address] += 1
        listener.asks = known not in ("", phone.role)
        self.shops.setdefault(listener.shop, set()).add(listener)
        if not self._tasks:
            self._loop = asyncio.get_running_loop()
            others = self._listen if connection.vendor == "postgresql" else self._look
            self._tasks = [asyncio.create_task(task()) for task in (others, self._still_ours)]
        return listener

    def leave(self, listener: Listener) -> None:
        held = self.shops[listener.shop]
        held.discard(listener)
        self.count -= 1
        self.addresses[listener.address] -= 1
        if not self.addresses[listener.address]:
            del self.addresses[listener.address]
        if not held:
            del self.shops[listener.shop]
        if not self.shops:
            for task in self._tasks:
                task.cancel()
            self._tasks, self._loop = [], None

    def close(self) -> None:
        """Every stream ends: the server stops."""
        for listener in self._all():
            listener.wake()

    async def catch_up(self, shops: list) -> None:
        """What was missed: where shops stand now."""
        try:
            for shop_id, seq in await self.aside(_seqs, shops):
                self._wake(shop_id, seq)
        except Exception:
            logger.exception("the shops could not be looked at")

    def open_of(self, phone: Phone) -> int:
        return sum(one.phone == phone.pk for one in self.shops.get(phone.shop_id, ()))

    def open_in(self, shop_id) -> int:
        return len(self.shops.get(shop_id, ()))

    def _all(self) -> list[Listener]:
        return [listener for held in self.shops.values() for listener in held]

    def _wake(self, shop_id, what) -> None:
        held = self.shops.get(shop_id, ())
        if what == PHONES:
            self._looks.add(looking := asyncio.ensure_future(self._roles_of([*held])))
            looking.add_done_callback(self._looks.discard)
            return
        for listener in held:
            listener.wake(what)

    async def _look(self) -> None:
        """What other processes wrote, seen by looking: one question for all shops that somebody listens to, and one for
        all phones that listen."""
        while True:
            await asyncio.sleep(LOOK_S)
            await self.catch_up(list(self.shops))
            await self._roles_of(self._all())

    async def _still_ours(self) -> None:
        """A notice of phones that was lost is made good."""
        while True:
            await asyncio.sleep(STILL_OURS_S)
            await self._roles_of(self._all())

    async def _roles_of(self, held: list[Listener]) -> None:
        """Phones that were given another role ask; streams of phones that were ended are closed."""
        try:
            roles = await self.aside(_roles, [one.phone for one in held])
        except Exception:
            logger.exception("the phones could not be looked at")
            return
        for listener in held:
            listener.now(roles.get(listener.phone))

    async def _listen(self) -> None:
        """What other processes and hosts say, by PostgreSQL's NOTIFY: one connection, taken up again when it breaks."""
        import psycopg

        tries = 0
        while True:
            try:
                async with await psycopg.AsyncConnection.connect(**_address(), autocommit=True) as wire:
                    await wire.execute(f"LISTEN {CHANNEL}")
                    await self.catch_up(list(self.shops))
                    tries = 0
                    async for notice in wire.notifies():
                        self._heard(notice.payload)
            except psycopg.Error as why:
                logger.warning("notices of other processes are late: %s", why)
            tries += 1
            await asyncio.sleep(min(LONGEST_WAIT_S, 2**tries / 4) * random.uniform(0.5, 1))

    def _heard(self, said: str) -> None:
        name, _, what = said.partition(" ")
        for shop_id in [one for one in self.shops if str(one) == name]:
            self._wake(shop_id, what if what == PHONES else int(what))


hub = Hub()


def moved(shop_id, seq: int) -> None:
    """Said inside the transaction that moved a shop; heard by every stream of the shop once it is written."""
    transaction.on_commit(lambda: _tell(shop_id, seq), robust=True)


def phones_changed(shop_id) -> None:
    """Said inside the transaction that gave a phone another role, or ended it."""
    transaction.on_commit(lambda: _tell(shop_id, PHONES), robust=True)


def _tell(shop_id, what) -> None:
    """After the transaction, not in it: PostgreSQL writes transactions that hold a NOTIFY one after another."""
    hub.moved(shop_id, what)
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_notify(%s, %s)", [CHANNEL, f"{shop_id} {what}"])


def _fresh(work, *args):
    """A thread that lives long gives up a connection that broke."""
    close_old_connections()
    try:
        return work(*args)
    finally:
        close_old_connections()


def _seqs(shops: list) -> list:
    return list(Shop.objects.filter(pk__in=shops).values_list("pk", "seq"))


def _roles(phones: list) -> dict:
    return dict(Phone.objects.filter(pk__in=phones, ended_ms=None).values_list("pk", "role"))


def _address() -> dict:
    """Where the database is, as psycopg takes it."""
    given = connection.get_connection_params()
    return {key: value for key, value in given.items() if key not in NOT_FOR_PSYCOPG}
