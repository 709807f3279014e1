"""Who listens in this process, and who says that a shop moved: in this process, in another, on another host.

A notice says only that a shop moved, and to which sequence; it may come twice, late or never.  A phone asks by its
cursor, so that nothing hangs on a notice.  Threads of Django say `moved`; all else runs in the server's one event loop.
"""

import asyncio
import contextlib
import logging
import random
from concurrent.futures import ThreadPoolExecutor

from django.db import close_old_connections, connection, transaction

from .models import Phone, Shop

CHANNEL = "sandtime_moved"
LOOK_S = 1  # other processes on one SQLite file are heard of by a look
STILL_OURS_S = 20  # a phone that was ended hears nothing after this
LONGEST_WAIT_S = 30
NOT_FOR_PSYCOPG = ("cursor_factory", "context", "prepare_threshold", "server_side_binding", "isolation_level")

logger = logging.getLogger(__name__)


class Listener:
    """One open stream: the last sequence that it was told of, and what to wait for."""

    __slots__ = ("ended", "phone", "seq", "shop", "woken")

    def __init__(self, phone: Phone):
        self.phone, self.shop, self.seq, self.ended = phone.pk, phone.shop_id, phone.shop.seq, False
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


class Hub:
    """The streams that are open in this process, by shop."""

    def __init__(self):
        self.shops: dict = {}
        self._loop = None
        self._tasks: list[asyncio.Task] = []
        self._threads = ThreadPoolExecutor(2, "live")

    def moved(self, shop_id, seq: int) -> None:
        """A shop came to a sequence: told from any thread, once it is written."""
        loop = self._loop
        if loop and shop_id in self.shops:
            with contextlib.suppress(RuntimeError):  # the loop was closed in this very moment
                loop.call_soon_threadsafe(self._wake, shop_id, seq)

    async def aside(self, work, *args):
        """Work on the database, off the event loop."""
        return await asyncio.get_running_loop().run_in_executor(self._threads, _fresh, work, *args)

    def enter(self, phone: Phone) -> Listener:
        listener = Listener(phone)
        self.shops.setdefault(listener.shop, set()).add(listener)
        if not self._tasks:
            self._loop = asyncio.get_running_loop()
            others = self._listen if connection.vendor == "postgresql" else self._look
            self._tasks = [asyncio.create_task(task()) for task in (others, self._still_ours)]
        return listener

    def leave(self, listener: Listener) -> None:
        held = self.shops[listener.shop]
        held.discard(listener)
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

    def _all(self) -> list[Listener]:
        return [listener for held in self.shops.values() for listener in held]

    def _wake(self, shop_id, seq: int) -> None:
        for listener in self.shops.get(shop_id, ()):
            listener.wake(seq)

    async def _look(self) -> None:
        """What other processes wrote, seen by looking: one question for all shops that somebody listens to."""
        while True:
            await asyncio.sleep(LOOK_S)
            await self.catch_up(list(self.shops))

    async def _still_ours(self) -> None:
        """Streams of phones that were ended are closed."""
        while True:
            await asyncio.sleep(STILL_OURS_S)
            try:
                held = self._all()
                ours = await self.aside(_not_ended, [one.phone for one in held])
            except Exception:
                logger.exception("the phones could not be looked at")
                continue
            for listener in held:
                if listener.phone not in ours:
                    listener.wake()

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
        name, _, seq = said.partition(" ")
        for shop_id in [one for one in self.shops if str(one) == name]:
            self._wake(shop_id, int(seq))


hub = Hub()


def moved(shop_id, seq: int) -> None:
    """Said inside the transaction that moved a shop; heard by every stream of the shop once it is written."""
    transaction.on_commit(lambda: _tell(shop_id, seq), robust=True)


def _tell(shop_id, seq: int) -> None:
    """After the transaction, not in it: PostgreSQL writes transactions that hold a NOTIFY one after another."""
    hub.moved(shop_id, seq)
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_notify(%s, %s)", [CHANNEL, f"{shop_id} {seq}"])


def _fresh(work, *args):
    """A thread that lives long gives up a connection that broke."""
    close_old_connections()
    try:
        return work(*args)
    finally:
        close_old_connections()


def _seqs(shops: list) -> list:
    return list(Shop.objects.filter(pk__in=shops).values_list("pk", "seq"))


def _not_ended(phones: list) -> set:
    return set(Phone.objects.filter(pk__in=phones, ended_ms=None).values_list("pk", flat=True))


def _address() -> dict:
    """Where the database is, as psycopg takes it."""
    given = connection.get_connection_params()
    return {key: value for key, value in given.items() if key not in NOT_FOR_PSYCOPG}
