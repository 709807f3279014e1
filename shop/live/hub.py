"""Publish/subscribe for open streams: a shop moved, in this process, in another one, or on another host.

A notice holds a shop and its new sequence, or that its phones changed (a phone whose role changed then syncs, the
stream of an ended one is closed).  Notices may be repeated, late or lost: phones sync by cursor, so correctness does
not depend on them.  Django's threads call `publish_moved`; everything else runs in the server's one event loop.
"""

import asyncio
import contextlib
import logging
import random
from collections import Counter
from concurrent.futures import ThreadPoolExecutor

from django.db import close_old_connections, connection, transaction

from ..models import Phone, Shop

CHANNEL = "sandtime_moved"
PHONES = "phones"  # in the place of a sequence: roles changed, or a phone was ended
POLL_S = 1  # on SQLite, changes by other processes are polled for
RECHECK_S = 20  # the stream of an ended phone is closed within this
LONGEST_WAIT_S = 30
NOT_FOR_PSYCOPG = ("cursor_factory", "context", "prepare_threshold", "server_side_binding", "isolation_level")

logger = logging.getLogger(__name__)


class Listener:
    """One open stream: its last sequence, whether its phone is to sync anyway, and the event it waits for."""

    __slots__ = ("address", "asks", "ended", "phone", "role", "seq", "shop", "woken")

    def __init__(self, phone: Phone, address: str = ""):
        self.address = address
        self.phone, self.shop, self.seq, self.role = phone.pk, phone.shop_id, phone.shop.seq, phone.role
        self.asks = self.ended = False
        self.woken = asyncio.Event()

    def wake(self, seq: int | None = None) -> None:
        """Wake the stream: for a higher sequence, or to end it (None)."""
        if seq is None:
            self.ended = True
        elif seq <= self.seq:
            return
        else:
            self.seq = seq
        self.woken.set()

    def set_role(self, role: str | None) -> None:
        """Take over the phone's current role; None ends the stream of an ended phone."""
        if role is None:
            self.wake()
        elif role != self.role:
            self.role, self.asks = role, True
            self.woken.set()


class Hub:
    """The open streams of this process, by shop."""

    def __init__(self):
        self.shops: dict = {}
        self.count, self.addresses = 0, Counter()
        self._loop = None
        self._tasks: list[asyncio.Task] = []
        self._role_checks: set[asyncio.Future] = set()  # references, so that no task is garbage collected
        self._threads = ThreadPoolExecutor(2, "live")

    def moved(self, shop_id, what) -> None:
        """Wake a shop's streams for a sequence or PHONES; thread-safe, called after commit."""
        loop = self._loop
        if loop and shop_id in self.shops:
            with contextlib.suppress(RuntimeError):  # the loop was closed in this very moment
                loop.call_soon_threadsafe(self._wake, shop_id, what)

    async def in_thread(self, work, *args):
        """Run database work in a thread, off the event loop."""
        return await asyncio.get_running_loop().run_in_executor(self._threads, _with_fresh_connection, work, *args)

    def enter(self, phone: Phone, known: str = "", address: str = "") -> Listener:
        """Register a stream; `known` is the role that the phone believes it has."""
        listener = Listener(phone, address)
        self.count += 1
        self.addresses[address] += 1
        listener.asks = known not in ("", phone.role)
        self.shops.setdefault(listener.shop, set()).add(listener)
        if not self._tasks:
            self._loop = asyncio.get_running_loop()
            others = self._listen if connection.vendor == "postgresql" else self._poll
            self._tasks = [asyncio.create_task(task()) for task in (others, self._recheck_roles)]
        return listener

    def leave(self, listener: Listener) -> None:
        listeners = self.shops[listener.shop]
        listeners.discard(listener)
        self.count -= 1
        self.addresses[listener.address] -= 1
        if not self.addresses[listener.address]:
            del self.addresses[listener.address]
        if not listeners:
            del self.shops[listener.shop]
        if not self.shops:
            for task in self._tasks:
                task.cancel()
            self._tasks, self._loop = [], None

    def close(self) -> None:
        """End every stream: the server is stopping."""
        for listener in self._all():
            listener.wake()

    async def catch_up(self, shops: list) -> None:
        """Wake streams of shops whose sequence moved unnoticed."""
        try:
            for shop_id, seq in await self.in_thread(_seqs, shops):
                self._wake(shop_id, seq)
        except Exception:
            logger.exception("the shops could not be looked at")

    def open_of(self, phone: Phone) -> int:
        return sum(one.phone == phone.pk for one in self.shops.get(phone.shop_id, ()))

    def open_in(self, shop_id) -> int:
        return len(self.shops.get(shop_id, ()))

    def _all(self) -> list[Listener]:
        return [listener for listeners in self.shops.values() for listener in listeners]

    def _wake(self, shop_id, what) -> None:
        listeners = self.shops.get(shop_id, ())
        if what == PHONES:
            self._role_checks.add(looking := asyncio.ensure_future(self._roles_of([*listeners])))
            looking.add_done_callback(self._role_checks.discard)
            return
        for listener in listeners:
            listener.wake(what)

    async def _poll(self) -> None:
        """Poll for changes by other processes: one query for all shops with streams, one for their phones."""
        while True:
            await asyncio.sleep(POLL_S)
            await self.catch_up(list(self.shops))
            await self._roles_of(self._all())

    async def _recheck_roles(self) -> None:
        """Make up for lost notices about phones."""
        while True:
            await asyncio.sleep(RECHECK_S)
            await self._roles_of(self._all())

    async def _roles_of(self, listeners: list[Listener]) -> None:
        """Let phones with a new role sync; close the streams of ended phones."""
        try:
            roles = await self.in_thread(_roles, [one.phone for one in listeners])
        except Exception:
            logger.exception("the phones could not be looked at")
            return
        for listener in listeners:
            listener.set_role(roles.get(listener.phone))

    async def _listen(self) -> None:
        """Notices of other processes and hosts by PostgreSQL's NOTIFY: one connection, reopened when it breaks."""
        import psycopg

        tries = 0
        while True:
            try:
                async with await psycopg.AsyncConnection.connect(**_connection_params(), autocommit=True) as wire:
                    await wire.execute(f"LISTEN {CHANNEL}")
                    await self.catch_up(list(self.shops))
                    tries = 0
                    async for notice in wire.notifies():
                        self._on_notice(notice.payload)
            except psycopg.Error as why:
                logger.warning("notices of other processes are late: %s", why)
            tries += 1
            await asyncio.sleep(min(LONGEST_WAIT_S, 2**tries / 4) * random.uniform(0.5, 1))

    def _on_notice(self, payload: str) -> None:
        name, _, what = payload.partition(" ")
        for shop_id in [one for one in self.shops if str(one) == name]:
            self._wake(shop_id, what if what == PHONES else int(what))


hub = Hub()


def publish_moved(shop_id, seq: int) -> None:
    """Call inside the transaction that moved a shop; its streams are woken after the commit."""
    transaction.on_commit(lambda: _publish(shop_id, seq), robust=True)


def publish_phones(shop_id) -> None:
    """Call inside the transaction that changed a phone's role, or ended it."""
    transaction.on_commit(lambda: _publish(shop_id, PHONES), robust=True)


def _publish(shop_id, what) -> None:
    """Runs after the transaction: PostgreSQL serializes commits of transactions that contain a NOTIFY."""
    hub.moved(shop_id, what)
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_notify(%s, %s)", [CHANNEL, f"{shop_id} {what}"])


def _with_fresh_connection(work, *args):
    """Run database work in a long-lived thread without a stale connection."""
    close_old_connections()
    try:
        return work(*args)
    finally:
        close_old_connections()


def _seqs(shops: list) -> list:
    return list(Shop.objects.filter(pk__in=shops).values_list("pk", "seq"))


def _roles(phones: list) -> dict:
    return dict(Phone.objects.filter(pk__in=phones, ended_ms=None).values_list("pk", "role"))


def _connection_params() -> dict:
    """The database's connection parameters for psycopg."""
    params = connection.get_connection_params()
    return {key: value for key, value in params.items() if key not in NOT_FOR_PSYCOPG}
