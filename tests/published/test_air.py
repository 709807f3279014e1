"""Published and reference figures for damp air against the rules, in Python and in JavaScript."""

import json
from pathlib import Path

import psychrolib
import pytest
from CoolProp.HumidAirProp import HAPropsSI

FIGURES = json.loads((Path(__file__).resolve().parent / "air.json").read_text())
SEA_LEVEL_PA = 101325
ZERO_K = 273.15

psychrolib.SetUnitSystem(psychrolib.SI)


def test_the_dew_point_is_that_of_the_reference_grid(reckon_all):
    figures = FIGURES["dew_point_grid"]
    asked = [
        (int(temp), rh, dew)
        for temp, row in figures["rows_c"].items()
        for rh, dew in zip(figures["rh_pct"], row, strict=True)
        if dew is not None
    ]
    dews = reckon_all("air", "dew_point_c", [[temp, rh] for temp, rh, _ in asked])
    off = [dew - told for dew, (_, _, told) in zip(dews, asked, strict=True)]
    assert max(map(abs, off)) <= figures["within_c"]


@pytest.mark.parametrize("library", ["psychrolib", "coolprop"])
def test_over_a_fine_grid_the_dew_point_is_that_of_a_reference_library(reckon_all, library):
    grid = _grid(library)
    dews = reckon_all("air", "dew_point_c", [[temp, rh] for temp, rh, _ in grid])
    off = [dew - told for dew, (_, _, told) in zip(dews, grid, strict=True)]
    assert len(grid) > 3000
    assert -FIGURES["libraries"]["within_c"] <= min(off) <= max(off) <= FIGURES["libraries"]["within_c"]


@pytest.mark.parametrize("library", ["psychrolib", "coolprop"])
def test_no_margin_is_more_hopeful_than_a_reference_library_nor_much_less(reckon_all, library):
    grid, surface_dc = _grid(library), 250
    margins = reckon_all("damp", "margin_dc", [[surface_dc, round(temp * 10), rh * 10] for temp, rh, _ in grid])
    spare = [surface_dc - 10 * dew - margin for margin, (_, _, dew) in zip(margins, grid, strict=True)]
    assert min(spare) >= -1e-5, "a library that seeks its answer stops a millionth short"
    assert max(spare) < 2, "a fifth of a degree at most is given away"


def test_the_dew_point_is_that_of_the_painters_table(reckon):
    figures = FIGURES["dew_point_table"]
    for rh, column in figures["columns"].items():
        for temp, dew in enumerate(column, figures["from_c"]):
            assert reckon("air", "dew_point_c", temp, int(rh)) == pytest.approx(dew, abs=figures["within_c"])


def test_a_cubic_metre_of_full_air_holds_what_the_table_says(reckon):
    figures = FIGURES["water_in_air"]
    for temp, told in figures["g_per_m3"].items():
        held = 1000 * reckon("air", "saturation_pa", int(temp)) / (461.5 * (int(temp) + ZERO_K))
        assert held == pytest.approx(told, abs=figures["within_g"])


@pytest.mark.parametrize("row_f", FIGURES["psychrometer"]["rows_f"])
def test_two_thermometers_give_the_dew_point_of_a_table_of_1899(reckon, row_f):
    dry, wet, dew_f = row_f
    rh = reckon("air", "rh_of_wet_bulb", _celsius(dry), _celsius(wet))
    assert reckon("air", "dew_point_c", _celsius(dry), rh) * 1.8 + 32 == pytest.approx(dew_f, abs=1.0)


def test_two_thermometers_give_the_humidity_of_a_reference_library(reckon_all):
    pairs = [(dry, wet, _library_rh(dry, wet)) for dry in range(5, 41) for wet in range(1, dry + 1)]
    pairs = [pair for pair in pairs if pair[2] >= 20]
    found = reckon_all("air", "rh_of_wet_bulb", [[dry, wet] for dry, wet, _ in pairs])
    off = [rh - told for rh, (_, _, told) in zip(found, pairs, strict=True)]
    assert len(pairs) > 300
    assert max(map(abs, off)) <= FIGURES["wet_bulb"]["within_pct"]


def test_the_painters_swung_psychrometer_lets_the_coat_go_on(reckon):
    told = FIGURES["painters_psychrometer"]["swung"]
    rh = reckon("air", "rh_of_wet_bulb", told["dry_c"], told["wet_c"])
    dew = reckon("air", "dew_point_c", told["dry_c"], rh)
    assert dew == pytest.approx(told["dew_c"], abs=FIGURES["painters_psychrometer"]["within_c"])
    warnings = reckon("damp", "coat_warnings", {}, told["dry_c"] * 10, round(rh * 10), told["surface_c"] * 10)
    assert (warnings == []) is told["may"]


def test_the_painters_hygrometer_does_not(reckon):
    told = FIGURES["painters_psychrometer"]["read"]
    dew = reckon("air", "dew_point_c", told["air_c"], told["rh_pct"])
    assert dew == pytest.approx(told["dew_c"], abs=FIGURES["painters_psychrometer"]["within_c"])
    warnings = reckon("damp", "coat_warnings", {}, told["air_c"] * 10, told["rh_pct"] * 10, told["surface_c"] * 10)
    assert (warnings == []) is told["may"]


@pytest.mark.parametrize("temp_c", [5, 15, 20, 30])
@pytest.mark.parametrize("rh_pct", [40, 60, 85])
def test_steel_three_degrees_above_the_dew_point_may_be_coated_and_less_may_not(reckon, temp_c, rh_pct):
    margin = 10 * FIGURES["surface_rule"]["margin_c"]
    dew = reckon("damp", "dew_point_dc", temp_c * 10, rh_pct * 10)
    assert reckon("damp", "coat_warnings", {}, temp_c * 10, rh_pct * 10, dew + margin) == []
    (words,) = reckon("damp", "coat_warnings", {}, temp_c * 10, rh_pct * 10, dew + margin - 1)
    assert "only 2.9 °C above the dew point" in words


@pytest.mark.parametrize("temp_c", [10, 20, 30])
def test_half_the_room_left_for_water_takes_a_flash_twice_as_long(reckon, temp_c):
    assert reckon("damp", "damp_factor", temp_c * 10, 400, temp_c * 10, 700) == pytest.approx(2)
    assert reckon("cure", "humidity_factor_pm", 400, 700) == 2000


def test_the_deficit_is_that_of_the_reference_library(reckon):
    for temp in range(1, 46, 2):
        for rh in range(0, 101, 10):
            told = psychrolib.GetSatVapPres(temp) * (1 - rh / 100)
            assert reckon("air", "vpd_pa", temp, rh) == pytest.approx(told, rel=0.004)


def _grid(library):
    """[(degrees C, percent, dew point)] of a library over a fine grid, where the dew point is not in frost."""
    dew_of = {"psychrolib": _psychrolib_dew, "coolprop": _coolprop_dew}[library]
    at = [(half / 2, rh) for half in range(0, 91) for rh in range(10, 101, 2)]
    return [(temp, rh, dew_of(temp, rh)) for temp, rh in at if _psychrolib_dew(temp, rh) >= 0]


def _psychrolib_dew(temp_c, rh_pct):
    return psychrolib.GetTDewPointFromRelHum(temp_c, rh_pct / 100)


def _coolprop_dew(temp_c, rh_pct):
    return HAPropsSI("D", "T", temp_c + ZERO_K, "P", SEA_LEVEL_PA, "R", rh_pct / 100) - ZERO_K


def _library_rh(dry_c, wet_c):
    if wet_c == dry_c:
        return 100.0
    mixed = psychrolib.GetHumRatioFromTWetBulb(dry_c, wet_c, SEA_LEVEL_PA)
    return 100 * min(1, psychrolib.GetRelHumFromHumRatio(dry_c, mixed, SEA_LEVEL_PA)) if mixed > 1e-7 else 0.0


def _celsius(temp_f):
    return (temp_f - 32) / 1.8
