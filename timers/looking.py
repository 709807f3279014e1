"""The ringer looks: what rings of things whose next moment has come is decided once, in a fair round over the shops.

A thing is read and reckoned while no lock is held; what came of it is written in a short transaction, and only where
neither the thing nor the air has changed meanwhile: else it is looked at again in the next turn.  A shop has SHOP_S of
a turn.  One whose things take long comes last from then on, when the others' rings are on their way, and rests REST
times as long as it was worked for.
"""

import time
from dataclasses import dataclass

from django.db.models import QuerySet

from shop.database import writing
from shop.models import Shop, Subscription

from . import floor, ringing
from .models import Folded, Owed, Told

NEVER_MS = 2**62  # it stands on the floor, and nothing of it is known to ring: the air may change that
MOST = 500
MOST_BYTES = 8_000_000  # of things read at once
SHOP_S, HEAVY_S = 0.25, 0.5  # of work in a turn: for one shop; for all that have heavy things
THING_S = 0.015  # what an ordinary thing takes is a twentieth of that
EASY_S = 0.1  # the air of a shop of two years alone takes 0.06
REST = 4

_heavy: dict = {}  # shop -> until when it rests, by the clock that never goes back


@dataclass(frozen=True)
class Found:
    """What came of one thing, and the rings that it owes."""

    seen: ringing.Seen
    fresh: list[Told]


def due(now_ms: int) -> QuerySet:
    """Things to look at: their next moment has come, or a tap or the air has changed them."""
    return Folded.objects.filter(next_at_ms__lte=now_ms)


def look(now_ms: int, between=lambda: None) -> None:
    """Decide what rings now, shop by shop; each shop's in one transaction.  `between` is called before those that take
    long."""
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


def close(told: QuerySet, now_ms: int) -> None:
    """Rings that no phone is owed any more are told."""
    told.filter(told_ms=None, owed=None).update(told_ms=now_ms)


def _look_at(shop: Shop, now_ms: int) -> float:
    """Look at what is due of a shop; the seconds of work it took, for which it rests where its things take long."""
    began = time.thread_time()
    air_seq = _air(shop).values_list("seq", flat=True).first()
    rows = list(Folded.objects.filter(pk__in=_fitting(due(now_ms).filter(shop=shop))).order_by("pk"))
    found, zone = _reckoned(shop, rows, now_ms, began)
    if found:
        with writing():
            _decide(shop, _unchanged(shop, found, air_seq), now_ms, zone)
    cost = time.thread_time() - began
    _heavy.pop(shop.pk, None)
    if cost > max(EASY_S, THING_S * len(found)):
        _heavy[shop.pk] = time.monotonic() + REST * cost
    return cost


def _air(shop: Shop) -> QuerySet:
    return Folded.objects.filter(shop=shop, on="air")


def _fitting(rows: QuerySet) -> list[int]:
    """Things to read at once: those that wait longest, as many as fit, one at the least."""
    fit, held = [], 0
    for pk, size in rows.order_by("next_at_ms", "pk").values_list("pk", "bytes")[:MOST]:
        held += size
        if fit and held > MOST_BYTES:
            break
        fit.append(pk)
    return fit


def _reckoned(shop: Shop, rows: list[Folded], now_ms: int, began: float) -> tuple[list[Found], object]:
    """What comes of things, until the shop's time is used up; and the shop's zone."""
    told = Told.objects.filter(shop=shop, on__in=[row.on for row in rows])
    known = set(told.values_list("key", flat=True))
    air_state, units, _ = floor.surroundings(shop)
    zone, tongues, found = floor.zone_of(shop, units), None, []
    for seen in ringing.seen(rows, air_state, known, now_ms):
        if seen.overdue and tongues is None:
            tongues = ringing.tongues(shop)
        said = [ring.row(now_ms, zone, floor.whose(shop, ring.state), tongues) for ring in seen.overdue]
        found.append(Found(seen, [Told(shop=shop, claimed_ms=now_ms, **one) for one in said]))
        if time.thread_time() - began >= SHOP_S:
            break
    return found, zone


def _unchanged(shop: Shop, found: list[Found], air_seq: int | None) -> list[Found]:
    """Of what was reckoned, all that still stands as it was read; held until the transaction ends.  The air is held
    too: a reading that comes now waits, and then has all looked at again.  What another holds is left to it."""
    wanted = [one.seen.row.pk for one in found]
    air = _air(shop).select_for_update(skip_locked=True).values_list("seq", flat=True).first()
    if air != air_seq:
        return []
    held = Folded.objects.filter(pk__in=wanted).select_for_update(skip_locked=True)
    now = {pk: (seq, next_at) for pk, seq, next_at in held.values_list("pk", "seq", "next_at_ms")}
    return [one for one in found if now.get(one.seen.row.pk) == (one.seen.row.seq, one.seen.row.next_at_ms)]


def _decide(shop: Shop, found: list[Found], now_ms: int, zone) -> None:
    """Rings of things that were looked at: taken up once, owed to each phone that wants them."""
    rows = [one.seen.row for one in found]
    told = Told.objects.filter(shop=shop, on__in=[row.on for row in rows], told_ms=None)
    unsent = set(told.values_list("on", flat=True))
    fresh = [row for one in found for row in one.fresh]
    if fresh:
        _take_up(shop, fresh, now_ms, zone)
    for seen in (one.seen for one in found):
        if seen.row.on in unsent:
            _withdraw(shop, seen.row.on, seen.standing, now_ms)
        seen.row.next_at_ms = (seen.next_at_ms or NEVER_MS) if seen.on_floor else None
    Folded.objects.bulk_update(rows, ["next_at_ms"])


def _take_up(shop: Shop, fresh: list[Told], now_ms: int, zone) -> None:
    """Of rings, those that no one else had (the unique key decides), owed to each phone of the shop that wants them."""
    Told.objects.bulk_create(fresh, ignore_conflicts=True)
    mine = Told.objects.filter(shop=shop, pk__in=[told.pk for told in fresh])
    subscriptions = list(Subscription.objects.filter(phone__shop=shop, phone__ended_ms=None))
    owed = []
    for told in mine:
        for one in [one for one in subscriptions if ringing.is_for(told.said, one.wants, str(one.phone_id))]:
            try_ms = ringing.told_at(one.wants, told.said["kind"], now_ms, zone)
            owed += [] if try_ms is None else [Owed(told=told, subscription=one, try_ms=try_ms)]
    Owed.objects.bulk_create(owed)
    close(mine, now_ms)


def _withdraw(shop: Shop, on: str, standing: list[str], now_ms: int) -> None:
    """What was silenced, or has passed, is not told any more to phones that could not be told so far."""
    over = Told.objects.filter(shop=shop, on=on, told_ms=None).exclude(key__in=standing)
    Owed.objects.filter(told__in=over).delete()
    close(over, now_ms)
