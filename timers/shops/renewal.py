"""The default products and routes of shops that hold older ones in their log: what nobody changed is written anew.

As acts of their own, over the ones before: films keep the sheets that they were laid with, and what a shop changed, put
away or wrote over stays as it is.
"""

import hashlib
import logging
from collections import Counter

from shop.models import Shop

from ..core.acts.envelope import new_id
from ..defaults import initial_acts
from ..log import writer
from ..models import ThingState

logger = logging.getLogger(__name__)


def renew(now_ms: int) -> int:
    """Bring every furnished shop's defaults up to date, once for each release; how many acts that took."""
    count = 0
    for shop in Shop.objects.filter(seed_locale="").iterator():
        acts = _acts(shop, now_ms)
        for verdict in writer.append(shop.pk, None, acts, now_ms) if acts else []:
            if "why" in verdict:
                logger.warning("a default of shop %s was not renewed: %s", shop.pk, verdict["why"])
            else:
                count += 1
    return count


def _acts(shop: Shop, now_ms: int) -> list[dict]:
    """What is to be written: each default that nobody changed and that reads otherwise now, and each that is new."""
    named = initial_acts.docs("en")
    states = dict(ThingState.objects.filter(shop=shop, on__in=[on for on, _, _ in named]).values_list("on", "state"))
    acts = []
    for on, kind, doc in initial_acts.docs(_tongue(states)):
        state = states.get(on)
        if state is None:
            acts.append(_act(shop, on, kind, doc, [], now_ms))
        elif _is_untouched(shop, on, state) and state["doc"] != doc:
            acts.append(_act(shop, on, kind, doc, [state["head"]], now_ms))
    return acts


def _is_untouched(shop: Shop, on: str, state: dict) -> bool:
    """Whether what stands was written by us: when the shop was made, or at an earlier renewal."""
    if state["rivals"] or not state["head"]:
        return False
    mark = initial_acts.mark(shop.pk, on), _mark(shop, on)
    return any(state["head"].replace("-", "")[12:] == new_id(0, one).replace("-", "")[12:] for one in mark)


def _tongue(states: dict) -> str:
    """The language that most of a shop's defaults are called in."""
    hits: Counter[str] = Counter()
    for tongue in initial_acts.tongues():
        for on, _, doc in initial_acts.docs(tongue):
            state = states.get(on)
            hits[tongue] += bool(state and state["doc"] and state["doc"]["name"] == doc["name"])
    return hits.most_common(1)[0][0]


def _act(shop: Shop, on: str, kind: str, doc: dict, over: list[str], now_ms: int) -> dict:
    act = {"id": new_id(now_ms, _mark(shop, on)), "at": now_ms, "on": on, "kind": kind, "doc": doc}
    return {**act, "over": over} if over else act


def _mark(shop: Shop, on: str) -> bytes:
    """What the ids of acts of a renewal end with, so that they are known again."""
    return hashlib.sha256(shop.pk.bytes + on.encode() + b" renewed").digest()[:10]
