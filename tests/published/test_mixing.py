"""Published figures for mixing, coverage and VOC against the rules, in Python and in JavaScript."""

import json
from pathlib import Path

import pytest
from scipy import constants

FIGURES = json.loads((Path(__file__).resolve().parent / "mixing.json").read_text())


def test_six_hundred_ml_at_four_to_one_to_one(reckon):
    figures = FIGURES["parts"]
    assert reckon("mixing", "split", figures["total_ml"], figures["parts"]) == figures["ml"]
    assert reckon("mixing", "marks", figures["ml"]) == [400, 500, 600]


def test_two_percent_of_the_putty_is_fifty_to_one_and_less_of_the_total(reckon):
    figures = FIGURES["putty"]
    putty, hardener = figures["putty_g"], figures["hardener_g"]
    assert reckon("mixing", "percent_hardener_g", putty, figures["hardener_pm"]) == hardener
    assert reckon("mixing", "putty_for_g", hardener, figures["hardener_pm"]) == putty == hardener * figures["to_one"]
    assert reckon("mixing", "hardener_pm_of", putty, hardener) == figures["hardener_pm"]
    of_total = reckon("mixing", "hardener_of_total_pct", figures["hardener_pm"])
    assert of_total == pytest.approx(figures["of_total_pct"], abs=0.005)
    assert of_total == pytest.approx(100 * hardener / (putty + hardener))


@pytest.mark.parametrize("row", FIGURES["m2_per_l"]["rows"])
def test_a_litre_covers_what_its_data_sheet_says(reckon, row):
    assert reckon("cover", "m2_per_l", row["vs_pct"], row["dft_um"]) == pytest.approx(row["m2_per_l"])


@pytest.mark.parametrize("row", FIGURES["ft2_per_gal"]["rows"])
def test_a_gallon_covers_what_the_formula_says(reckon, row):
    assert reckon("cover", "ft2_per_gal", row["vs_pct"], row["dft_mil"]) == pytest.approx(row["ft2_per_gal"])


@pytest.mark.parametrize("row", FIGURES["sprayed"]["rows"])
def test_a_gallon_sprayed_covers_what_the_answers_say(reckon, row):
    covered = reckon("cover", "ft2_per_gal", row["vs_pct"], row["dft_mil"], row["te_pct"])
    assert covered == pytest.approx(row["ft2_per_gal"], abs=FIGURES["sprayed"]["within_ft2"])


@pytest.mark.parametrize("row", FIGURES["sprayed"]["rows"])
def test_the_area_that_a_gallon_covers_takes_a_gallon_in_litres_and_micrometres_too(reckon, row):
    area_m2 = row["ft2_per_gal"] * constants.foot**2
    dft_um = reckon("measures", "mil_to_um", row["dft_mil"])
    litres = reckon("cover", "litres_for", area_m2, dft_um, row["vs_pct"], row["te_pct"])
    assert litres == pytest.approx(1000 * constants.gallon, rel=0.002)


def test_a_wet_film_of_ten_mil_covers_what_the_gauge_makers_page_says(reckon):
    figures = FIGURES["wet_coverage"]
    covered = reckon("cover", "ft2_per_gal", 100, figures["wet_mil"])
    assert covered == pytest.approx(figures["ft2_per_gal"], rel=0.0002), "the trade's 1604 for 1604.17"


def need_of(row):
    """The product of a row: what it says of solids and film on its sheet, the rest typical."""
    scaled = {"solids_pm": row.get("solids_pct"), "hardener_solids_pm": row.get("hardener_pct")}
    said = {key: 10 * value for key, value in scaled.items() if value is not None}
    said |= {key: row[name] for key, name in (("solids_of", "of"), ("film_um", "film_um")) if name in row}
    return {
        "name": row["what"],
        "cls": row["cls"],
        "gates": {},
        "ratio": {"by": "volume", "parts": row["parts"]},
        **said,
    }


@pytest.mark.parametrize("row", FIGURES["need"]["rows"], ids=lambda row: row["what"])
def test_a_mix_is_as_much_as_it_comes_to_by_hand(reckon, row):
    figures = FIGURES["need"]
    asked = [need_of(row), row["area_m2"], row["coats"], figures["lands_pct"], figures["loss_pct"]]
    need = reckon("coating", "coverage", *asked)
    assert (need["ml"], need["wet_um"]) == (row["ml"], row["wet_um"]), row["sum"]


@pytest.mark.parametrize("row", FIGURES["wet_film"]["rows"])
def test_a_film_is_wetter_the_more_thinner_is_in_it(reckon, row):
    wet = reckon("cover", "wet_film_um", row["dft_um"], row["vs_pct"], row["thinner_pct"])
    assert wet == pytest.approx(row["wft_um"], abs=FIGURES["wet_film"]["within_um"])
    thinned = reckon("cover", "thinned_vs_pct", row["vs_pct"], row["thinner_pct"])
    assert reckon("cover", "wet_film_um", row["dft_um"], thinned) == pytest.approx(wet)


@pytest.mark.parametrize("row", FIGURES["wet_film_read"]["rows"])
def test_a_wet_film_is_what_the_pages_of_formulas_say(reckon, row):
    wet = reckon("cover", "wet_film_um", row["dft_um"], row["vs_pct"])
    assert wet == pytest.approx(row["wft_um"], abs=FIGURES["wet_film_read"]["within_um"])


@pytest.mark.parametrize("row", FIGURES["litres"]["rows"])
def test_a_panel_takes_more_litres_the_less_lands_on_it(reckon, row):
    litres = reckon("cover", "litres_for", row["area_m2"], row["dft_um"], row["vs_pct"], row["te_pct"])
    assert litres == pytest.approx(row["litres"], abs=FIGURES["litres"]["within_l"])


@pytest.mark.parametrize("mix", FIGURES["voc"]["mixes"], ids=lambda mix: str(mix["lb_per_gal"]))
def test_a_mix_gives_off_what_the_worked_examples_say(reckon, mix):
    figures = FIGURES["voc"]
    pound, within = figures["g_per_l_of_lb_per_gal"], figures["within_lb_per_gal"]
    parts = [
        {
            "ml": 1000 * part["gal"],
            "voc_g_per_l": part["voc"] * pound,
            "water_g_per_l": min(part.get("water", 0) * pound, 998.2),
        }
        for part in mix["parts"]
    ]
    found = reckon("voc", "voc_g_per_l", parts) / pound
    assert found == pytest.approx(mix["lb_per_gal"], abs=within)
    if "lb_per_gal_of_all" in mix:
        of_all = reckon("voc", "voc_of_all_g_per_l", parts) / pound
        assert of_all == pytest.approx(mix["lb_per_gal_of_all"], abs=within)


def test_exempt_solvent_is_taken_out_like_water(reckon):
    told = FIGURES["voc"]["exempt"]
    part = {"ml": 500, "voc_g_per_l": told["voc_g_per_l"], "exempt_g_per_l": told["exempt_g_per_l"]}
    part["exempt_density_g_per_l"] = told["density_g_per_l"]
    assert reckon("voc", "voc_g_per_l", [part]) == pytest.approx(told["g_per_l"])


def test_units_are_those_of_a_table_of_constants(reckon):
    assert reckon("measures", "fl_oz_to_ml", 1) == pytest.approx(1e6 * constants.fluid_ounce, rel=1e-12)
    assert reckon("measures", "oz_to_g", 1) == pytest.approx(1e3 * constants.ounce, rel=1e-12)
    assert reckon("measures", "mil_to_um", 1) == pytest.approx(1e6 * constants.mil, rel=1e-12)
    for temp_f, dc in FIGURES["units"]["dc_of_f"].items():
        assert reckon("measures", "f_to_dc", int(temp_f)) == dc
        assert dc / 10 == pytest.approx(constants.convert_temperature(int(temp_f), "F", "C"), abs=0.05)
