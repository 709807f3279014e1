"""The only reader for pages: what changed since a cursor, and cards as they stand at a moment."""

import zoneinfo
from datetime import UTC, datetime

from django.db.models import QuerySet

from shop.models import Shop

from .core import air, cup, film, house, mine
from .core.face import face
from .core.ring import floor_order, hands_line
from .models import Act, Folded

PAGE = 200  # things an answer carries at the most; the phone asks again for the rest


def changed(shop: Shop, cursor: int, now_ms: int, with_cards: bool = True, own: str = "", memory: str = "") -> dict:
    """What the shop heard since a cursor: fragments by sequence, the new cursor, and whether there is more.

    A fragment is {"on", "seq", "state", "acts", "seqs", "face"}: the acts of the thing that clocks need, for a phone to
    fold its own on top; of their sequences the first, then the steps from each to the next, which take fewer bytes.
    `own` is the phone that asks: cards call it "this phone".  `memory` is the one that the cursor belongs to.
    Other phones may tap between one question to the database and the next: the cursor takes in all rows that were
    read, and of a thing no act comes that its state does not know, so nothing is skipped and nothing told twice.
    """
    newest, known = Shop.objects.values_list("seq", "memory").get(pk=shop.pk)
    put_back = cursor > newest or memory not in ("", str(known))
    cursor = 0 if put_back else cursor  # the shop was put back from a backup: tell everything
    rows = list(Folded.objects.filter(shop=shop, seq__gt=cursor).order_by("seq")[: PAGE + 1])
    more, rows = len(rows) > PAGE, rows[:PAGE]
    acts = _acts_of(shop, {row.on: row.seq for row in rows})
    fragments = [{"on": row.on, "seq": row.seq, "state": row.state, **acts[row.on]} for row in rows]
    if with_cards:
        drawn = _drawing(shop, now_ms, own)
        for fragment in fragments:
            fragment["face"] = drawn(fragment["on"], fragment["state"])
    last = max([row.seq for row in rows[-1:]] + [newest] * (not more))
    return {"fragments": fragments, "cursor": last, "more": more, "memory": str(known)}


def floor(shop: Shop, now_ms: int) -> dict:
    """The whole floor at a moment: {"hands", "cards": [{"on", "face"}, ...]} in the order of the floor."""
    held, units, phones = air_of(shop), *_house(shop)
    zone = zone_of(shop, units)
    trace = air.trace(held)
    rows, faces = [], {}
    for on, state in on_the_floor(shop).values_list("on", "state"):
        felt = film.felt(state, held, trace)
        times = film.times(state, felt)
        faces[on] = face(state, times, felt, now_ms, zone, units["temp"], phones)
        rows.append(_row(on, state["added_at"], times, faces[on]))
    for on, state in cups_on_the_floor(shop).values_list("on", "state"):
        times = cup.times(state, trace)
        faces[on] = cup.face(state, times, trace, now_ms, zone, _panel_names(shop, state), units)
        rows.append(_row(on, state["mixed_at"], times, faces[on]))
    ordered = floor_order(rows)
    cards = [{"on": row["id"], "face": faces[row["id"]]} for row in ordered]
    return {"hands": hands_line(rows, now_ms, zone), "cards": cards}


def on_the_floor(shop: Shop) -> QuerySet:
    """Panels that were added and not put away."""
    panels = Folded.objects.filter(shop=shop, on__startswith="panel:")
    return panels.filter(state__away_at=None).exclude(state__added_at=None)


def cups_on_the_floor(shop: Shop) -> QuerySet:
    """Cups that were mixed and not emptied."""
    cups = Folded.objects.filter(shop=shop, on__startswith="cup:")
    return cups.filter(state__emptied_at=None).exclude(state__mixed_at=None)


def zone_of(shop: Shop, units: dict | None = None):
    """The shop's zone as the core wants it: ms since 1970 UTC to minutes east of UTC, and the hours its clocks show."""
    zone = zoneinfo.ZoneInfo(shop.zone)

    def minutes_east(at_ms: int) -> int:
        at = datetime.fromtimestamp(at_ms // 1000, UTC).astimezone(zone)
        return int(at.utcoffset().total_seconds() // 60)

    minutes_east.hours = (_house(shop)[0] if units is None else units).get("hours", "24")  # one folded before has none
    return minutes_east


def _row(on: str, added_at: int, times: dict, shown: dict) -> dict:
    """What the order of the floor goes by."""
    moments = {key: times[key] for key in ("opens_at", "shuts_at", "ask_at")}
    said = {key: shown[key] for key in ("name", "step", "say")}
    return {"id": on, "added_at": added_at, "mode": shown["state"], **said, **moments}


def _drawing(shop: Shop, now_ms: int, own: str):
    held, units, phones = air_of(shop), *_house(shop)
    zone = zone_of(shop, units)
    trace = air.trace(held)

    def drawn(on: str, state: dict) -> dict | None:
        if on.startswith("panel:"):
            felt = film.felt(state, held, trace)
            return face(state, film.times(state, felt), felt, now_ms, zone, units["temp"], phones, own)
        if on.startswith("cup:") and cup.stands(state):
            return cup.face(state, cup.times(state, trace), trace, now_ms, zone, _panel_names(shop, state), units)
        return None

    return drawn


def _panel_names(shop: Shop, state: dict) -> dict[str, str]:
    """Names of the panels that a cup is meant for or went on."""
    return {on: panel["name"] for on, panel in _panels_of(shop, state).items()}


def _panels_of(shop: Shop, state: dict) -> dict[str, dict]:
    panels = mine.panels_of(state)
    return dict(Folded.objects.filter(shop=shop, on__in=panels).values_list("on", "state")) if panels else {}


def air_of(shop: Shop) -> dict:
    """The folded air of a shop."""
    row = Folded.objects.filter(shop=shop, on="air").first()
    return row.state if row else air.fold([])


def _house(shop: Shop) -> tuple[dict, dict]:
    """The units that the shop reads in, and its phones' names."""
    row = Folded.objects.filter(shop=shop, on="shop").first()
    state = row.state if row else house.fold([])
    return state["units"], state.get("phones", {})  # a shop folded before phones had names has none


def whose(shop: Shop, state: dict) -> list[str] | None:
    """The phones that a panel's or a cup's rings are for; None for every phone."""
    return mine.whose(state, list(_panels_of(shop, state).values()))


def _acts_of(shop: Shop, things: dict[str, int]) -> dict[str, dict]:
    """Acts of things, each up to the number that was read of it, and the steps from each one's number to the next."""
    acts: dict[str, list] = {on: [] for on in things}
    seqs, last = {on: [] for on in things}, dict.fromkeys(things, 0)
    rows = Act.objects.filter(shop=shop, on__in=things, faded=False)
    for on, seq, body in rows.order_by("seq").values_list("on", "seq", "body"):
        if seq <= things[on]:
            acts[on].append(body)
            seqs[on].append(seq - last[on])
            last[on] = seq
    return {on: {"acts": acts[on], "seqs": seqs[on]} for on in things}
