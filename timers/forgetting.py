"""What was told long ago is forgotten, so that Told does not grow for ever; and nothing rings twice for it.

Forgotten is what was taken up more than KEPT_MS ago, for a moment as long ago, of a thing that stands on the floor no
more.  Such a thing can be brought back: so what fell due more than KEPT_MS ago is rung for no thing (`too_old`).
"""

from django.db.models import Exists, OuterRef

from shop.database import writing

from .core.units import DAY_MS, HOUR_MS
from .models import Folded, Told

KEPT_MS = 60 * DAY_MS
EVERY_MS = HOUR_MS
MOST = 1000


def too_old(at_ms: int, now_ms: int) -> bool:
    """Whether a ring fell due so long ago that whether it was told may be forgotten: it does not ring."""
    return at_ms < now_ms - KEPT_MS


def forget(now_ms: int) -> int:
    """Take away rows of Told that no ring can ask for, at most MOST at once; how many."""
    before = now_ms - KEPT_MS
    stands = Folded.objects.filter(shop=OuterRef("shop"), on=OuterRef("on"), next_at_ms__isnull=False)
    old = Told.objects.filter(at_ms__lt=before, claimed_ms__lt=before, owed=None).exclude(Exists(stands))
    with writing():
        mine = list(old.values_list("pk", flat=True)[:MOST])
        Told.objects.filter(pk__in=mine).delete()
    return len(mine)
