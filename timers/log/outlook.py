"""What a screen on the wall says beside the cards: the air and its dew point, and what the next film would meet."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime

from ..core.base.shapes import Trace, Zone
from ..core.bench import practice
from ..core.clock import air, damp, forecast
from ..core.fold import panel, shelf

LAYS = ("coat", "fill")
NOT_YET = ("wait", "still", "asked", "shut")  # states of a card: no film may be laid now

Outlook = dict[str, str | list[str]]


@dataclass
class Wall:
    """What a screen goes by: the folded air, the moment, how the shop reads, and how to come by its shelf."""

    air: dict
    now_ms: int
    zone: Zone
    unit: str  # "c" or "f"
    products: Callable[[], dict[str, dict]]  # by thing; asked only where a film is next


def of_panel(state: dict, mode: str, felt: Trace, wall: Wall) -> Outlook | None:
    """What speaks against laying a panel's next film now, as the phone says it before the coat goes on.

    The film is the first on offer: the product that was last used for such a step, else what serves it by name.
    `mode` is the state on the panel's card, `felt` the panel's own trace.
    {"product", "variant", "words": sentences, none where nothing speaks against it}; None where no film is next, none
    may go on yet, or none of its class is on the shelf.
    """
    step = panel.current(state)
    if step is None or step["do"] not in LAYS or mode in NOT_YET:
        return None
    read = air.last_read(wall.air, wall.now_ms)
    surface = _surface_dc(state, wall.now_ms)
    temp_dc = surface if surface is not None else read[1] if read else air.ASSUMED_DC
    docs = wall.products()
    use, on_shelf = step.get("use", ""), list(docs.values())
    last = shelf.last_laid(state["films"], on_shelf, step["cls"], use)
    offers = shelf.offers(on_shelf, step["cls"], last, temp_dc, use, step.get("card", ""))
    offer = next(iter(offers), None)
    if offer is None:
        return None
    doc = shelf.as_mixed(docs[f"product:{offer['product']}"], offer["variant"])
    sheet = shelf.laid_sheet(doc, offer["variant"], step["laid"] + 1)
    words = damp.coat_warnings(doc, read[1], read[2], surface, wall.unit) if read else []
    words += practice.against(state, step, doc)
    words += forecast.warnings(sheet, wall.now_ms, felt, wall.zone, wall.unit)
    return {"product": offer["name"], "variant": offer["with"], "words": words}


def of_air(air_state: dict, now_ms: int) -> dict | None:
    """The last reading, and how far air and what is as warm as it are above the dew point; None before the first.

    Degrees C and percent; the dew point is rounded up and the distance down, so that none is too hopeful.
    """
    read = air.last_read(air_state, now_ms)
    if read is None:
        return None
    at_ms, temp_dc, rh_pm = read
    dew_dc = None if rh_pm is None else damp.dew_point_dc(temp_dc, rh_pm)
    return {
        "read_at": datetime.fromtimestamp(at_ms // 1000, UTC).isoformat().replace("+00:00", "Z"),
        "stale": air.stale(air_state, now_ms),
        "temp_c": temp_dc / 10,
        "humidity_percent": None if rh_pm is None else rh_pm / 10,
        "dew_point_c": None if dew_dc is None else dew_dc / 10,
        "above_dew_point_c": None if rh_pm is None else damp.margin_dc(temp_dc, temp_dc, rh_pm) / 10,
    }


def _surface_dc(state: dict, now_ms: int) -> int | None:
    """The panel's own temperature where one was read and rules now."""
    surfaces = state.get("surfaces") or []
    now = [temp for begin, until, temp in surfaces if begin <= now_ms and (until is None or until > now_ms)]
    return now[-1] if now else None
