"""The only writer of acts and of the states folded from them, under the shop's lock."""

import logging
import uuid
from dataclasses import dataclass
from itertools import groupby

from django.db.models import Sum, TextField
from django.db.models.functions import Cast, Length

from shop.base.database import writing
from shop.live.hub import publish_moved
from shop.models import Phone, Shop
from shop.phones import roles
from shop.security import access

from ..core.acts import envelope as rules
from ..core.base.translate import t
from ..core.card import cup
from ..core.clock import air
from ..core.fold import panel, shelf, shop_state
from ..defaults import initial_acts
from ..models import Act, ThingState
from . import authors, queries, quotas, told_again

FOLDS = {"panel": panel.fold, "cup": cup.fold, "air": air.fold}
FOLDS |= {"product": shelf.fold, "route": shelf.fold, "shop": shop_state.fold}
NEEDED = {"air": air.needed}
KEPT, ALREADY, REFUSED = "kept", "already kept", "refused"

logger = logging.getLogger(__name__)


@dataclass
class Kept:
    """What became of acts.

    `verdicts` are those of `keep`.  `before` is the sequence that the shop had, `stand` where it stands now.  `things`
    are those that changed, by their new sequence: (thing, seq, state, [(seq, act), ...]), the acts being those that
    clocks need.  `told_by` names the poster of each act that is hearsay: act id -> phone id.  `notes` say what is
    nearly full.
    """

    verdicts: list[dict]
    before: int
    stand: queries.Stand
    things: list[tuple[str, int, dict, list]]
    told_by: dict[str, str]
    notes: list[dict]


def append(shop_id, phone: Phone | None, acts: list, now_ms: int) -> list[dict]:
    """Keep acts, each once, and fold what they touch; the verdicts of `keep`, one an act, in the order given."""
    return keep(shop_id, phone, acts, now_ms).verdicts


def keep(shop_id, phone: Phone | None, acts: list, now_ms: int, marks: dict | None = None, cursor: int = 0) -> Kept:
    """Keep acts, each once, and fold what they touch.  `marks` are those of the phones that made them, by act id;
    `cursor` is how far the phone has heard.

    A verdict is {"id", "verdict": "kept" | "already kept", "seq"} or {"id", "verdict": "refused", "why"}.  An act that
    cannot be kept stops none of the others.  The sequence is given out under the shop's lock, so that a reader by
    cursor skips nothing.
    """
    shop_id, phone_id = uuid.UUID(str(shop_id)), phone and phone.pk
    with writing():
        stood = queries.stand(shop_id, phone_id, cursor, lock=True)
        existing, logs, room, told_by = _read(shop_id, acts, stood)
        before = room.shop[1]
        hearsay = authors.unproven(shop_id, phone, acts, marks or {})
        verdicts, fresh = _judge(acts, existing, now_ms, (shop_id, phone, hearsay), room)
        states, turned_away, archived = _fold(logs, fresh)
        new = (one for one in fresh if one["id"] not in turned_away)
        kept = [(stood.seq + at, act) for at, act in enumerate(new, 1)]
        things = _things(logs, kept, states, archived)
        if kept and stood.begun:
            _furnish(shop_id, stood)
            stood = stood._replace(begun=None)
        if kept:
            _write(shop_id, phone_id, kept, things, (before, room, hearsay), now_ms)
        if archived:
            Act.objects.filter(shop=shop_id, act_id__in=archived).update(archived=True)
    seqs = {act_id: seq for act_id, (_, seq) in existing.items()} | {act["id"]: seq for seq, act in kept}
    for verdict in verdicts:
        if verdict["id"] in turned_away:
            verdict |= {"verdict": REFUSED, "why": turned_away[verdict["id"]]}
        elif verdict["verdict"] != REFUSED:
            verdict["seq"] = seqs[verdict["id"]]
    told_by |= {act["id"]: str(phone_id) for _, act in kept if act["id"] in hearsay}
    notes = room.notes({on: state for on, _, state, _ in things})
    stand = stood._replace(seq=kept[-1][0], last=kept[-1][1]["id"]) if kept else stood
    return Kept(verdicts, stood.seq, stand, things, told_by, notes)


def furnish(shop_id: uuid.UUID) -> None:
    """Write what a shop begins with into its log, before any act."""
    with writing():
        stood = queries.stand(shop_id, None, lock=True)
        if stood.begun:
            _furnish(shop_id, stood)


def folded(on: str, acts: list[dict]) -> dict:
    """The state that the acts of one thing make."""
    return FOLDS[on.split(":")[0]](acts)


def fold_again(shop: Shop, using: str = "default") -> None:
    """Fold each thing of a shop from its acts, after these were put back."""
    needed = Act.objects.using(using).filter(shop=shop, archived=False)
    entries = needed.order_by("on", "seq").values_list("on", "seq", "body")
    states = []
    for on, group in groupby(entries.iterator(), key=lambda row: row[0]):
        bodies = [(seq, body) for _, seq, body in group]
        state = folded(on, [body for _, body in bodies])
        size = sum(quotas.size(body) for _, body in bodies)
        states.append(ThingState(shop=shop, on=on, seq=bodies[-1][0], state=state, bytes=size, next_at_ms=_look(on)))
    ThingState.objects.using(using).bulk_create(states, batch_size=500)
    acts = Act.objects.using(using).filter(shop=shop)
    all_bytes = acts.aggregate(sum=Sum(Length(Cast("body", TextField()))))["sum"]
    acts.filter(seq=shop.seq, shop_bytes=0).update(shop_bytes=all_bytes or 0)  # an older backup holds none


def _read(shop_id: uuid.UUID, acts: list, stood: queries.Stand) -> tuple[dict, dict, quotas.Room, dict]:
    """What the log holds of these acts and of the things they name, in one query: acts by id -> (act, seq); of each
    thing [(seq, act), ...]; the room that is taken; act id -> poster of what is hearsay.  While nothing was done in the
    shop, what it begins with counts as its log."""
    objects = [act for act in acts if isinstance(act, dict)]
    ids = list({act["id"] for act in objects if rules.is_id(act.get("id"))})
    named = [act["on"] for act in objects if isinstance(act.get("on"), str)]
    logs: dict[str, list] = {on: [] for on in named if rules.ON.match(on)}
    if len(logs) > quotas.FEW and queries.bytes_of(shop_id, logs) > quotas.MOST_READ:
        raise quotas.TooManyActs
    if stood.begun:
        shop_bytes, entries = _begun(shop_id, ids, logs, stood)
    else:
        shop_bytes, entries = queries.logs(shop_id, ids, logs, stood.seq)
    existing, things = {}, {on: [0, 0] for on in logs}
    for on, act_seq, _, act, size in entries:
        existing[act["id"]] = act, act_seq
        if on:
            logs[on].append((act_seq, act))
            things[on] = [things[on][0] + 1, things[on][1] + size]
    told_by = {act["id"]: by for _, _, by, act, _ in entries if by}
    return existing, logs, quotas.Room([stood.seq, shop_bytes], things), told_by


def _begun(shop_id: uuid.UUID, ids: list[str], logs: dict, stood: queries.Stand) -> tuple[int, list]:
    """What a shop begins with, in the form of `rows.logs`."""
    sized = [(seq, "", act, quotas.size(act)) for seq, act in initial_acts.acts(shop_id, stood.begun)]
    entries = [("", *one) for one in sized if one[2]["id"] in ids]
    entries += [(one[2]["on"], *one) for one in sized if one[2]["on"] in logs]
    return sum(size for *_, size in sized), entries


def _judge(acts: list, existing: dict, now_ms: int, asker: tuple, room: quotas.Room) -> tuple[list[dict], list[dict]]:
    """A verdict for each act, and the acts that are new and valid; a barred phone has all of its acts refused."""
    verdicts, fresh, barred = [], {}, access.write_refusal(asker[1])
    for act in acts:
        act_id = act.get("id") if isinstance(act, dict) and isinstance(act.get("id"), str) else None
        before = fresh.get(act_id) or existing.get(act_id, (None,))[0]
        same = before is not None and told_again.is_same(before, act)
        why = "" if same else barred or rules.refusal(act, now_ms) or _for_keepers(act, existing, asker)
        if before is not None and not same and not barred:
            why = t("The server holds another tap under this number.")
        if not why and before is None and not (why := room.refusal(act)):
            fresh[act_id] = act
        verdict = REFUSED if why else ALREADY if before else KEPT
        verdicts.append({"id": act_id, "verdict": verdict} | ({"why": why} if why else {}))
    return verdicts, list(fresh.values())


def _for_keepers(act: dict, existing: dict, asker: tuple) -> str:
    """Why a phone may not name the shop or undo such a naming, in words; "" if it may.

    An act that its maker marked is judged by the role of its maker, hearsay by the role of the phone that posts it.
    """
    shop_id, phone, hearsay = asker
    target = existing.get(act["act"], ({},))[0] if act["kind"] in ("undone", "restored") else {}
    if phone is None or "shop_named" not in (act["kind"], target.get("kind")):
        return ""
    maker = str(phone.pk) if act["id"] in hearsay else act.get("who") or str(phone.pk)
    return "" if roles.is_keeper(shop_id, maker) else roles.naming_refusal()


def _fold(logs: dict, fresh: list[dict]) -> tuple[dict, dict, set]:
    """The new state of each thing touched; why acts are turned away with which a thing cannot be folded or would be too
    large, by act id; and the ids of acts that no clock needs any more."""
    touched: dict[str, list] = {}
    for act in fresh:
        touched.setdefault(act["on"], []).append(act)
    states, turned_away, archived = {}, {}, set()
    for on, new in touched.items():
        acts = [*(act for _, act in logs[on]), *new]
        try:
            states[on] = folded(on, acts)
            why = quotas.too_large(on, states[on], new) if len(acts) > quotas.FEW_ACTS else ""
            if on in NEEDED:
                archived |= {act["id"] for act in acts} - {act["id"] for act in NEEDED[on](acts)}
        except Exception:  # the laws say that this cannot be; if it is, one thing must not stop the whole phone
            logger.exception("acts on %s could not be folded", on)
            why = t("Sandtime could not reckon with this tap. It stays on this phone.")
        turned_away |= {act["id"]: why for act in new if why}
    return states, turned_away, archived


def _things(logs: dict, kept: list[tuple[int, dict]], states: dict, archived: set) -> list[tuple]:
    """Things as they stand once the acts are kept, by the sequence of each one's last act."""
    for seq, act in kept:
        logs[act["on"]].append((seq, act))
    last = {act["on"]: seq for seq, act in kept}
    needed = {
        on: sorted((one for one in logs[on] if one[1]["id"] not in archived), key=lambda one: one[0]) for on in last
    }
    return sorted(((on, last[on], states[on], needed[on]) for on in last), key=lambda thing: thing[1])


def _furnish(shop_id: uuid.UUID, stood: queries.Stand) -> None:
    """Write what a shop begins with, as its phone was sent it: received when the shop was made, from no phone."""
    things = initial_acts.things(shop_id, stood.begun)
    queries.add_acts(shop_id, None, initial_acts.acts(shop_id, stood.begun), 0, stood.begun.made_ms)
    states = [(on, seq, state, sum(quotas.size(act) for _, act in acts), _look(on)) for on, seq, state, acts in things]
    queries.put_states(shop_id, states)
    queries.furnished(shop_id, stood.epoch)


def _write(shop_id, phone_id, kept: list[tuple], things: list[tuple], taken: tuple, now_ms: int) -> None:
    """Write acts and states, and notify listeners that the shop moved.  `taken` is (bytes of its acts before, the room
    that is taken now, ids of the acts that are hearsay)."""
    before, room, hearsay = taken
    queries.add_acts(shop_id, phone_id, kept, before, now_ms, hearsay)
    queries.put_states(shop_id, [(on, seq, state, room.things[on][1], _look(on)) for on, seq, state, _ in things])
    if any(on == "air" for on, *_ in things):
        queries.look_again(shop_id)
    if any(act["on"] == "shop" for _, act in kept):
        queries.name(shop_id, next(state["name"] for on, _, state, _ in things if on == "shop"))
    queries.move(shop_id, kept[-1][0])
    publish_moved(shop_id, kept[-1][0])


def _look(on: str) -> int | None:
    """When the ringer looks at a thing that was touched: at once (0), or never (None) where nothing of it rings.  The
    ringer computes the next ring, not the tap: so a tap stays quick, and many taps on a thing cost one computation."""
    return 0 if on.startswith(("panel:", "cup:")) else None
