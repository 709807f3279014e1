"""A mix of a product on the shelf, as another program asks for it: parts, coverage, cups, solvent, with their units."""

import math
from collections.abc import Mapping
from typing import NamedTuple

from ..core.acts.figures import SOLIDS_OF_WHAT
from ..core.base import check
from ..core.base.check import Refused
from ..core.base.shapes import Product, Reading, Sheet, Trace, Variant
from ..core.base.translate import later, t
from ..core.base.units import MINUTE_MS
from ..core.bench import batches, cautions, coating, cover, mixing, voc
from ..core.clock import air, damp
from ..core.files import cells
from ..core.fold import shelf

Asked = Mapping[str, str]  # what was asked, by name, as it stood in the address


class Moment(NamedTuple):
    """When is asked: the air then and from then on, and the last reading or None."""

    at_ms: int
    trace: Trace
    read: Reading | None

    @property
    def temp_dc(self) -> int:
        return self.read[1] if self.read else air.ASSUMED_DC


def answer(doc: Product, asked: Asked, moment: Moment) -> dict:
    """All of a mix.  Refused, in words, where a figure is missing, is none, or is beyond its limits.

    Asked    one of total_ml (total_g by weight), have_ml (have_g) with part, area_m2; coats, spray_min, lands_percent,
             loss_percent, solids_percent, solids_of, film_um and variant where they are another than usual
    Unit     ml where the sheet's ratio is by volume, g to a tenth where it is by weight
    """
    variant = _variant(doc, asked.get("variant", ""), moment.temp_dc)
    doc = shelf.as_mixed(doc, variant["id"])
    ratio = doc.get("ratio")
    if not ratio:
        raise Refused(t("The ratio is missing. Nothing was saved."))
    by_weight = ratio["by"] == "weight"
    sheet = shelf.laid_sheet(doc, variant["id"])
    need = None if by_weight or not asked.get("area_m2") else _need(doc, asked)
    amounts = _amounts(ratio["parts"], asked, by_weight, need["mix_ml"] if need else None)
    coats = figure(asked, "coats", 1, 20, 1, doc.get("coats") or 2)
    spray_min = figure(asked, "spray_min", 1, 1440, 1, 5)
    notes: list[str] = []
    return {
        "by": ratio["by"],
        "ratio": ratio["parts"],
        "variant": variant["name"],
        "total_g" if by_weight else "total_ml": sum(amounts) / 10 if by_weight else sum(amounts),
        "parts": _parts(doc, amounts, by_weight),
        "drift_percent": max(abs(pm) for pm in mixing.ratio_drift_pm(amounts, ratio["parts"])) / 10,
        "coverage": need,
        "cups": None if by_weight else _tried(notes, lambda: _cups(sheet, sum(amounts), coats, spray_min, moment)),
        "solvent_g_per_l": None if by_weight else _tried(notes, lambda: _solvent(doc, amounts)),
        "against": damp.coat_warnings(doc, read[1], read[2], None) if (read := moment.read) else [],
        "notes": notes,
        "caution": cautions.caution(doc),
        "rules": t('Figures marked "typical" are common practice for the class. Check your own data sheet: it rules.'),
    }


def figure(asked: Asked, name: str, least: int, most: int, scale: int = 1, usual: int | None = None) -> int:
    """A figure that was asked with, times its scale; `usual` where it was left out, else it must be there."""
    if not asked.get(name):
        if usual is None:
            raise check.missing(name)
        return usual
    return check.number(name, cells.number(name, asked[name], scale), least, most, scale)


def _variant(doc: Product, wanted: str, temp_dc: int) -> Variant:
    """The variant that was asked for, else the one that is meant for this temperature."""
    variants = shelf.fit(doc, temp_dc)
    if wanted:
        check.one_of(later("The variant"), wanted, tuple(one["id"] for one in variants))
    return next((one for one in variants if one["id"] == wanted), variants[0])


def _amounts(parts: list[int], asked: Asked, by_weight: bool, need_ml: int | None) -> list[int]:
    """In pouring order, ml or tenths of a gram."""
    unit, scale = ("g", 10) if by_weight else ("ml", 1)
    if need_ml is not None:
        return mixing.split(need_ml, parts)
    if asked.get(f"have_{unit}"):
        nth = figure(asked, "part", 1, len(parts), usual=1)
        return mixing.from_part(figure(asked, f"have_{unit}", 1, mixing.MOST, scale), nth - 1, parts)
    return mixing.split(figure(asked, f"total_{unit}", 1, mixing.MOST, scale), parts)


def _need(doc: Product, asked: Asked) -> dict:
    """How much of the mix an area takes; solids and film that were asked with stand in for the sheet's."""
    solids_pm = figure(asked, "solids_percent", 10, 1000, 10, doc.get("solids_pm"))
    film_um = figure(asked, "film_um", 1, 5_000, 1, doc.get("film_um"))
    area = figure(asked, "area_m2", 1, 10_000, 10) / 10
    coats = figure(asked, "coats", 1, 20, 1, doc.get("coats") or 2)
    lands = figure(asked, "lands_percent", 1, 100, 1, coating.LANDS_PCT)
    loss = figure(asked, "loss_percent", 0, 100, 1, coating.LOSS_PCT)
    of = check.one_of("solids_of", asked.get("solids_of") or doc.get("solids_of") or "mixed", SOLIDS_OF_WHAT)
    wanted: Product = {**doc, "solids_pm": solids_pm, "solids_of": of, "film_um": film_um}
    need = coating.coverage(wanted, area, coats, lands, loss)
    return {
        "area_m2": area,
        "coats": coats,
        "mix_ml": need["ml"],
        "dry_film_um": film_um,
        "wet_film_um": need["wet_um"],
        "m2_per_l": round(cover.m2_per_l(coating.ready_pct(wanted), film_um, lands), 1),
        "solids_percent": solids_pm / 10,
        "solids_of": of,
        "sprayed_solids_percent": need["ready_pm"] / 10,
        "lands_percent": lands,
        "loss_percent": loss,
    }


def _parts(doc: Product, amounts: list[int], by_weight: bool) -> list[dict]:
    """Each part with where the mark, or the scale that is never set back to zero, then stands."""
    densities = doc.get("densities_g_l")
    upto = mixing.marks(amounts)
    if by_weight:
        each = [{"amount_g": much / 10, "scale_g": stands / 10} for much, stands in zip(amounts, upto, strict=True)]
    else:
        scale = mixing.tenth_grams(amounts, densities) if densities else [None] * len(amounts)
        each = [
            {"amount_ml": much, "fill_to_ml": stands, "scale_g": None if weighs is None else weighs / 10}
            for much, stands, weighs in zip(amounts, upto, scale, strict=True)
        ]
    return [{"name": name, **part} for name, part in zip(_names(doc), each, strict=False)]


def _names(doc: Product) -> list[str]:
    """What the parts are called on the sheet, else by their place."""
    own = doc["ratio"].get("names")
    if own:
        return own
    if doc["cls"] == "putty":
        return [t("Putty"), t("Hardener"), t("Reducer"), t("Fourth part [[of a mix]]")]
    words = {
        coating.PAINT: t("Paint [[a part of a mix]]"),
        coating.HARDENER: t("Hardener"),
        coating.REDUCER: t("Reducer"),
        coating.OTHER: t("Fourth part [[of a mix]]"),
    }
    return [words[role] for role in coating.roles(doc["cls"], len(doc["ratio"]["parts"]))]


def _cups(sheet: Sheet, total_ml: int, coats: int, spray_min: int, moment: Moment) -> dict | None:
    """How many cups, for how many coats, by the pot life from now on; None where the sheet tells none."""
    found = batches.batches(sheet, total_ml, coats, spray_min * MINUTE_MS, moment.at_ms, moment.trace)
    if found is None:
        return None
    return {
        "pot_life_min": found["pot_ms"] // MINUTE_MS,
        "induction_min": -(-found["induction_ms"] // MINUTE_MS),
        "temp_c": moment.temp_dc / 10,
        "takes_min": -(-found["takes_ms"] // MINUTE_MS),
        "cups": [
            {"amount_ml": one["ml"], "coats": one["coats"], "takes_min": -(-one["takes_ms"] // MINUTE_MS)}
            for one in found["cups"]
        ],
    }


def _solvent(doc: Product, amounts: list[int]) -> int | None:
    """Solvent of a litre as sprayed, less water, rounded up to the gram; None where the sheet tells none."""
    vocs, waters = doc.get("vocs_g_l"), doc.get("waters_g_l") or [0] * len(amounts)
    if not vocs:
        return None
    parts: list[voc.Part] = [
        {"ml": ml, "voc_g_per_l": solvent, "water_g_per_l": water}
        for ml, solvent, water in zip(amounts, vocs, waters, strict=True)
    ]
    return math.ceil(voc.voc_g_per_l(parts))


def _tried(notes: list[str], work):
    """What a rule answers; None, and its words among the notes, where it cannot for this mix."""
    try:
        return work()
    except Refused as why:
        notes.append(unsaved(why))
        return None


def unsaved(why: Refused) -> str:
    """The words of a refusal where nothing was to be saved."""
    return str(why).removesuffix(f" {t('Nothing was saved.')}")
