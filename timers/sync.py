"""One road in and out: read what a phone says, keep it, answer with what the phone has not seen."""

import json

from shop import access
from shop.models import Phone

from . import floor, log
from .core.check import Refused
from .core.tongue import t
from .quotas import MOST_ACTS, TooManyActs


def read(said: str | bytes) -> object:
    """What a request says, from its JSON text; Refused when it is none (NaN and the like are none)."""
    try:
        return json.loads(said, parse_constant=_no_constant)
    except (ValueError, RecursionError) as why:
        raise Refused(t("The acts are not JSON. Nothing was saved.")) from why


def acts_of(acts: object) -> list:
    """The acts of a request; Refused when they are no list, TooManyActs when there are too many."""
    if not isinstance(acts, list):
        raise Refused(t("The acts are not a list. Nothing was saved."))
    if len(acts) > MOST_ACTS:
        raise TooManyActs
    return acts


def marks_of(marks: object) -> dict:
    """The marks beside the acts of a request, by act id; what is none vouches for nothing."""
    return marks if isinstance(marks, dict) else {}


def take(
    phone: Phone,
    acts: list,
    cursor: int,
    now_ms: int,
    with_cards: bool = True,
    memory: str = "",
    cursor_act: str = "",
    marks: dict | None = None,
) -> dict:
    """Keep the acts and answer: verdicts, fragments newer than the cursor, the new cursor, the server's clock, how far
    another phone of the shop has heard, and notes on what is nearly full: [{"key", "words"}].

    `memory` is the one that the cursor belongs to and `cursor_act` the id of the act there, as the last answer said
    them; "" trusts the cursor.  `marks` are those of other phones on acts of theirs that this one hands on, by act id.
    """
    kept = log.keep(phone.shop_id, phone, acts, now_ms, marks, cursor) if acts else None
    changed = floor.changed(phone.shop, cursor, now_ms, with_cards, str(phone.id), memory, kept, cursor_act)
    held = cursor if memory in ("", changed["memory"]) and cursor <= changed["cursor"] else 0
    access.save_cursor(phone, held, now_ms)
    said = {"verdicts": kept.verdicts, "notes": kept.notes} if kept else {"verdicts": [], "notes": []}
    return {**said, "now": now_ms, **changed}


def _no_constant(name: str):
    raise ValueError(name)
