"""The texts of alerts: rings of things that the ringer looked at, as payloads in words, and who wants which."""

import logging
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.utils import translation

from shop.models import Phone, Shop

from ..core.base.translate import t, tn
from ..core.base.units import HOUR_MS, MINUTE_MS
from ..core.card import alarms, audience, cup
from ..core.clock import air, film, quiet_hours
from ..models import ThingState
from . import retention

TRIAL, AWAY = "trial", "away"
FIRST = "en"  # a ring is kept in this locale, and in those of the phones of its shop
KINDS = alarms.URGENCY
NAMED = 5  # things that the message after an outage names

logger = logging.getLogger(__name__)


@dataclass(frozen=True)
class Ring:
    """One ring of one thing."""

    on: str
    state: dict
    ring: dict

    def row(self, now_ms: int, zone, phones: list[str] | None = None, locales: Iterable[str] = ()) -> dict:
        """As the ringer keeps it: the fields of Alert; `phones` are those that it is for, None for every phone;
        `locales` those of the phones of the shop."""
        key, (first, *others) = self.ring["key"], dict.fromkeys([FIRST, *locales])
        at = f"#panel={self.on}" if self.on.startswith("panel:") else "#floor"
        payload = {**self._words(first, now_ms, zone), "tag": key, "at": at}
        payload |= {"kind": self.ring["kind"], "until_ms": self.ring["until_ms"], "phones": phones}
        payload |= {"tongues": [self._words(locale, now_ms, zone) for locale in others]} if others else {}
        return {"on": self.on, "key": key, "at_ms": self.ring["at_ms"], "payload": payload}

    def _words(self, locale: str, now_ms: int, zone) -> dict:
        """Title and body in one locale."""
        with translation.override(locale):
            area = self.ring.get("area", "")
            name = alarms.name_of(self.state, area)
            todo = alarms.todo(self.state, self.ring["gate"], area)
            words = alarms.words(self.ring, name, todo, now_ms, zone).removeprefix(f"{name}: ")
            return {"title": name[:120] or t("A panel"), "body": words[:1].upper() + words[1:400], "lang": locale}


@dataclass(frozen=True)
class Seen:
    """A thing that was looked at: the keys of rings that still stand, those that are overdue, when to look again."""

    row: ThingState
    on_floor: bool
    standing: list[str]
    overdue: list[Ring]
    next_at_ms: int | None


def seen(rows: list[ThingState], air_state: dict, known: set[str], now_ms: int) -> Iterator[Seen]:
    """Things as they stand now, one after the other; `known` are the keys of rings that were taken up before.  If one
    cannot be computed, the server logs it and goes on with the others."""
    trace = air.trace(air_state)
    for row in rows:
        try:
            thing = _seen(row, air_state, trace, known, now_ms)
        except Exception:
            logger.exception("%s could not be reckoned", row.on)
            thing = Seen(row, True, [], [], None)
        yield thing


def locales(shop: Shop) -> list[str]:
    """The locales of the phones of a shop."""
    phones = Phone.objects.filter(shop=shop, ended_ms=None)
    return list(phones.values_list("locale", flat=True).order_by("locale").distinct())


def in_locale(payload: dict, locale: str) -> dict:
    """The payload of a ring in a locale; in the first one if it was not kept in that."""
    return payload | next((one for one in payload.get("tongues", []) if one["lang"] == locale), {})


def missed(payloads: list[dict], locale: str = FIRST) -> dict:
    """The payload of one message for all that rang too long ago to ring now, because the server was down, had not
    heard, or could not reach the phone."""
    names = list(dict.fromkeys(in_locale(one, locale)["title"] for one in payloads))
    named, more = ", ".join(names[:NAMED]), len(names) - NAMED
    with translation.override(locale):
        title = tn(
            "{n} thing rang while this phone could not be told",
            "{n} things rang while this phone could not be told",
            len(payloads),
        )
        body = t("Look at the floor: {names}", names=named)
        if more > 0:
            body = t("Look at the floor: {names} and {n} more", names=named, n=more)
        return {"title": title, "body": body[:400], "tag": AWAY, "at": "#floor", "lang": locale}


def trial_words(at_ms: int, number: str) -> dict:
    """The payload of a trial ring, in the locale of the request."""
    words = {"title": t("Trial ring"), "body": t("This is how the server rings this phone.")}
    words |= {"lang": translation.get_language() or FIRST}
    return {**words, "tag": f"{TRIAL} {number}", "at": "#ring", "kind": TRIAL, "until_ms": at_ms + 10 * MINUTE_MS}


def told_at(wants: dict, kind: str, now_ms: int, zone) -> int | None:
    """When a phone wants to be sent a ring: now, when its quiet hours end, or not at all (None)."""
    if kind in KINDS and kind not in wants.get("kinds", KINDS):
        return None
    return quiet_hours.ends_at(wants.get("quiet"), now_ms, zone)


def keep_s(payload: dict, now_ms: int) -> int:
    """How long a push service keeps a ring for a phone that is off: while it is of use, 60 to 3,600 s."""
    until_ms = min(payload.get("until_ms") or now_ms + HOUR_MS, now_ms + HOUR_MS)
    return max(60, (until_ms - now_ms) // 1000)


def is_for(payload: dict, wants: dict, phone: str) -> bool:
    """Whether a ring is for a phone: every ring is, unless the phone wants only those of panels that it took."""
    return not wants.get("mine") or audience.is_mine(payload.get("phones"), phone)


def _seen(row: ThingState, air_state: dict, trace: list, known: set[str], now_ms: int) -> Seen:
    on, state = row.on, row.state
    if not alarms.stands(on, state):
        return Seen(row, False, [], [], None)
    times = cup.times(state, trace) if on.startswith("cup:") else film.times(state, film.felt(state, air_state, trace))
    rings = alarms.rings(on, state, times, now_ms)
    late = alarms.overdue(rings, known, now_ms)
    overdue = [Ring(on, state, ring) for ring in late if not retention.too_old(ring["at_ms"], now_ms)]
    return Seen(row, True, [ring["key"] for ring in rings], overdue, alarms.next_at(rings, now_ms))
