"""The form of a sheet has a field for each figure that the rules know, with the unit and the keyboard of its row."""

import re

from django.template.loader import render_to_string

from timers.core.acts.product_schema import FORM, PRODUCT

APART = {
    "typical",
    "gates",
    "variant",
    "variants",
    "coat_gates",
    "hardener_span_pm",
    "ribbon",
    "double_dc",
    "uses",
}  # more than one field


def fields() -> dict[str, str]:
    """The opening tags of the fields, by key."""
    html = render_to_string("timers/rooms.html")
    return {
        found[1]: found[0] for found in re.finditer(r'<(?:input|select|textarea)[^>]* data-field="(\w+)"[^>]*>', html)
    }


def test_every_figure_of_a_product_has_a_field():
    assert {row["key"] for row in PRODUCT if row["key"]} - APART - fields().keys() == set()


def test_the_form_shows_figures_of_a_product_each_with_a_name_of_its_own():
    assert all(any(row is one for one in PRODUCT) for row in FORM)
    assert len({row["label"] for row in FORM} - {""}) == len(FORM) == 17


def test_the_keyboard_and_the_unit_fit_the_figure():
    made, html = fields(), render_to_string("timers/rooms.html")
    modes = {key: re.search(r'inputmode="(\w+)"', tag)[1] for key, tag in made.items() if "inputmode" in tag}
    assert {key: modes[key] for key in ("name", "lowest_dc", "coats", "lead_ms", "densities_g_l", "solids_pm")} == {
        **{"name": "text", "lowest_dc": "decimal", "coats": "numeric"},
        **{"lead_ms": "text", "densities_g_l": "text", "solids_pm": "decimal"},
    }
    for key, unit in {"lowest_dc": "temp", "film_um": "film", "vocs_g_l": "weights"}.items():
        assert re.search(rf'<label for="sheet-{key}">[^<]*<span data-unit="{unit}">', html), key
