"""The only writer: acts in, folded state out, under the shop's lock."""

import logging
from itertools import groupby

from shop import access
from shop.database import writing
from shop.hub import moved
from shop.models import Phone, Shop

from .core import acts as rules
from .core import air, cup, house, panel, shelf
from .core.tongue import t
from .models import Act, Folded

FOLDS = {"panel": panel.fold, "cup": cup.fold, "air": air.fold}
FOLDS |= {"product": shelf.fold, "route": shelf.fold, "shop": house.fold}
NEEDED = {"air": air.needed}
KEPT, ALREADY, REFUSED = "kept", "already kept", "refused"

logger = logging.getLogger(__name__)


def append(shop_id, phone: Phone | None, acts: list, now_ms: int) -> list[dict]:
    """Keep acts, each once, and fold what they touch; one verdict an act, in the order given.

    A verdict is {"id", "verdict": "kept" | "already kept", "seq"} or {"id", "verdict": "refused", "why"}.  An act that
    cannot be kept stops none of the others.  The sequence is given out under the shop's lock, so that a reader by
    cursor skips nothing.
    """
    with writing():
        shop = Shop.objects.select_for_update().get(pk=shop_id)
        held = _held(shop, acts)
        verdicts, fresh = _judge(acts, held, now_ms, access.bar(phone))
        states, poison, faded = _fold(shop, fresh)
        kept = [act for act in fresh if act["id"] not in poison]
        seqs = {act_id: seq for act_id, (_, seq) in held.items()} | _write(shop, phone, kept, states, now_ms)
        if faded:
            Act.objects.filter(shop=shop, act_id__in=faded).update(faded=True)
    for verdict in verdicts:
        if verdict["id"] in poison:
            why = t("Sandtime could not reckon with this tap. It stays on this phone.")
            verdict |= {"verdict": REFUSED, "why": why}
        elif verdict["verdict"] != REFUSED:
            verdict["seq"] = seqs[verdict["id"]]
    return verdicts


def folded(on: str, acts: list[dict]) -> dict:
    """The state that the acts of one thing make."""
    return FOLDS[on.split(":")[0]](acts)


def fold_again(shop: Shop, using: str = "default") -> None:
    """Fold each thing of a shop from its acts, after these were put back."""
    needed = Act.objects.using(using).filter(shop=shop, faded=False)
    rows = needed.order_by("on", "seq").values_list("on", "seq", "body")
    made = []
    for on, acts in groupby(rows.iterator(), key=lambda row: row[0]):
        held = list(acts)
        state = folded(on, [body for _, _, body in held])
        made.append(Folded(shop=shop, on=on, seq=held[-1][1], state=state, next_at_ms=_look(on)))
    Folded.objects.using(using).bulk_create(made, batch_size=500)


def _held(shop: Shop, acts: list) -> dict:
    """Acts of this batch that the log holds already: id -> (body, seq)."""
    wanted = [act["id"] for act in acts if isinstance(act, dict) and rules.is_id(act.get("id"))]
    rows = Act.objects.filter(shop=shop, act_id__in=wanted).values_list("body", "seq") if wanted else []
    return {body["id"]: (body, seq) for body, seq in rows}


def _judge(acts: list, held: dict, now_ms: int, barred: str) -> tuple[list[dict], list[dict]]:
    """A verdict for each act, and the acts that are new and good; of a barred phone none is, in words."""
    verdicts, fresh = [], {}
    for act in acts:
        act_id = act.get("id") if isinstance(act, dict) and isinstance(act.get("id"), str) else None
        before = fresh.get(act_id) or held.get(act_id, (None,))[0]
        same = before is not None and before == act
        why = "" if same else barred or rules.refusal(act, now_ms)
        if before is not None and not same and not barred:
            why = t("The server holds another tap under this number.")
        if not why and before is None:
            fresh[act_id] = act
        verdict = REFUSED if why else ALREADY if before else KEPT
        verdicts.append({"id": act_id, "verdict": verdict} | ({"why": why} if why else {}))
    return verdicts, list(fresh.values())


def _fold(shop: Shop, fresh: list[dict]) -> tuple[dict, set, set]:
    """The new state of each thing touched, the ids of acts with which a thing could not be folded, and of those that no
    clock needs any more."""
    touched: dict[str, list] = {}
    for act in fresh:
        touched.setdefault(act["on"], []).append(act)
    states, poison, faded = {}, set(), set()
    for on, new in touched.items():
        acts = [*Act.objects.filter(shop=shop, on=on, faded=False).values_list("body", flat=True), *new]
        try:
            states[on] = folded(on, acts)
            if on in NEEDED:
                faded |= {act["id"] for act in acts} - {act["id"] for act in NEEDED[on](acts)}
        except Exception:  # the laws say that this cannot be; if it is, one thing must not stop the whole phone
            logger.exception("acts on %s could not be folded", on)
            poison |= {act["id"] for act in new}
    return states, poison, faded


def _write(shop: Shop, phone: Phone | None, kept: list[dict], states: dict, now_ms: int) -> dict:
    """Write acts and states; the sequence each act got, by id."""
    if not kept:
        return {}
    seqs = {act["id"]: shop.seq + at for at, act in enumerate(kept, start=1)}
    Act.objects.bulk_create(
        Act(
            shop=shop,
            act_id=act["id"],
            seq=seqs[act["id"]],
            on=act["on"],
            kind=act["kind"],
            at_ms=act["at"],
            body=act,
            phone=phone,
            heard_ms=now_ms,
        )
        for act in kept
    )
    last = {act["on"]: seqs[act["id"]] for act in kept}
    Folded.objects.bulk_create(
        [Folded(shop=shop, on=on, seq=last[on], state=state, next_at_ms=_look(on)) for on, state in states.items()],
        update_conflicts=True,
        unique_fields=["shop", "on"],
        update_fields=["seq", "state", "next_at_ms"],
    )
    if "air" in states:
        Folded.objects.filter(shop=shop, next_at_ms__isnull=False).update(next_at_ms=0)
    shop.seq += len(kept)
    shop.save(update_fields=["seq"])
    moved(shop.pk, shop.seq)
    return seqs


def _look(on: str) -> int | None:
    """When the ringer looks at a thing that was touched: at once.  It is the ringer, not the tap, that reckons the next
    ring, so that a tap stays quick and many taps on one thing are reckoned once."""
    return 0 if on.startswith(("panel:", "cup:")) else None
