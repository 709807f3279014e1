"""Retention: deletes old alerts, and shops in which nothing was ever done, so that nothing rings twice for it.

An alert is deleted if it was taken up more than KEPT_MS ago, for a moment as long ago, and its thing is no longer on
the floor.  The thing may be brought back, so nothing rings for a moment more than KEPT_MS ago (`too_old`).

A shop is deleted if no act was ever kept in it, it has at most one phone and no recovery phrase, no push subscription
and no thermometer, and its phone was not seen for as long as the host allows.  If that phone comes back it signs up
again, and what it did without signal goes along (static/js/sync/renew.js).
"""

from django.conf import settings
from django.db.models import Count, Exists, OuterRef, QuerySet

from shop.base.database import writing
from shop.models import Phone, Shop, Subscription, Thermometer
from shop.security import audit_log

from ..core.base.units import DAY_MS, HOUR_MS
from ..models import Alert, ThingState

KEPT_MS = 60 * DAY_MS
EVERY_MS = HOUR_MS
MOST = 1000
MOST_SHOPS = 200  # at once, since nobody else writes meanwhile


def too_old(at_ms: int, now_ms: int) -> bool:
    """Whether a ring fell due so long ago that its alert may be deleted: then it does not ring."""
    return at_ms < now_ms - KEPT_MS


def turn(now_ms: int) -> bool:
    """Delete one batch of alerts and shops; whether there may be more."""
    return forget(now_ms) == MOST or forget_shops(now_ms) == MOST_SHOPS


def forget(now_ms: int) -> int:
    """Delete alerts that no ring can ask for again, at most MOST at once; how many."""
    before = now_ms - KEPT_MS
    stands = ThingState.objects.filter(shop=OuterRef("shop"), on=OuterRef("on"), next_at_ms__isnull=False)
    old = Alert.objects.filter(at_ms__lt=before, claimed_ms__lt=before, deliveries=None).exclude(Exists(stands))
    with writing():
        mine = list(old.values_list("pk", flat=True)[:MOST])
        Alert.objects.filter(pk__in=mine).delete()
    return len(mine)


def forget_shops(now_ms: int) -> int:
    """Delete shops that nobody used, at most MOST_SHOPS at once; how many there were.  They are checked again under
    their locks, which the first act of a phone takes too."""
    if settings.OPEN_SHOP or not settings.UNUSED_HOURS:
        return 0
    unused = _unused(now_ms - settings.UNUSED_HOURS * HOUR_MS)
    candidates = list(unused.values_list("pk", flat=True)[:MOST_SHOPS])
    if not candidates:
        return 0
    with writing():
        list(Shop.objects.filter(pk__in=candidates).order_by("pk").select_for_update().values_list("pk"))
        mine = list(unused.filter(pk__in=candidates).values_list("pk", flat=True))
        Shop.objects.filter(pk__in=mine).delete()
    audit_log.event("shops-forgotten", count=len(mine))
    return len(candidates)


def _unused(before_ms: int) -> QuerySet:
    """Shops in which nothing was done and whose phone was last seen before a moment."""
    own = {"shop": OuterRef("pk")}
    phones = Phone.objects.filter(**own)
    several = phones.order_by().values("shop").annotate(count=Count("pk")).filter(count__gt=1)
    uses = [
        phones.filter(seen_ms__gte=before_ms),
        several,
        Subscription.objects.filter(phone__shop=OuterRef("pk")),
        Thermometer.objects.filter(**own),
    ]
    bare = Shop.objects.exclude(seed_locale="").filter(phrase_hash="", made_ms__lt=before_ms)
    return bare.filter(*(~Exists(use) for use in uses))
