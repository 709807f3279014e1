"""Decides once what rings of things whose next moment has come, fairly among the shops.

A thing is read and computed without a lock.  The outcome is written in a short transaction, and only if neither the
thing nor the air has changed since; otherwise the thing is looked at again in the next turn.  A shop has SHOP_S of a
turn.  A heavy shop, whose things take long, comes last from then on, after the rings of the others have been sent off,
and then rests REST times as long as it took.
"""

import time
from dataclasses import dataclass

from django.db.models import QuerySet

from shop.base.database import writing
from shop.models import Shop, Subscription

from ..log import reader
from ..models import Alert, Delivery, ThingState
from . import messages

NEVER_MS = 2**62  # for what stands on the floor and does not ring by what is known now: the air may change that
MOST = 500
MOST_BYTES = 8_000_000  # of things read at once
SHOP_S, HEAVY_S = 0.25, 0.5  # CPU in a turn: for one shop; for all heavy shops together
THING_S = 0.015  # a shop is heavy above this CPU for each thing; an ordinary thing takes a twentieth of it
EASY_S = 0.1  # and above this in all: the air of a shop of two years alone takes 0.06
REST = 4

_heavy: dict = {}  # shop -> until when it rests, by time.monotonic()


@dataclass(frozen=True)
class Outcome:
    """One thing as it was seen, and its rings that are to be taken up."""

    seen: messages.Seen
    fresh: list[Alert]


def due(now_ms: int) -> QuerySet:
    """Things to look at: their next moment has come, or a tap or the air has changed them."""
    return ThingState.objects.filter(next_at_ms__lte=now_ms)


def look(now_ms: int, between=lambda: None) -> None:
    """Decide what rings now, shop by shop, each in one transaction.  `between` is called before the heavy shops."""
    shops = list(Shop.objects.filter(pk__in=due(now_ms).values("shop")))
    for shop in [shop for shop in shops if shop.pk not in _heavy]:
        _look_at(shop, now_ms)
    between()
    spent = 0.0
    rested = [shop for shop in shops if _heavy.get(shop.pk, time.monotonic() + 1) <= time.monotonic()]
    for shop in sorted(rested, key=lambda shop: _heavy[shop.pk]):
        if spent < HEAVY_S:
            spent += _look_at(shop, now_ms)
    for gone in _heavy.keys() - {shop.pk for shop in shops}:
        if _heavy[gone] <= time.monotonic():
            del _heavy[gone]


def close(alerts: QuerySet, now_ms: int) -> None:
    """Close alerts that have no delivery left."""
    alerts.filter(closed_ms=None, deliveries=None).update(closed_ms=now_ms)


def _look_at(shop: Shop, now_ms: int) -> float:
    """Look at what is due in a shop, and make it rest if it is heavy; the CPU seconds that it took."""
    began = time.thread_time()
    air_seq = _air(shop).values_list("seq", flat=True).first()
    rows = list(ThingState.objects.filter(pk__in=_fitting(due(now_ms).filter(shop=shop))).order_by("pk"))
    outcomes, zone = _outcomes(shop, rows, now_ms, began)
    if outcomes:
        with writing():
            _decide(shop, _unchanged(shop, outcomes, air_seq), now_ms, zone)
    cost = time.thread_time() - began
    _heavy.pop(shop.pk, None)
    if cost > max(EASY_S, THING_S * len(outcomes)):
        _heavy[shop.pk] = time.monotonic() + REST * cost
    return cost


def _air(shop: Shop) -> QuerySet:
    return ThingState.objects.filter(shop=shop, on="air")


def _fitting(rows: QuerySet) -> list[int]:
    """Ids of things to read at once: those that wait longest, up to MOST_BYTES, at least one."""
    fit, read = [], 0
    for pk, size in rows.order_by("next_at_ms", "pk").values_list("pk", "bytes")[:MOST]:
        read += size
        if fit and read > MOST_BYTES:
            break
        fit.append(pk)
    return fit


def _outcomes(shop: Shop, rows: list[ThingState], now_ms: int, began: float) -> tuple[list[Outcome], object]:
    """The outcomes of things until the shop's time is used up, and the shop's zone."""
    alerts = Alert.objects.filter(shop=shop, on__in=[row.on for row in rows])
    known = set(alerts.values_list("key", flat=True))
    air_state, units, _ = reader.surroundings(shop)
    zone, locales, outcomes = reader.zone_of(shop, units), None, []
    for seen in messages.seen(rows, air_state, known, now_ms):
        if seen.overdue and locales is None:
            locales = messages.locales(shop)
        fields = [ring.row(now_ms, zone, reader.whose(shop, ring.state), locales) for ring in seen.overdue]
        outcomes.append(Outcome(seen, [Alert(shop=shop, claimed_ms=now_ms, **one) for one in fields]))
        if time.thread_time() - began >= SHOP_S:
            break
    return outcomes, zone


def _unchanged(shop: Shop, outcomes: list[Outcome], air_seq: int | None) -> list[Outcome]:
    """The outcomes of things that have not changed since they were read, locked until the transaction ends.  The air is
    locked too: a reading that arrives now waits, and then has all looked at again.  Things that somebody else has
    locked are left out."""
    wanted = [one.seen.row.pk for one in outcomes]
    air = _air(shop).select_for_update(skip_locked=True).values_list("seq", flat=True).first()
    if air != air_seq:
        return []
    locked = ThingState.objects.filter(pk__in=wanted).select_for_update(skip_locked=True)
    now = {pk: (seq, next_at) for pk, seq, next_at in locked.values_list("pk", "seq", "next_at_ms")}
    return [one for one in outcomes if now.get(one.seen.row.pk) == (one.seen.row.seq, one.seen.row.next_at_ms)]


def _decide(shop: Shop, outcomes: list[Outcome], now_ms: int, zone) -> None:
    """Take up new rings, withdraw those that no longer stand, and set when each thing is looked at next."""
    rows = [one.seen.row for one in outcomes]
    alerts = Alert.objects.filter(shop=shop, on__in=[row.on for row in rows], closed_ms=None)
    unsent = set(alerts.values_list("on", flat=True))
    fresh = [row for one in outcomes for row in one.fresh]
    if fresh:
        _take_up(shop, fresh, now_ms, zone)
    for seen in (one.seen for one in outcomes):
        if seen.row.on in unsent:
            _withdraw(shop, seen.row.on, seen.standing, now_ms)
        seen.row.next_at_ms = (seen.next_at_ms or NEVER_MS) if seen.on_floor else None
    ThingState.objects.bulk_update(rows, ["next_at_ms"])


def _take_up(shop: Shop, fresh: list[Alert], now_ms: int, zone) -> None:
    """Insert rings that nobody else took up (the unique key decides), and a delivery for each phone that wants them."""
    Alert.objects.bulk_create(fresh, ignore_conflicts=True)
    mine = Alert.objects.filter(shop=shop, pk__in=[alert.pk for alert in fresh])
    subscriptions = list(Subscription.objects.filter(phone__shop=shop, phone__ended_ms=None))
    deliveries = []
    for alert in mine:
        for one in [one for one in subscriptions if messages.is_for(alert.payload, one.wants, str(one.phone_id))]:
            try_ms = messages.told_at(one.wants, alert.payload["kind"], now_ms, zone)
            deliveries += [] if try_ms is None else [Delivery(alert=alert, subscription=one, try_ms=try_ms)]
    Delivery.objects.bulk_create(deliveries)
    close(mine, now_ms)


def _withdraw(shop: Shop, on: str, standing: list[str], now_ms: int) -> None:
    """Drop the deliveries that are left of rings which were silenced or have passed."""
    over = Alert.objects.filter(shop=shop, on=on, closed_ms=None).exclude(key__in=standing)
    Delivery.objects.filter(alert__in=over).delete()
    close(over, now_ms)
