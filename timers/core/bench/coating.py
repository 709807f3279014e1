"""How much of a product's mix an area takes: solids of what the sheet means, hardener and reducer counted.

Twin: static/js/core/bench/coating.js"""

from typing import TypedDict

from ..base.check import Refused
from ..base.measures import within
from ..base.shapes import Product
from ..base.translate import later, t
from ..base.units import whole
from .cover import ready_to_spray_ml, wet_film_um

# Volume solids of paint and hardener without reducer in per mille, dry film of a coat in um: typical, common
# practice, no source.
TYPICAL: dict[str, tuple[int, int]] = {
    "epoxy": (500, 30),
    "etch": (200, 10),
    "surfacer": (500, 50),
    "sealer": (400, 30),
    "base": (200, 10),
    "waterbase": (200, 10),
    "clear": (450, 28),
    "topcoat": (480, 30),
    "sprayputty": (650, 100),
}
LANDS_PCT = 60  # HVLP guns 50 to 65 %, state pollution-prevention guides
LOSS_PCT = 10  # cup, strainer, hose: common practice, no source
PAINT, HARDENER, REDUCER, OTHER = "paint", "hardener", "reducer", "other"
REDUCED = ("base", "waterbase")
SOLID = (PAINT, HARDENER)


class Film(TypedDict):
    """What a coat is reckoned with: solids as the sheet has them and what they are of, the dry film; typical where
    either is not on the sheet."""

    solids_pm: int
    of: str  # "tin", "mixed", "ready"
    film_um: int
    typical: bool


class Coverage(TypedDict):
    """How much an area takes, and the solids and the wet film of the mix as it is sprayed."""

    ml: int
    ready_pm: int
    wet_um: int


def roles(cls: str, count: int) -> list[str]:
    """What each of `count` parts of a mix is, in the order of pouring.

    Rule     paint, hardener, reducer; of a base in two parts the second is the reducer; a fourth has no solids either
    Unit     none
    Holds    1 to 4 parts
    Source   common practice, no source
    Vectors  tests/vectors/coating.json
    """
    if cls in REDUCED and count == 2:
        return [PAINT, REDUCER]
    return [PAINT, HARDENER, REDUCER, OTHER][:count]


def ready_vs_pct(solids_pct: float, of: str, cls: str, parts: list[int], hardener_pct: float | None = None) -> float:
    """Volume solids of the mix as it is sprayed.

    Rule     solids "mixed" are of paint and hardener: what is thinned in brings none; "ready" are of the whole;
             those of the "tin" are averaged with the hardener's by parts, which counts like the paint where nothing is
             said of it
    Unit     percent by volume; parts by volume
    Holds    solids 1 to 100 %, 1 to 4 parts; refuses where less than 1 % is left
    Source   arithmetic; the hardener like the paint: common practice, no source
    Vectors  tests/vectors/coating.json, sums by hand in tests/published/mixing.json
    """
    within(later("The volume solids"), solids_pct, 1, 100, "%")
    if of == "ready":
        return solids_pct
    own: dict[str, float] = {PAINT: solids_pct, HARDENER: solids_pct}
    if of == "tin" and hardener_pct is not None:
        own[HARDENER] = hardener_pct
    each = zip(roles(cls, len(parts)), parts, strict=True)
    ready = sum(own.get(role, 0) * part for role, part in each) / sum(parts)
    within(later("The volume solids"), ready, 1, 100, "%")
    return ready


def film_of(product: Product) -> Film | None:
    """Solids and dry film of a coat: the sheet's, else typical ones of the class; None where neither is known.

    Rule     solids on a sheet that does not say of what are of paint and hardener without reducer, as they were before
             it could be said
    Unit     per mille by volume, um
    Holds    any checked product
    Source   TYPICAL: common practice, no source
    Vectors  tests/vectors/coating.json
    """
    solids_pm, film_um = product.get("solids_pm"), product.get("film_um")
    typical = TYPICAL.get(product["cls"])
    if (not solids_pm or not film_um) and not typical:
        return None
    solids, film = typical or (0, 0)
    return {
        "solids_pm": solids_pm or solids,
        "of": (product.get("solids_of") or "mixed") if solids_pm else "mixed",
        "film_um": film_um or film,
        "typical": not solids_pm or not film_um,
    }


def ready_pct(product: Product) -> float:
    """The same of a product's mix: as its sheet says, else typical; refused where neither is known."""
    film, ratio = _film(product), product.get("ratio")
    hardener_pm = product.get("hardener_solids_pm")
    hardener_pct = None if hardener_pm is None else hardener_pm / 10
    return ready_vs_pct(
        film["solids_pm"] / 10, film["of"], product["cls"], ratio["parts"] if ratio else [1], hardener_pct
    )


def coverage(product: Product, area_m2: float, coats: int, lands_pct: float, loss_pct: float) -> Coverage:
    """How much to mix of a product for all coats of an area.

    Rule     as cover.ready_to_spray_ml, with the solids of the mix as it is sprayed
    Unit     square metres, percent; ml, per mille, um on the wet comb
    Holds    a product mixed by volume, or that is not mixed, with known solids; else refuses
    Source   arithmetic
    Vectors  tests/vectors/coating.json, sums by hand in tests/published/mixing.json
    """
    film_um, ready = _film(product)["film_um"], ready_pct(product)
    return {
        "ml": ready_to_spray_ml(area_m2, coats, film_um, ready, lands_pct, loss_pct),
        "ready_pm": whole(10 * ready),
        "wet_um": whole(wet_film_um(film_um, ready)),
    }


def _film(product: Product) -> Film:
    film = film_of(product)
    if film is None:
        raise Refused(t("The volume solids or the dry film are not on the sheet. Nothing was saved."))
    return film
