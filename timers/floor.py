"""The only reader for pages: what changed since a cursor, and cards as they stand at a moment."""

import zoneinfo
from datetime import UTC, datetime

from django.db.models import QuerySet

from shop.models import Shop

from .core import air, film
from .core.face import face, mode_of
from .core.ring import floor_order, hands_line
from .models import Act, Folded

PAGE = 200  # things an answer carries at the most; the phone asks again for the rest


def changed(shop: Shop, cursor: int, now_ms: int, with_cards: bool = True) -> dict:
    """What the shop heard since a cursor: fragments by sequence, the new cursor, and whether there is more.

    A fragment is {"on", "seq", "state", "acts", "face"}: all acts of the thing, for a phone to fold its own on top.
    """
    newest = Shop.objects.values_list("seq", flat=True).get(pk=shop.pk)
    cursor = cursor if cursor <= newest else 0  # the shop was put back from a copy: tell everything
    rows = list(Folded.objects.filter(shop=shop, seq__gt=cursor).order_by("seq")[: PAGE + 1])
    more, rows = len(rows) > PAGE, rows[:PAGE]
    acts = _acts_of(shop, [row.on for row in rows])
    fragments = [{"on": row.on, "seq": row.seq, "state": row.state, "acts": acts[row.on]} for row in rows]
    if with_cards:
        drawn = _drawing(shop, now_ms)
        for fragment in fragments:
            fragment["face"] = drawn(fragment["state"]) if fragment["on"].startswith("panel:") else None
    return {"fragments": fragments, "cursor": rows[-1].seq if more else newest, "more": more}


def floor(shop: Shop, now_ms: int) -> dict:
    """The whole floor at a moment: {"hands", "cards": [{"on", "face"}, ...]} in the order of the floor."""
    zone, trace = zone_of(shop), _trace(shop)
    rows, faces = [], {}
    for on, state in on_the_floor(shop).values_list("on", "state"):
        times = film.times(state, trace)
        shown = faces[on] = face(state, times, trace, now_ms, zone)
        moments = {key: times[key] for key in ("opens_at", "shuts_at", "ask_at")}
        named = {"id": on, "name": state["name"], "added_at": state["added_at"], "step": shown["step"]}
        rows.append({**named, **moments, "say": shown["say"], "mode": mode_of(state, times, trace, now_ms)})
    ordered = floor_order(rows)
    cards = [{"on": row["id"], "face": faces[row["id"]]} for row in ordered]
    return {"hands": hands_line(rows, now_ms, zone), "cards": cards}


def on_the_floor(shop: Shop) -> QuerySet:
    """Panels that were added and not put away."""
    panels = Folded.objects.filter(shop=shop, on__startswith="panel:")
    return panels.filter(state__away_at=None).exclude(state__added_at=None)


def zone_of(shop: Shop):
    """The shop's zone as the core wants it: ms since 1970 UTC to minutes east of UTC."""
    zone = zoneinfo.ZoneInfo(shop.zone)

    def minutes_east(at_ms: int) -> int:
        at = datetime.fromtimestamp(at_ms // 1000, UTC).astimezone(zone)
        return int(at.utcoffset().total_seconds() // 60)

    return minutes_east


def _drawing(shop: Shop, now_ms: int):
    zone, trace = zone_of(shop), _trace(shop)
    return lambda state: face(state, film.times(state, trace), trace, now_ms, zone)


def _trace(shop: Shop) -> list:
    row = Folded.objects.filter(shop=shop, on="air").first()
    return air.trace(row.state if row else {"readings": []})


def _acts_of(shop: Shop, things: list[str]) -> dict[str, list]:
    acts: dict[str, list] = {on: [] for on in things}
    for on, body in Act.objects.filter(shop=shop, on__in=things).order_by("seq").values_list("on", "body"):
        acts[on].append(body)
    return acts
