"""Who made an act: the phone that posts it, or another phone of the shop whose mark comes with it."""

import hmac
import re

from shop.models import Phone
from shop.security import access

from ..core.acts.people import PHONE
from ..core.acts.signature import mark

MARK = re.compile(r"^[0-9a-f]{32}\Z")


def unproven(shop_id, phone: Phone | None, acts: list, marks: dict) -> set[str]:
    """Ids of acts that name another phone as their maker without a valid mark of that phone.

    Such acts are kept all the same, as hearsay, so that nothing is lost: taps sent again after a restore, or handed on
    by an older version.  The mark of a phone that was ended or hung on the wall is not valid, since the server takes no
    acts from such a phone.  `marks` are as they came with the request, by act id.
    """
    if phone is None:
        return set()
    own = str(phone.pk)
    with_id = [act for act in acts if isinstance(act, dict) and isinstance(act.get("id"), str)]
    others = [act for act in with_id if act.get("who") not in (None, own)]
    if not others:
        return set()
    marked = [act["who"] for act in others if act["id"] in marks and isinstance(act["who"], str)]
    keys = _keys(shop_id, {who for who in marked if PHONE.match(who)})
    return {act["id"] for act in others if not _is_proven(act, keys, marks)}


def _keys(shop_id, named: set[str]) -> dict[str, str]:
    """The mark keys of phones of the shop that may act, by phone id."""
    live = Phone.objects.filter(pk__in=named, shop=shop_id, ended_ms=None).exclude(role=Phone.Role.WALL)
    return {str(one.pk): access.mark_key(one) for one in live} if named else {}


def _is_proven(act: dict, keys: dict[str, str], marks: dict) -> bool:
    key = keys.get(act["who"]) if isinstance(act["who"], str) else None
    try:
        return key is not None and _is_right(key, act, marks.get(act["id"]))
    except RecursionError:  # nested too deep: such an act is refused in words
        return False


def _is_right(key: str, act: dict, given: object) -> bool:
    """Whether a given mark is the one that the phone with this key puts on this act."""
    return isinstance(given, str) and bool(MARK.match(given)) and hmac.compare_digest(given, mark(key, act))
