"""Products and routes: kept whole by their last writing.  Twin: static/js/core/fold/shelf.js"""

import re

from ..base.shapes import Act, Gates, GunKey, PartFigures, Product, Ratio, Sheet, Variant
from ..base.states import Offer, Rival, ShelfState
from ..base.units import whole
from .order import standing

OF_PARTS: tuple[PartFigures, ...] = ("densities_g_l", "vocs_g_l", "waters_g_l")
PERCENT = re.compile(r"([1-9][0-9]?)(?:[.,]([0-9]))?[ \u00a0]*%")
GUN: tuple[GunKey, ...] = ("pressure_kpa", "tip_um", "turns_tenths", "distance_mm", "fan")


def fold(acts: list[Act]) -> ShelfState:
    """A product or route as last written, and what else was said of it.

    Rule     a writing names the writings it was made over; those that no later one was made over are all kept, the
             last rules and the others are its rivals, until a person writes over them; one that names none was made
             over all before it; of each gun the last set-up
    Unit     {"doc": {...} or None, "away_at": ms or None, "head": act id or "", "rivals": [{"id", "doc"}], "guns": {}}
    Holds    any acts
    Source   own rule: two phones that write at once lose nobody's words
    Vectors  tests/vectors/shelf.json
    """
    heads: list[Act] = []
    guns: dict[str, dict[str, int | str]] = {}
    away: int | None = None
    for act in standing(acts):
        if act["kind"] in ("sheet_written", "route_written"):
            over = act.get("over")
            heads = [head for head in heads if over is not None and head["id"] not in over] + [act]
        elif act["kind"] in ("sheet_put_away", "route_put_away"):
            away = act["at"]
        elif act["kind"] in ("sheet_brought_back", "route_brought_back"):
            away = None
        elif act["kind"] == "gun_set":
            figures = [(key, act.get(key)) for key in GUN]
            guns[act["gun"]] = {key: figure for key, figure in figures if figure is not None}
        elif act["kind"] == "gun_dropped":
            guns.pop(act["gun"], None)
    rivals: list[Rival] = [{"id": head["id"], "doc": head["doc"]} for head in heads[:-1]]
    last = heads[-1] if heads else None
    return {
        "doc": last["doc"] if last else None,
        "away_at": away,
        "head": last["id"] if last else "",
        "rivals": rivals,
        "guns": guns,
    }


def laid_sheet(product: Product, variant_id: str, coat: int = 1) -> Sheet:
    """What a film keeps of its product for good: limits, and the gates of the number of coats over those of the
    chosen variant over the common ones."""
    variant = next((one for one in product.get("variants", []) if one["id"] == variant_id), None)
    gates: Gates = {**product["gates"]}
    if variant:
        gates |= variant.get("gates", {})
    for times in sorted(product.get("coat_gates", []), key=lambda one: one["coat"]):
        if times["coat"] <= coat:
            gates |= times["gates"]
    sheet: Sheet = {
        "name": product["name"],
        "cls": product["cls"],
        "variant": variant["name"] if variant else "",
        "typical": product.get("typical", False),
        "lowest_dc": product.get("lowest_dc"),
        "highest_dc": product.get("highest_dc"),
        "double_dc": product.get("double_dc"),
        "gates": gates,
    }
    rh_pm, lead_ms = product.get("sheet_rh_pm"), product.get("lead_ms")
    if rh_pm is not None:
        sheet["sheet_rh_pm"] = rh_pm
    if lead_ms is not None:
        sheet["lead_ms"] = lead_ms
    return sheet


def fit(product: Product, temp_dc: int) -> list[Variant]:
    """A product's variants, the one meant for this temperature first; one unnamed variant where there are none."""
    variants: list[Variant] = product.get("variants") or [{"id": "", "name": ""}]
    return sorted(variants, key=lambda one: _off_band(one.get("band_dc"), temp_dc))


def as_mixed(product: Product, variant_id: str) -> Product:
    """A product as a variant of it is mixed: with the variant's ratio, and what is known of each of its parts.

    Rule     the variant's own ratio, else the product's; of a putty whose variant has none the per cent in its name:
             so are the sheets from before a variant could have one.  Figures of the parts go by their place
    Unit     parts
    Holds    any checked product, any id
    Source   our own rule
    Vectors  tests/vectors/offers.json
    """
    variant = next((one for one in product.get("variants", []) if one["id"] == variant_id), None)
    usual = product.get("ratio")
    own = (variant.get("ratio") or _ratio_in_name(product, variant["name"])) if variant else None
    if own is None or usual is None or _said(own) == _said(usual):
        return {**product, "ratio": own or usual}
    mixed: Product = {**product, "ratio": own}
    for key in OF_PARTS:
        figures = product.get(key)
        fits = figures is not None and own["by"] == usual["by"] and len(own["parts"]) <= len(figures)
        mixed[key] = figures[: len(own["parts"])] if figures is not None and fits else None
    return mixed


def hardener_pm(product: Product) -> int | None:
    """How much hardener a putty is mixed with, per mille of the putty; None where it is no mix of two by weight."""
    ratio = product.get("ratio")
    if not ratio or product["cls"] != "putty" or ratio["by"] != "weight" or len(ratio["parts"]) != 2:
        return None
    return whole(1000 * ratio["parts"][1] / ratio["parts"][0])


def by_hardener(product: Product, share_pm: int) -> str:
    """The variant of a putty that is mixed with a share of hardener, else the one nearest to it; of two as near the one
    with less, which waits longer to be sanded.  "" where no variant says how much."""
    shares = [(hardener_pm(as_mixed(product, one["id"])), one["id"]) for one in product.get("variants", [])]
    known = [(share, variant_id) for share, variant_id in shares if share is not None]
    nearest = min(known, key=lambda one: (abs(one[0] - share_pm), one[0]), default=None)
    return nearest[1] if nearest else ""


def offers(products: list[Product], wanted: str, last: str, temp_dc: int) -> list[Offer]:
    """What may be laid at a step, first choice first: the product used last here, then the wanted class, then others.

    Rule     last product, wanted class, name, id; each with its variants by temperature
    Unit     tenths of a degree C
    Holds    any products
    Source   our own rule
    Vectors  tests/vectors/offers.json
    """
    ranked = sorted(products, key=lambda one: (one["id"] != last, one["cls"] != wanted, one["name"], one["id"]))
    return [
        {"product": product["id"], "variant": variant["id"], "name": product["name"], "with": variant["name"]}
        for product in ranked
        if product["cls"] == wanted or not wanted or product["id"] == last
        for variant in fit(product, temp_dc)
    ]


def _off_band(band: list[int] | None, temp_dc: int) -> int:
    """How far a temperature lies outside a band; 0 inside it or without one."""
    if not band:
        return 0
    return max(band[0] - temp_dc, temp_dc - band[1], 0)


def _said(ratio: Ratio) -> tuple[str, list[int], list[str] | None]:
    return ratio["by"], ratio["parts"], ratio.get("names")


def _ratio_in_name(product: Product, name: str) -> Ratio | None:
    found = PERCENT.search(name)
    if found is None or hardener_pm(product) is None:
        return None
    return {"by": "weight", "parts": [1000, 10 * int(found[1]) + int(found[2] or 0)]}
