"""What to buy for the panels in hand: what their steps still take, product by product, and paper by grit.

Twin: static/js/core/bench/shopping.js"""

from typing import TypedDict

from ..base.check import Refused
from ..base.shapes import Product
from ..base.states import Film, Offer, PanelStep
from ..base.translate import t
from ..base.units import up
from ..fold import areas, shelf
from .coating import coverage, film_of, roles
from .mixing import shares

# Common practice, no source, all of them.
SPOT = 0.1  # of a panel, where a step is about a spot on it, where metal shows, and where it is filled
SKIM_UM = 1_000  # a filler as it is laid, before it is sanded
FILLER_G_L = 1_800
SPRAYED_G_L = 1_500  # what is mixed by weight and sprayed
DISC_M2 = 0.3  # a disc of 150 mm, or as much paper on a block
PACK = 10  # discs
FILLERS = ("putty",)


class Work(TypedDict):
    """A panel as it is folded, and how large it is."""

    steps: list[PanelStep]
    films: list[Film]
    area_m2: float


class Usual(TypedDict):
    """What the shop sprays with, and the tins that are sold: ml by volume, g by weight, each smaller first."""

    lands_pct: float
    loss_pct: float
    volume: list[int]
    weight: list[int]


class Part(TypedDict):
    role: str  # as coating.roles
    name: str  # the sheet's own, or ""
    amount: int
    tins: list[list[int]]  # how many of which size


class Row(TypedDict):
    """A product: what is needed of each part, ml or g; without parts, and with the reason, where that is not known."""

    product: str
    name: str
    variant: str
    cls: str
    by: str
    parts: list[Part]
    typical: bool
    why: str


class Paper(TypedDict):
    grit: int
    discs: int
    packs: int


def products(works: list[Work], on_shelf: list[Product], temp_dc: int, usual: Usual) -> list[Row]:
    """The products that the steps still ahead take, in the order in which they are wanted.

    Rule     for each coat or fill not done the product used last on that panel for this class, else the first of its
             class on the shelf, in the variant for this temperature; what several steps take is added up
    Unit     ml, g
    Holds    folded panels, checked products with their ids; areas of 0.01 to 1 000 square metres
    Source   coating.coverage for a coat; for a fill SPOT of the panel, SKIM_UM thick: common practice, no source
    Vectors  tests/vectors/shopping.json
    """
    rows: dict[tuple[str, str, str], Row] = {}
    for work in works:
        for step in _ahead(work, ("coat", "fill")):
            row = _row_of(work, step, on_shelf, temp_dc, usual)
            key = (row["product"], row["variant"], row["cls"])
            rows[key] = _added(rows[key], row) if key in rows else row
    for row in rows.values():
        for part in row["parts"]:
            part["tins"] = tins(part["amount"], usual["weight" if row["by"] == "weight" else "volume"])
    return list(rows.values())


def papers(works: list[Work]) -> list[Paper]:
    """Paper by grit for the sanding still ahead, coarse first.

    Rule     the areas of all steps of a grit, SPOT of the panel where a step is about a spot on it; a disc for each
             DISC_M2 begun, sold by the PACK
    Unit     P grades
    Holds    as products; a step without a grit is left out
    Source   common practice, no source
    Vectors  tests/vectors/shopping.json
    """
    sanded: dict[int, float] = {}
    for work in works:
        for step in _ahead(work, ("sand",)):
            if step["grit"]:
                sanded[step["grit"]] = sanded.get(step["grit"], 0) + _area(work, step)
    discs = [(grit, max(1, up(sanded[grit] / DISC_M2))) for grit in sorted(sanded)]
    return [{"grit": grit, "discs": count, "packs": -(-count // PACK)} for grit, count in discs]


def tins(amount: int, sizes: list[int]) -> list[list[int]]:
    """Which tins hold an amount: [[1, 1000], [1, 100]], larger first.

    Rule     the largest as often as it is full; for the rest the smallest that is enough, or two that hold a third less
    Unit     as the sizes
    Holds    amounts of 0 and more, sizes by rising
    Source   own rule: little is left over, and few lids are opened
    Vectors  tests/vectors/shopping.json
    """
    full, rest = divmod(amount, sizes[-1])
    counts = {sizes[-1]: full}
    for size in _for_rest(rest, sizes) if rest else []:
        counts[size] = counts.get(size, 0) + 1
    return [[counts[size], size] for size in reversed(sizes) if counts.get(size)]


def _for_rest(rest: int, sizes: list[int]) -> list[int]:
    one = next(size for size in sizes if size >= rest)
    pairs = [(large + small, large, small) for large in sizes for small in sizes if small <= large]
    two = min((pair for pair in pairs if pair[0] >= rest), default=(one, one, 0))
    return [two[1], two[2]] if 3 * two[0] <= 2 * one else [one]


def _ahead(work: Work, does: tuple[str, ...]) -> list[PanelStep]:
    return [step for step in work["steps"] if step["done_at"] is None and step["do"] in does]


def _area(work: Work, step: PanelStep) -> float:
    is_spot = step.get("use") == "spot" or step["area"] in areas.spots(work["steps"])
    return work["area_m2"] * SPOT if is_spot else work["area_m2"]


def _row_of(work: Work, step: PanelStep, on_shelf: list[Product], temp_dc: int, usual: Usual) -> Row:
    """What one step takes, its tins not counted yet."""
    offer = _offer(work, step, on_shelf, temp_dc)
    if offer is None:
        why = t("Nothing of this class is on the shelf.")
        return _row(step["cls"], {"product": "", "variant": "", "name": "", "with": ""}, "volume", why)
    bought = next(one for one in on_shelf if one.get("id") == offer["product"])
    product = shelf.as_mixed(bought, offer["variant"])
    row = _row(product["cls"], offer, "weight" if _is_weighed(product) else "volume", "")
    try:
        total = _total(_area(work, step), _coats(step), product, usual)
    except Refused as why:
        return {**row, "why": str(why)}
    return {**row, "parts": _parts(product, total), "typical": _is_typical(product)}


def _row(cls: str, offer: Offer, by: str, why: str) -> Row:
    return {
        "product": offer["product"],
        "name": offer["name"],
        "variant": offer["with"],
        "cls": cls,
        "by": by,
        "parts": [],
        "typical": True,
        "why": why,
    }


def _offer(work: Work, step: PanelStep, on_shelf: list[Product], temp_dc: int) -> Offer | None:
    """As it would be offered for laying."""
    cls, use = step["cls"], step.get("use", "")
    last = shelf.last_laid(work["films"], on_shelf, cls, use)
    offers = shelf.offers(on_shelf, cls, last, temp_dc, use, step.get("card", "")) if cls or use else []
    return next(iter(offers), None)


def _coats(step: PanelStep) -> int:
    return max(step["coats"] - step["laid"], 1) if step["do"] == "coat" else 1


def _is_weighed(product: Product) -> bool:
    ratio = product.get("ratio")
    return product["cls"] in FILLERS or (ratio is not None and ratio["by"] == "weight")


def _is_typical(product: Product) -> bool:
    """Whether any figure is not from a sheet of the shop's own."""
    if product.get("typical") or (_is_weighed(product) and not product.get("densities_g_l")):
        return True
    film = film_of(product)
    return product["cls"] in FILLERS or film is None or film["typical"]


def _total(area_m2: float, coats: int, product: Product, usual: Usual) -> int:
    """Ready to use, in ml, or g of what is weighed."""
    loss = usual["loss_pct"]
    if product["cls"] in FILLERS:
        ml = area_m2 * SPOT * (product.get("film_um") or SKIM_UM) * (1 + loss / 100)
        return max(1, up(ml * _g_per_l(product, FILLER_G_L) / 1000))
    ml = coverage(product, area_m2, coats, usual["lands_pct"], loss)["ml"]
    return up(ml * _g_per_l(product, SPRAYED_G_L) / 1000) if _is_weighed(product) else ml


def _g_per_l(product: Product, typical: int) -> int:
    return (product.get("densities_g_l") or [typical])[0]


def _parts(product: Product, total: int) -> list[Part]:
    ratio = product.get("ratio")
    parts, names = (ratio["parts"], ratio.get("names")) if ratio else ([1], None)
    each = zip(roles(product["cls"], len(parts)), names or [""] * len(parts), shares(total, parts), strict=True)
    return [{"role": role, "name": name, "amount": amount, "tins": []} for role, name, amount in each]


def _added(one: Row, other: Row) -> Row:
    """The same product for one step more."""
    if not one["parts"] or not other["parts"]:
        return one if one["parts"] else other
    both = zip(one["parts"], other["parts"], strict=True)
    return {**one, "parts": [{**part, "amount": part["amount"] + more["amount"]} for part, more in both]}
