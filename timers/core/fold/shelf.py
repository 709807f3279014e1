"""Products and routes: kept whole by their last writing.  Twin: static/js/core/fold/shelf.js"""

import re
from typing import Literal, TypeAlias, cast

from ..base.shapes import Act, Gates, GunKey, PartFigures, Product, Ratio, Sheet, Variant
from ..base.states import Film, Offer, Rival, ShelfState
from ..base.units import whole
from .order import standing

LimitKey: TypeAlias = Literal["cure_lowest_dc", "cure_highest_dc", "sheet_rh_pm", "lead_ms"]
OwnFigure: TypeAlias = Literal[
    "lowest_dc", "highest_dc", "cure_lowest_dc", "cure_highest_dc", "highest_rh_pm", "solids_pm", "solids_of",
    "hardener_solids_pm", "film_um", "coats", "tip_um", "hardener",
]  # fmt: skip
OF_PARTS: tuple[PartFigures, ...] = ("densities_g_l", "vocs_g_l", "waters_g_l")
CAN = "can"  # the bench card of a step that goes by a can
NOT = 9  # of a product: it does not serve that use
# What a class is for, where a sheet does not say it: those of before it could.
CLASS_USES: dict[str, tuple[str, ...]] = {
    "putty": ("filler", "glaze", "fibre"),
    "epoxy": ("spot",),
    "etch": ("spot",),
    "surfacer": ("surfacer",),
    "sealer": ("sealer",),
    "base": ("base", "effect"),
    "waterbase": ("base", "effect"),
    "clear": ("clear",),
    "promoter": ("promoter",),
    "topcoat": ("topcoat",),
    "seam": ("seam",),
}
PERCENT = re.compile(r"([1-9][0-9]?)(?:[.,]([0-9]))?[ \u00a0]*%")
OF_VARIANT: tuple[OwnFigure, ...] = (
    "lowest_dc", "highest_dc", "cure_lowest_dc", "cure_highest_dc", "highest_rh_pm", "solids_pm", "solids_of",
    "hardener_solids_pm", "film_um", "coats", "tip_um", "hardener",
)  # fmt: skip
IF_TOLD: tuple[LimitKey, ...] = ("cure_lowest_dc", "cure_highest_dc", "sheet_rh_pm", "lead_ms")
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
    """What a film keeps of its product for good: limits as mixed, and the gates of the number of coats over those of
    the chosen variant over the common ones."""
    variant = variant_of(product, variant_id)
    product = _with_own_figures(product, variant)
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
    for key in IF_TOLD:
        figure = product.get(key)
        if figure is not None:
            sheet[key] = figure
    return sheet


def fit(product: Product, temp_dc: int, use: str = "") -> list[Variant]:
    """A product's variants for a use: those mixed for it first, then by the temperature they are meant for; those mixed
    for another use only where there are no others.  With no use named, what its class is for.  One unnamed variant
    where there are none."""
    variants: list[Variant] = product.get("variants") or [{"id": "", "name": ""}]
    if use:
        variants = [one for one in variants if one.get("use", "") in ("", use)] or variants
    first = (use,) if use else CLASS_USES.get(product["cls"], ())
    return sorted(variants, key=lambda one: (_off_use(one, first), _off_band(one.get("band_dc"), temp_dc)))


def variant_of(product: Product, variant_id: str) -> Variant | None:
    return next((one for one in product.get("variants", []) if one["id"] == variant_id), None)


def as_mixed(product: Product, variant_id: str) -> Product:
    """A product as a variant of it is mixed: with the variant's ratio and figures, and what is known of its parts.

    Rule     the variant's own ratio and figures, else the product's; of a putty whose variant has no ratio the per cent
             in its name: so are the sheets from before a variant could have one.  Figures of the parts go by their
             place, the variant's own where there are as many as it has parts
    Unit     parts
    Holds    any checked product, any id
    Source   our own rule
    Vectors  tests/vectors/offers.json
    """
    variant, usual = variant_of(product, variant_id), product.get("ratio")
    own = (variant.get("ratio") or _ratio_in_name(product, variant["name"])) if variant else None
    mixed: Product = {**_with_own_figures(product, variant), "ratio": own or usual}
    if own is not None and usual is not None and _said(own) != _said(usual):
        for key in OF_PARTS:
            figures = product.get(key)
            fits = figures is not None and own["by"] == usual["by"] and len(own["parts"]) <= len(figures)
            mixed[key] = figures[: len(own["parts"])] if figures is not None and fits else None
    ratio = mixed["ratio"]
    for key in OF_PARTS if variant and ratio else ():
        figures = variant.get(key) if variant else None
        if figures is not None and ratio is not None and len(figures) == len(ratio["parts"]):
            mixed[key] = figures
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


def offers(products: list[Product], wanted: str, last: str, temp_dc: int, use: str = "", card: str = "") -> list[Offer]:
    """What may be laid at a step, first choice first: the product used last here, then what serves the step's use, then
    the wanted class, then others.

    Rule     last product, use, no can before a can (a can first where the step's bench card is that of cans), class,
             fewest uses, name, id; each with its variants for that use by temperature.  With a use only what serves
             it, the product used last too; where nothing does, as with none
    Unit     tenths of a degree C
    Holds    any products
    Source   our own rule
    Vectors  tests/vectors/offers.json
    """
    serving = [one for one in products if use and serves(one, use) < NOT]
    offered = serving or [one for one in products if not wanted or one["cls"] == wanted or one["id"] == last]
    ranked = sorted(offered, key=lambda one: (one["id"] != last, *_rank(one, wanted, use, card)))
    return [
        {"product": product["id"], "variant": variant["id"], "name": product["name"], "with": variant["name"]}
        for product in ranked
        for variant in fit(product, temp_dc, use)
    ]


def serves(product: Product, use: str) -> int:
    """How well a product serves a use: 0 where its sheet says so, 1 where it says nothing and its class does, else
    `NOT`."""
    said = uses_of(product)
    if said:
        return 0 if use in said else NOT
    return 1 if use in CLASS_USES.get(product["cls"], ()) else NOT


def uses_of(product: Product) -> set[str]:
    """What a product or a variant of it says it is for."""
    return {*product.get("uses", []), *(one.get("use", "") for one in product.get("variants", []))} - {""}


def last_laid(films: list[Film], products: list[Product], wanted: str, use: str = "") -> str:
    """The product that was laid last for such a step: of the wanted class, and of a use where the step names one."""
    shelf = {one["id"].removeprefix("product:"): one for one in products}
    for film in reversed(films):
        product = shelf.get(film["product"])
        if product and (serves(product, use) < NOT if use else film["sheet"]["cls"] == wanted):
            return product["id"]
    return ""


def _rank(product: Product, wanted: str, use: str, card: str) -> tuple[int, bool, bool, int, str, str]:
    """What serves best, a can last unless one is wanted, the wanted class, what is for the fewest uses, the name."""
    said = uses_of(product) if wanted or use else set()
    fits = serves(product, use) if use else int(bool(said) and not said & {*CLASS_USES.get(wanted, ())})
    wants_can = card == CAN
    off_can = (bool(said) or wants_can) and product.get("in_can", False) != wants_can
    return (fits, off_can, product["cls"] != wanted, len(said), product["name"], product["id"])


def _off_use(variant: Variant, first: tuple[str, ...]) -> int:
    """0 for a variant mixed for the use, 1 for one that is for all, 2 for one mixed for another."""
    use = variant.get("use", "")
    return 0 if use in first else 2 if use else 1


def _with_own_figures(product: Product, variant: Variant | None) -> Product:
    own = {key: figure for key in OF_VARIANT if variant and (figure := variant.get(key)) is not None}
    return cast(Product, {**product, **own})


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
