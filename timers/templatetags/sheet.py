"""The form of a product's sheet, drawn by the rows that check its figures (core/acts/product_schema.py)."""

from django import template

from ..core.acts.product_schema import PRODUCT
from ..core.acts.schema import Field

register = template.Library()

SHOWN_IN = {"°C": "temp", "µm": "film", "g": "weights"}  # units that a shop may choose another for


@register.inclusion_tag("timers/_sheetfield.html")
def sheet_field(key: str, words: str) -> dict[str, str]:
    """One figure of the sheet as a field: `words` on its label, the shop's own unit and the keys as its row asks."""
    row = next(one for one in PRODUCT if one["key"] == key)
    unit = (row["of"][0] if row["type"] == "list" else row)["unit"]
    return {"key": key, "words": words, "unit": SHOWN_IN.get(unit, ""), "mode": _keys_for(row)}


def _keys_for(row: Field) -> str:
    """The keyboard of a phone for a figure: times and figures beside each other want letters and signs too."""
    if row["type"] != "number" or row["unit"] == "min":
        return "text"
    return "decimal" if row["unit"] else "numeric"
