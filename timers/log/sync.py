"""One exchange with a phone: parse its request, keep its acts, answer with all that it has not heard yet."""

import json

from shop.models import Phone
from shop.security import access

from ..core.base.check import Refused
from ..core.base.translate import t
from . import reader, writer
from .epoch import Heard
from .quotas import MOST_ACTS, TooManyActs


def parse_json(text: str | bytes) -> object:
    """The value of a JSON text; Refused if it is invalid, NaN and the infinities included."""
    try:
        return json.loads(text, parse_constant=_no_constant)
    except (ValueError, RecursionError) as why:
        raise Refused(t("The acts are not JSON. Nothing was saved.")) from why


def acts_of(acts: object) -> list:
    """The acts of a request; Refused if they are not a list, TooManyActs if there are more than MOST_ACTS."""
    if not isinstance(acts, list):
        raise Refused(t("The acts are not a list. Nothing was saved."))
    if len(acts) > MOST_ACTS:
        raise TooManyActs
    return acts


def marks_of(marks: object) -> dict:
    """The marks of a request, by act id; anything but an object counts as no marks."""
    return marks if isinstance(marks, dict) else {}


def exchange(phone: Phone, acts: list, heard: Heard, now_ms: int, marks: dict | None = None) -> dict:
    """Keep the acts of a phone and answer with what it has not heard.

    The answer is {"verdicts": one an act, in order; "notes": [{"key", "words"}] on what is nearly full; "now": ms since
    1970 UTC} and all of `floor.changed`.  `heard` is as the last answer gave it.  `marks` are those of other phones on
    acts of theirs that this one hands on, by act id.
    """
    kept = writer.keep(phone.shop_id, phone, acts, now_ms, marks, heard.cursor) if acts else None
    changed = reader.changed(phone.shop, heard, now_ms, str(phone.id), kept)
    known = heard.epoch in ("", changed["memory"]) and heard.cursor <= changed["cursor"]
    access.save_cursor(phone, heard.cursor if known else 0, now_ms)
    verdicts = {"verdicts": kept.verdicts, "notes": kept.notes} if kept else {"verdicts": [], "notes": []}
    return {**verdicts, "now": now_ms, **changed}


def _no_constant(name: str):
    raise ValueError(name)
