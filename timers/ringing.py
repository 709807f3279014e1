"""What the ringer says: rings of looked-at things as rows to be told, in words; who wants them."""

import logging
from dataclasses import dataclass

from . import forgetting
from .core import air, cup, due, film, hours, mine
from .core.units import MINUTE_MS
from .models import Folded

TRIAL, AWAY = "trial", "away"
KINDS = due.URGENCY
NAMED = 5  # things that the message after an absence names

logger = logging.getLogger(__name__)


@dataclass(frozen=True)
class Ring:
    """One ring of one thing."""

    on: str
    state: dict
    ring: dict

    def row(self, now_ms: int, zone, phones: list[str] | None = None) -> dict:
        """As the ringer keeps it: the fields of Told; `phones` are those that it is for, None for every phone."""
        key, name = self.ring["key"], due.name_of(self.state)
        words = due.words(self.ring, name, due.todo(self.state), now_ms, zone).removeprefix(f"{name}: ")
        at = f"#panel={self.on}" if self.on.startswith("panel:") else "#floor"
        said = {"title": name[:120] or "A panel", "body": words[:1].upper() + words[1:400], "tag": key, "at": at}
        said |= {"kind": self.ring["kind"], "until_ms": self.ring["until_ms"], "phones": phones}
        return {"on": self.on, "key": key, "at_ms": self.ring["at_ms"], "said": said}


@dataclass(frozen=True)
class Seen:
    """A thing that was looked at: the keys that stand, what is overdue, when to look again."""

    row: Folded
    on_floor: bool
    standing: list[str]
    overdue: list[Ring]
    next_at_ms: int | None


def seen(rows: list[Folded], held: dict, told: set[str], now_ms: int) -> list[Seen]:
    """Things as they stand now.  One that cannot be reckoned stops no other: it is said in the server's own log."""
    trace, found = air.trace(held), []
    for row in rows:
        try:
            found.append(_seen(row, held, trace, told, now_ms))
        except Exception:
            logger.exception("%s could not be reckoned", row.on)
            found.append(Seen(row, True, [], [], None))
    return found


def missed(said: list[dict]) -> dict:
    """One message for all that rang too long ago to ring now, because the server was away, had not heard, or could not
    reach this phone."""
    things = "1 thing" if len(said) == 1 else f"{len(said)} things"
    names = list(dict.fromkeys(one["title"] for one in said))
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    body = f"Look at the floor: {', '.join(names[:NAMED])}{more}"
    return {
        "title": f"{things} rang while this phone could not be told",
        "body": body[:400],
        "tag": AWAY,
        "at": "#floor",
    }


def trial_words(at_ms: int, number: str) -> dict:
    words = {"title": "Trial ring", "body": "This is how the server rings this phone."}
    return {**words, "tag": f"{TRIAL} {number}", "at": "#ring", "kind": TRIAL, "until_ms": at_ms + 10 * MINUTE_MS}


def told_at(wants: dict, kind: str, now_ms: int, zone) -> int | None:
    """When a phone wants to be told: now, when its quiet hours end, or not at all (None)."""
    if kind in KINDS and kind not in wants.get("kinds", KINDS):
        return None
    return hours.ends_at(wants.get("quiet"), now_ms, zone)


def is_for(said: dict, wants: dict, phone: str) -> bool:
    """Whether a ring is for a phone: any is, unless the phone rings only for panels that it took."""
    return not wants.get("mine") or mine.is_mine(said.get("phones"), phone)


def _seen(row: Folded, held: dict, trace: list, told: set[str], now_ms: int) -> Seen:
    on, state = row.on, row.state
    if not due.stands(on, state):
        return Seen(row, False, [], [], None)
    times = cup.times(state, trace) if on.startswith("cup:") else film.times(state, film.felt(state, held, trace))
    rings = due.rings(on, state, times, now_ms)
    late = due.overdue(rings, told, now_ms)
    overdue = [Ring(on, state, ring) for ring in late if not forgetting.too_old(ring["at_ms"], now_ms)]
    return Seen(row, True, [ring["key"] for ring in rings], overdue, due.next_at(rings, now_ms))
