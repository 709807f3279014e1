"""What pages and displays read: what changed since a cursor, and cards as they stand at a moment."""

import uuid
import zoneinfo
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from itertools import pairwise
from operator import itemgetter

from django.db.models import QuerySet, Sum

from shop.models import Shop

from ..core.base.check import Refused
from ..core.base.translate import t
from ..core.card import audience, cup
from ..core.card.floor_order import floor_order, hands_line
from ..core.card.lane_cards import card, rows
from ..core.clock import air, film, lanes
from ..core.clock.clock_step import is_curing
from ..core.fold import shop_state
from ..defaults import initial_acts
from ..models import ThingState
from . import outlook, queries, quotas
from .epoch import Heard, checked
from .writer import Kept

PAGE = 200  # things an answer carries at the most; the phone asks again for the rest
PAGE_BYTES = 1_500_000  # of their acts: PAGE things that were really worked on, or one that is as full as may be


def changed(shop: Shop, heard: Heard, now_ms: int, phone_id: str = "", kept: Kept | None = None) -> dict:
    """What happened in a shop since a phone last heard: {"fragments", "cursor", "cursor_act", "more", "memory", "seen",
    "unused"}.

    Fragments stand by sequence, at most PAGE of them; "more" says that there are others after "cursor".  "seen" is how
    far another phone has heard; "unused" that no act was ever kept.  A fragment is {"on", "seq", "state", "acts",
    "seqs"}: "acts" are those that clocks need, for a phone to fold its own on top; "seqs" their sequences, the
    first one and then the differences, which take fewer bytes; "told_by" is there if an act is hearsay.

    `phone_id` is the phone that asks.  `kept` is what became of its acts in this request:
    if it had heard all before them, nothing is read again.
    """
    stand = kept.stand if kept else queries.stand(shop.pk, uuid.UUID(phone_id) if phone_id else None, heard.cursor)
    before = kept.before if kept else stand.seq  # what this request brought proves nothing of what was heard before it
    stand = checked(shop.pk, stand, heard, before, phone_id, now_ms)
    put_back = heard.cursor > before or heard.epoch not in ("", stand.epoch)
    cursor = 0 if put_back else heard.cursor  # the shop was put back from a backup: send everything
    if kept and cursor == kept.before:
        things, more, told_by = kept.things, False, kept.told_by
    else:
        things, more, told_by = _since(shop, cursor, stand) if cursor < stand.seq else ([], False, {})
    fragments = [_fragment(*thing, told_by) for thing in things]
    last = max([cursor] + [seq for _, seq, *_ in things[-1:]] + [stand.seq] * (not more))
    about = {"memory": stand.epoch, "seen": stand.seen, "unused": stand.begun is not None}
    return {"fragments": fragments, "cursor": last, "cursor_act": _act_at(last, stand, things), "more": more, **about}


def floor(shop: Shop, now_ms: int, around: tuple[dict, dict, dict] | None = None) -> dict:
    """The floor at a moment: {"hands", "cards": [{"on", "face", "ahead"}, ...], "curing"} in the order of the floor;
    "ahead" is what the next film of a panel would meet (outlook.of_panel), None of a cup; "curing" are cards of panels
    that only cure.  `around` are the shop's `surroundings` where the caller has read them."""
    air_state, units, phones = around or surroundings(shop)
    zone = zone_of(shop, units)
    trace = air.trace(air_state)
    wall = outlook.Wall(air_state, now_ms, zone, units["temp"], cache(lambda: _shown_products(shop)))
    order, faces, nexts = [], {}, {}
    for on, state in on_the_floor(shop).values_list("on", "state"):
        felt = film.felt(state, air_state, trace)
        times = film.times(state, felt)
        faces[on] = card(state, times, felt, now_ms, zone, units["temp"], phones)
        lane = lanes.of(state, faces[on].get("lane", ""))
        nexts[on] = outlook.of_panel(lane, faces[on]["state"], felt, wall)
        order += rows(on, state["added_at"], times, faces[on], is_curing(state))
    for on, state in cups_on_the_floor(shop).values_list("on", "state"):
        times = cup.times(state, trace)
        faces[on] = cup.face(state, times, trace, now_ms, zone, _panel_names(shop, state), units)
        order += rows(on, state["mixed_at"], times, faces[on], False)
    cards = [[], []]
    curing = {row["id"]: row["curing"] for row in floor_order(order)}  # a panel stands where its first row does
    for on, is_cured in curing.items():
        cards[is_cured].append({"on": on, "face": faces[on], "ahead": nexts.get(on)})
    return {"hands": hands_line(order, now_ms, zone), "cards": cards[False], "curing": cards[True]}


def on_the_floor(shop: Shop) -> QuerySet:
    """Panels that were added and not put away.  Once the ringer has seen that a panel was put away it clears its next
    moment, so the index `may_ring` keeps such panels out of this query."""
    panels = ThingState.objects.filter(shop=shop, next_at_ms__isnull=False, on__startswith="panel:")
    return panels.filter(state__away_at=None).exclude(state__added_at=None)


def cups_on_the_floor(shop: Shop) -> QuerySet:
    """Cups that were mixed and not emptied."""
    cups = ThingState.objects.filter(shop=shop, next_at_ms__isnull=False, on__startswith="cup:")
    return cups.filter(state__emptied_at=None).exclude(state__mixed_at=None)


def products(shop: Shop) -> dict[str, dict]:
    """The products on the shelf, by thing, in the order of their names: those that were written and not put away.
    Refused, in words, where they come to more than one request may read."""
    found = ThingState.objects.filter(shop=shop, on__startswith="product:")
    if (found.aggregate(bytes=Sum("bytes"))["bytes"] or 0) > quotas.MOST_READ:
        raise Refused(t("A table may be 2 MB. This one is larger. Nothing was saved."))
    docs = _docs(shop, found)
    return dict(sorted(docs.items(), key=lambda one: (one[1]["name"], one[0])))


def product(shop: Shop, on: str) -> dict | None:
    """One product on the shelf; None where it is not there."""
    return _docs(shop, ThingState.objects.filter(shop=shop, on=on)).get(on)


def _docs(shop: Shop, found: QuerySet) -> dict[str, dict]:
    """Products that are on the shelf, each with the id of its thing: a script may have written none."""
    things = found.values_list("on", "state")
    if shop.seed_locale:
        begun = initial_acts.things(shop.pk, initial_acts.Beginning(shop.seed_locale, shop.made_ms))
        things = [(on, state) for on, _, state, _ in begun if on.startswith("product:")]
    shelf = {on: state["doc"] for on, state in things if state["doc"] and state["away_at"] is None}
    return {on: {**doc, "id": on.removeprefix("product:")} for on, doc in shelf.items()}


def _shown_products(shop: Shop) -> dict[str, dict]:
    """The shelf for the floor, which is shown without it where it is too large."""
    try:
        return products(shop)
    except Refused:
        return {}


@dataclass
class ShopZone:
    """The clock on a shop's wall, as the core wants it (`core.shapes.Zone`)."""

    tables: zoneinfo.ZoneInfo
    hours: str

    def minutes_east(self, at_ms: int) -> int:
        at = datetime.fromtimestamp(at_ms // 1000, UTC).astimezone(self.tables)
        return int(at.utcoffset().total_seconds() // 60)


def zone_of(shop: Shop, units: dict) -> ShopZone:
    return ShopZone(zoneinfo.ZoneInfo(shop.zone), units.get("hours", "24"))  # a state of an older version has none


def _panel_names(shop: Shop, state: dict) -> dict[str, str]:
    """Names of the panels that a cup is meant for or went on."""
    return {on: panel["name"] for on, panel in _panels_of(shop, state).items()}


def _panels_of(shop: Shop, state: dict) -> dict[str, dict]:
    panels = audience.panels_of(state)
    return dict(ThingState.objects.filter(shop=shop, on__in=panels).values_list("on", "state")) if panels else {}


def air_of(shop: Shop) -> dict:
    """The folded air of a shop."""
    row = ThingState.objects.filter(shop=shop, on="air").first()
    return row.state if row else air.fold([])


def surroundings(shop: Shop) -> tuple[dict, dict, dict]:
    """The folded air, the units that the shop reads in, and the names of its phones by id."""
    states = dict(ThingState.objects.filter(shop=shop, on__in=("air", "shop")).values_list("on", "state"))
    settings = states.get("shop") or shop_state.fold([])
    return states.get("air") or air.fold([]), settings["units"], settings.get("phones", {})  # names came after units


def whose(shop: Shop, state: dict) -> list[str] | None:
    """The phones that a panel's or a cup's rings are for; None for every phone."""
    return audience.whose(state, list(_panels_of(shop, state).values()))


def _since(shop: Shop, cursor: int, stand: queries.Stand) -> tuple[list[tuple], bool, dict[str, str]]:
    """Things folded since a cursor as (thing, seq, state, [(seq, act), ...]), whether there are more, and the poster of
    each act that is hearsay, by act id.

    Other phones may tap between two queries.  The cursor covers all states that were read, and acts newer than the
    state of their thing are left out, so nothing is skipped and nothing sent twice.
    """
    if stand.begun:
        things = [thing for thing in initial_acts.things(shop.pk, stand.begun) if thing[1] > cursor]
        return things[:PAGE], len(things) > PAGE, {}
    states, more = queries.states(shop.pk, cursor, PAGE, PAGE_BYTES)
    acts: dict[str, list] = {on: [] for on, _, _ in states}
    last = {on: seq for on, seq, _ in states}
    told_by = {}
    for on, seq, by, act in queries.acts(shop.pk, [], acts):
        if seq <= last[on]:
            acts[on].append((seq, act))
            told_by |= {act["id"]: by} if by else {}
    return [(on, seq, state, sorted(acts[on], key=itemgetter(0))) for on, seq, state in states], more, told_by


def _act_at(cursor: int, stand: queries.Stand, things: list[tuple]) -> str:
    """The id of the act at a new cursor; "" if it was not read: it is archived, or the log is empty."""
    if cursor == stand.seq:
        return stand.last
    return next((act["id"] for _, _, _, acts in things[-1:] for seq, act in acts if seq == cursor), "")


def _fragment(on: str, seq: int, state: dict, acts: list[tuple[int, dict]], told_by: dict[str, str]) -> dict:
    """One thing as the answer gives it, its acts numbered by differences (see `changed`)."""
    steps = [here - before for (before, _), (here, _) in pairwise([(0, {}), *acts])]
    hearsay = {act["id"]: told_by[act["id"]] for _, act in acts if act["id"] in told_by}
    fragment = {"on": on, "seq": seq, "state": state, "acts": [act for _, act in acts], "seqs": steps}
    return fragment | ({"told_by": hearsay} if hearsay else {})
