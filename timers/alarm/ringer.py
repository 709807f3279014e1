"""The server's ringer: decides once what rings, then sends it once to each phone that wants it.

Any number of ringers may run, on one host or many; each may be killed at any moment, and a clock may be wrong.
`look` (scan.py) makes rings of things whose next moment has come: an Alert for each, which the database takes once,
and a Delivery for each phone.  `claim` leases deliveries by moving `try_ms` on; sent deliveries are deleted.  The
deliveries of a ringer that is killed while it sends are leased again after LEASE_MS: then a phone may be sent a ring
twice, and shows it once, by its tag.  What could not be told for half an hour is told in one message to each phone.
"""

import logging
import threading
import uuid
from concurrent.futures import Future, ThreadPoolExecutor, wait

from django.db import close_old_connections
from django.db.models import F, Q, QuerySet, Window
from django.db.models.functions import RowNumber

from shop.base.database import writing
from shop.models import Subscription
from shop.push import webpush

from ..core.base.units import DAY_MS, MINUTE_MS
from ..models import Alert, Delivery, ThingState
from . import delivery, messages, retention
from .round_robin import Turns
from .scan import close, look

EVERY_S = 1.0
GIVE_UP_MS = DAY_MS
LEASE_MS = 3 * MINUTE_MS
WRONG_MS = MINUTE_MS  # clocks of two hosts may differ by this much
MOST = 500
SENDERS = 8  # threads
MOST_A_SHOP = 2  # of them at once, so that one shop holds nobody else up
TRIAL_MS = 30_000

logger = logging.getLogger(__name__)


class Ringer:
    """One ringer.  `clock` returns ms since 1970 UTC."""

    def __init__(self, clock):
        self.clock = clock
        self.senders = ThreadPoolExecutor(SENDERS, thread_name_prefix="push")
        self.flying: dict[Future, list[Delivery]] = {}
        self.queue = Turns(MOST_A_SHOP)

    def run(self, stopped: threading.Event) -> None:
        """Ring until stopped; a passing failure, such as a locked database, is logged and tried again."""
        last_ms = forget_ms = None
        while not stopped.is_set():
            now_ms = self.clock()
            try:
                if last_ms is None or now_ms < last_ms - WRONG_MS:
                    put_right(now_ms)
                last_ms = now_ms
                self.turn()
                if forget_ms is None or abs(now_ms - forget_ms) > retention.EVERY_MS:
                    forget_ms = None if retention.turn(now_ms) else now_ms
            except Exception:
                logger.exception("the ringer had trouble and goes on")
            close_old_connections()
            stopped.wait(EVERY_S)
        self.senders.shutdown(wait=False, cancel_futures=True)

    def turn(self) -> None:
        """Look, and start sending.  It does not wait for the answers: a slow push service holds up no other phone."""
        look(self.clock(), self._step)
        self._step()

    def settle(self) -> None:
        """Wait for all that is being sent, and go on sending until nothing is due."""
        while True:
            wait(self.flying)
            self._land()
            if not self._send():
                return

    def _step(self) -> None:
        self._land()
        self._send()

    def _send(self) -> int:
        now_ms = self.clock()
        busy = {row.subscription_id for rows in self.flying.values() for row in rows}
        rows = claim(now_ms, busy) if _due(now_ms).exists() else []
        owned: dict[int, list[Delivery]] = {}
        for row in rows:
            owned.setdefault(row.subscription_id, []).append(row)
        for own in owned.values():
            future = Future()
            self.flying[future] = own
            self.queue.put(own[0].alert.shop_id, (future, own))
            self.senders.submit(self._tell_next)
        return len(rows)

    def _tell_next(self) -> None:
        """Send one phone its deliveries, of the shop whose turn it is."""
        with self.queue.taken() as (future, own):
            try:
                future.set_result(delivery.tell(own, self.clock))
            except BaseException as why:
                future.set_exception(why)
                raise

    def _land(self) -> None:
        """Write the outcomes of messages that were sent; only this thread writes."""
        for future in [future for future in self.flying if future.done()]:
            rows = self.flying.pop(future)
            answers = future.result()
            sent = [row for row, answer in zip(rows, answers, strict=True) if answer.outcome == webpush.SENT]
            _write_sent(sent, self.clock())
            for row, answer in zip(rows, answers, strict=True):
                if answer.outcome != webpush.SENT:
                    _write_failed(row, answer, self.clock())


def claim(now_ms: int, busy: set = frozenset()) -> list[Delivery]:
    """Deliveries that are this ringer's to send now, of each shop in turn: their time is moved on while no other
    ringer can read them (PostgreSQL skips locked rows, SQLite lets one writer in at a time)."""
    waiting = _due(now_ms).exclude(subscription__in=busy)
    turn = Window(RowNumber(), partition_by=F("alert__shop"), order_by=("subscription", "alert__at_ms", "pk"))
    fair = list(waiting.annotate(turn=turn).order_by("turn", "pk").values_list("pk", flat=True)[:MOST])
    with writing():
        locked = _due(now_ms).filter(pk__in=fair).select_for_update(skip_locked=True, of=("self",))
        related = locked.select_related("alert", "subscription__phone")
        mine = list(related.order_by("subscription", "alert__at_ms", "pk"))
        for row in mine:
            row.try_ms, row.tries = now_ms + LEASE_MS, row.tries + 1
        Delivery.objects.filter(pk__in=[row.pk for row in mine]).update(try_ms=now_ms + LEASE_MS, tries=F("tries") + 1)
    return mine


def put_right(now_ms: int) -> None:
    """After a start, or when the clock was set back: what rang by a clock that ran ahead rings again at its moment."""
    with writing():
        Alert.objects.filter(at_ms__gt=now_ms + WRONG_MS).exclude(on=messages.TRIAL).delete()
        ThingState.objects.filter(next_at_ms__gt=now_ms).update(next_at_ms=0)


def trial(subscription: Subscription, now_ms: int) -> int:
    """Ring one phone in half a minute, sent like any other ring; when, in ms since 1970 UTC."""
    at_ms = now_ms + TRIAL_MS
    payload = messages.trial_words(at_ms, uuid.uuid4().hex)
    shop, on, key = subscription.phone.shop, messages.TRIAL, payload["tag"]
    with writing():
        alert = Alert.objects.create(shop=shop, on=on, key=key, at_ms=at_ms, claimed_ms=now_ms, payload=payload)
        Delivery.objects.create(alert=alert, subscription=subscription, try_ms=at_ms)
    return at_ms


def _due(now_ms: int) -> QuerySet:
    """Deliveries to try now; also those that a clock running ahead put off for longer than any is put off."""
    now = Q(try_ms__lte=now_ms) | Q(try_ms__gt=now_ms + GIVE_UP_MS + LEASE_MS)
    return Delivery.objects.filter(now, subscription__phone__ended_ms=None)


def _write_sent(rows: list[Delivery], now_ms: int) -> None:
    """Note that deliveries of one phone were sent."""
    if not rows:
        return
    own = Delivery.objects.filter(pk__in=[row.pk for row in rows], try_ms=rows[0].try_ms)
    with writing():
        Subscription.objects.filter(pk=rows[0].subscription_id).update(last_ok_ms=now_ms, fails=0)
        own.delete()
        close(Alert.objects.filter(pk__in=[row.alert_id for row in rows]), now_ms)


def _write_failed(row: Delivery, answer: webpush.Answer, now_ms: int) -> None:
    """Note that a delivery was not sent: to be tried again, or dropped if it is too old or the address is gone."""
    subscription = Subscription.objects.filter(pk=row.subscription_id)
    own = Delivery.objects.filter(pk=row.pk, try_ms=row.try_ms)
    with writing():
        if answer.outcome == webpush.GONE:
            subscription.delete()
        else:
            subscription.update(fails=F("fails") + 1)
        if answer.outcome == webpush.LATER and now_ms + answer.wait_ms <= row.alert.at_ms + GIVE_UP_MS:
            own.update(try_ms=now_ms + answer.wait_ms)
        else:
            own.delete()
        close(Alert.objects.filter(pk=row.alert_id), now_ms)
    logger.warning("a phone (%s) was not told: %s", row.subscription.phone_id, answer.why)
