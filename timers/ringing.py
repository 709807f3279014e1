"""What the ringer says: rings of looked-at things as rows to be told, in words; who wants them."""

import logging
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.utils import translation

from shop.models import Phone, Shop

from . import forgetting
from .core import air, cup, due, film, hours, mine
from .core.tongue import t, tn
from .core.units import HOUR_MS, MINUTE_MS
from .models import ThingState

TRIAL, AWAY = "trial", "away"
FIRST = "en"  # a ring is kept in this tongue, and in those besides that phones of its shop read
KINDS = due.URGENCY
NAMED = 5  # things that the message after an absence names

logger = logging.getLogger(__name__)


@dataclass(frozen=True)
class Ring:
    """One ring of one thing."""

    on: str
    state: dict
    ring: dict

    def row(self, now_ms: int, zone, phones: list[str] | None = None, tongues: Iterable[str] = ()) -> dict:
        """As the ringer keeps it: the fields of Alert; `phones` are those that it is for, None for every phone;
        `tongues` those that phones of the shop read."""
        key, (first, *others) = self.ring["key"], dict.fromkeys([FIRST, *tongues])
        at = f"#panel={self.on}" if self.on.startswith("panel:") else "#floor"
        said = {**self._words(first, now_ms, zone), "tag": key, "at": at}
        said |= {"kind": self.ring["kind"], "until_ms": self.ring["until_ms"], "phones": phones}
        said |= {"tongues": [self._words(tongue, now_ms, zone) for tongue in others]} if others else {}
        return {"on": self.on, "key": key, "at_ms": self.ring["at_ms"], "payload": said}

    def _words(self, tongue: str, now_ms: int, zone) -> dict:
        """Title and body in one tongue."""
        with translation.override(tongue):
            name = due.name_of(self.state)
            words = due.words(self.ring, name, due.todo(self.state), now_ms, zone).removeprefix(f"{name}: ")
            return {"title": name[:120] or t("A panel"), "body": words[:1].upper() + words[1:400], "lang": tongue}


@dataclass(frozen=True)
class Seen:
    """A thing that was looked at: the keys that stand, what is overdue, when to look again."""

    row: ThingState
    on_floor: bool
    standing: list[str]
    overdue: list[Ring]
    next_at_ms: int | None


def seen(rows: list[ThingState], held: dict, told: set[str], now_ms: int) -> Iterator[Seen]:
    """Things as they stand now, one after the other.  One that cannot be reckoned stops no other: it is said in the
    server's own log."""
    trace = air.trace(held)
    for row in rows:
        try:
            found = _seen(row, held, trace, told, now_ms)
        except Exception:
            logger.exception("%s could not be reckoned", row.on)
            found = Seen(row, True, [], [], None)
        yield found


def tongues(shop: Shop) -> list[str]:
    """What phones of a shop read."""
    phones = Phone.objects.filter(shop=shop, ended_ms=None)
    return list(phones.values_list("locale", flat=True).order_by("locale").distinct())


def in_tongue(said: dict, tongue: str) -> dict:
    """A ring as a phone that reads a tongue is told it; in the first one where it was not kept in that."""
    return said | next((one for one in said.get("tongues", []) if one["lang"] == tongue), {})


def missed(said: list[dict], tongue: str = FIRST) -> dict:
    """One message for all that rang too long ago to ring now, because the server was away, had not heard, or could not
    reach this phone, in the tongue that it reads."""
    names = list(dict.fromkeys(in_tongue(one, tongue)["title"] for one in said))
    named, more = ", ".join(names[:NAMED]), len(names) - NAMED
    with translation.override(tongue):
        title = tn(
            "{n} thing rang while this phone could not be told",
            "{n} things rang while this phone could not be told",
            len(said),
        )
        body = t("Look at the floor: {names}", names=named)
        if more > 0:
            body = t("Look at the floor: {names} and {n} more", names=named, n=more)
        return {"title": title, "body": body[:400], "tag": AWAY, "at": "#floor", "lang": tongue}


def trial_words(at_ms: int, number: str) -> dict:
    """A trial ring, in the tongue of the phone that asks for it."""
    words = {"title": t("Trial ring"), "body": t("This is how the server rings this phone.")}
    words |= {"lang": translation.get_language() or FIRST}
    return {**words, "tag": f"{TRIAL} {number}", "at": "#ring", "kind": TRIAL, "until_ms": at_ms + 10 * MINUTE_MS}


def told_at(wants: dict, kind: str, now_ms: int, zone) -> int | None:
    """When a phone wants to be told: now, when its quiet hours end, or not at all (None)."""
    if kind in KINDS and kind not in wants.get("kinds", KINDS):
        return None
    return hours.ends_at(wants.get("quiet"), now_ms, zone)


def keep_s(said: dict, now_ms: int) -> int:
    """How long a push service keeps a ring for a phone that is off: while it is of use, an hour at the most."""
    until_ms = min(said.get("until_ms") or now_ms + HOUR_MS, now_ms + HOUR_MS)
    return max(60, (until_ms - now_ms) // 1000)


def is_for(said: dict, wants: dict, phone: str) -> bool:
    """Whether a ring is for a phone: any is, unless the phone rings only for panels that it took."""
    return not wants.get("mine") or mine.is_mine(said.get("phones"), phone)


def _seen(row: ThingState, held: dict, trace: list, told: set[str], now_ms: int) -> Seen:
    on, state = row.on, row.state
    if not due.stands(on, state):
        return Seen(row, False, [], [], None)
    times = cup.times(state, trace) if on.startswith("cup:") else film.times(state, film.felt(state, held, trace))
    rings = due.rings(on, state, times, now_ms)
    late = due.overdue(rings, told, now_ms)
    overdue = [Ring(on, state, ring) for ring in late if not forgetting.too_old(ring["at_ms"], now_ms)]
    return Seen(row, True, [ring["key"] for ring in rings], overdue, due.next_at(rings, now_ms))
