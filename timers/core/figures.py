"""Figures of a sheet beside its times: ratio, film, air, what a litre weighs."""

from .conform import check_fields
from .sheets import FIGURES


def check_figures(doc: dict[str, object]) -> None:
    """What a sheet says beside its times; every figure may be missing.

    Rule     each inside what can be; one density, solvent and water for each part of the ratio; a putty's hardener
             between 0.5 and 6 % of it; the window shuts after the next coat may go on, at every line of both
    Unit     tenths of a degree C, per mille, um, g per litre
    Holds    refuses in words what is outside
    Source   own rule, figures are common practice, no source
    Vectors  tests/vectors/figures.json
    """
    check_fields(doc, FIGURES)
