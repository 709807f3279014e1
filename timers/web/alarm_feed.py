"""The rings ahead of a shop's floor as a calendar that an app subscribes to: it is read again and again, whole.

A ring keeps its UID while its clock moves; its SEQUENCE is the number of the last act that can have moved it.  What no
longer stands is not in the next answer, and an app that subscribes takes it out.
"""

import re

from shop.models import Shop

from ..core.base.translate import t
from ..core.base.units import MINUTE_MS
from ..core.card import alarms, cup
from ..core.clock import air, film
from ..core.files import ics
from ..core.files.ics import Event
from ..core.fold import silence
from ..log import reader
from ..models import ThingState

REFRESH = "REFRESH-INTERVAL;VALUE=DURATION:PT15M"  # RFC 7986, 5.7
UTC_ZONE = [
    *("BEGIN:VTIMEZONE", "TZID:UTC", "BEGIN:STANDARD", "DTSTART:19700101T000000", "TZOFFSETFROM:+0000"),
    *("TZOFFSETTO:+0000", "END:STANDARD", "END:VTIMEZONE"),
]
NOT_IN_A_UID = re.compile(r"[^0-9A-Za-z]+")
LONGEST_UID = 200
SHUTS = ("closing", "shut")


def text(shop: Shop, now_ms: int) -> str:
    """The calendar at a moment: the first 500 rings ahead.  RFC 5545 wants a component in it: a floor where nothing
    will ring is a calendar of its time zone alone."""
    name = f"Sandtime: {shop.name}"
    found = events(shop, now_ms)
    if found:
        return ics.calendar(found, now_ms, name).replace("METHOD:PUBLISH\r\n", f"METHOD:PUBLISH\r\n{REFRESH}\r\n", 1)
    head = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{ics.MADE_BY}", "CALSCALE:GREGORIAN", REFRESH]
    lines = [*head, f"NAME:{ics.escaped(name)}", *UTC_ZONE, "END:VCALENDAR"]
    return "".join(f"{ics.folded(line)}\r\n" for line in lines)


def events(shop: Shop, now_ms: int) -> list[Event]:
    """What will ring of all panels and cups, the soonest first."""
    common = ThingState.objects.filter(shop=shop, on__in=("air", "shop")).values_list("seq", flat=True)
    moved = max(common, default=0)  # asked before the states: one that moves meanwhile counts higher the next time
    air_state, units, _ = reader.surroundings(shop)
    trace, zone = air.trace(air_state), reader.zone_of(shop, units)
    found: list[Event] = []
    for query in (reader.on_the_floor(shop), reader.cups_on_the_floor(shop)):
        for on, seq, state in query.values_list("on", "seq", "state"):
            is_cup = on.startswith("cup:")
            times = cup.times(state, trace) if is_cup else film.times(state, film.felt(state, air_state, trace))
            rings = alarms.rings(on, state, times, now_ms)
            found += [_event(ring, state, max(seq, moved), zone) for ring in rings]
    ahead = [event for event in found if event["begins_ms"] > now_ms]
    return sorted(ahead, key=lambda event: (event["begins_ms"], event["uid"]))[: ics.MOST]


def _named(ring: dict, state: dict) -> tuple[str, str]:
    """What a ring calls its panel or cup, with the lane that rings, and what there is to do."""
    area = ring.get("area", "")
    return alarms.name_of(state, area), alarms.todo(state, ring["gate"], area)


def _event(ring: dict, state: dict, sequence: int, zone: reader.ShopZone) -> Event:
    """A ring as the phone's calendar file has it: an opening up to the minute, a closing down to it."""
    at_ms = ring["at_ms"]
    minutes = at_ms // MINUTE_MS if ring["kind"].endswith(SHUTS) else -(-at_ms // MINUTE_MS)
    warning = t("As the clocks stood when this file was made. The data sheet rules, and your hand decides.")
    return {
        "uid": NOT_IN_A_UID.sub("-", silence.first(ring["key"]))[:LONGEST_UID],
        "sequence": sequence,
        "begins_ms": minutes * MINUTE_MS,
        "until_ms": ring["until_ms"],
        "summary": alarms.words(ring, *_named(ring, state), at_ms, zone),
        "description": "\n".join(one for one in (state.get("job", ""), warning) if one),
        "alarm_min_before": 0,
    }
