"""Who made an act: the phone that tells it, or another phone of the shop whose own mark comes with it."""

import hmac
import re

from shop import access
from shop.models import Phone

from .core.mark import mark
from .core.people import PHONE

MARK = re.compile(r"^[0-9a-f]{32}\Z")


def unproven(shop_id, phone: Phone | None, acts: list, marks: dict) -> set[str]:
    """Ids of acts that name a maker who did not tell them and did not mark them.

    They are kept, since nothing is lost: taps told again after a restore, or handed on by an older version.  A phone
    that was ended, and one on the wall, vouches for nothing: the server takes nothing from it.
    """
    if phone is None:
        return set()
    own = str(phone.pk)
    told = [act for act in acts if isinstance(act, dict) and isinstance(act.get("id"), str)]
    others = [act for act in told if act.get("who") not in (None, own)]
    if not others:
        return set()
    marked = [act["who"] for act in others if act["id"] in marks and isinstance(act["who"], str)]
    keys = _keys(shop_id, {who for who in marked if PHONE.match(who)})
    return {act["id"] for act in others if not _is_proven(act, keys, marks)}


def _keys(shop_id, named: set[str]) -> dict[str, str]:
    """What phones of the shop mark their acts with, of those that are in it and may act."""
    live = Phone.objects.filter(pk__in=named, shop=shop_id, ended_ms=None).exclude(role=Phone.Role.WALL)
    return {str(one.pk): access.mark_key(one) for one in live} if named else {}


def _is_proven(act: dict, keys: dict[str, str], marks: dict) -> bool:
    key = keys.get(act["who"]) if isinstance(act["who"], str) else None
    try:
        return key is not None and _is_right(key, act, marks.get(act["id"]))
    except RecursionError:  # boxes in boxes: such an act is refused in words
        return False


def _is_right(key: str, act: dict, said: object) -> bool:
    """Whether a mark is the one that the phone with this key puts on this act."""
    return isinstance(said, str) and bool(MARK.match(said)) and hmac.compare_digest(said, mark(key, act))
