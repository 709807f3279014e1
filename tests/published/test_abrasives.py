"""Published grain sizes and the trade's ladder against the rules, in Python and in JavaScript."""

import json
from itertools import pairwise
from pathlib import Path

import pytest

from timers.core.bench import grit

FIGURES = json.loads((Path(__file__).resolve().parent / "abrasives.json").read_text())
STEPS = FIGURES["step_rule"]
GRAINS = {**FIGURES["grains"]["p_um"], **FIGURES["coarse_and_fine"]["p_um"]}


def test_the_table_is_the_published_one_and_no_more():
    assert {int(grade): um * 10 for grade, um in GRAINS.items()} == grit.P_UM10


def test_a_second_table_in_whole_micrometres_says_the_same():
    told = FIGURES["second_table"]
    for grade, um in told["p_um"].items():
        assert grit.P_UM10[int(grade)] / 10 == pytest.approx(um, abs=told["within_um"])


@pytest.mark.parametrize(("coarse", "fine"), list(pairwise(sorted(map(int, GRAINS)))))
def test_a_step_is_the_ratio_of_the_published_grains(reckon, coarse, fine):
    ratio = GRAINS[str(coarse)] / GRAINS[str(fine)]
    assert reckon("grit", "step", coarse, fine)["ratio_pm"] == pytest.approx(1000 * ratio, abs=0.5)
    assert reckon("grit", "step", fine, coarse)["ratio_pm"] == pytest.approx(1000 / ratio, abs=0.5)


@pytest.mark.parametrize(("coarse", "fine", "ratio"), STEPS["good"])
def test_a_normal_ladder_is_not_warned_of(reckon, coarse, fine, ratio):
    said = reckon("grit", "step", coarse, fine)
    assert said["ok"] is True
    assert f"{ratio} times finer" in said["words"]


@pytest.mark.parametrize(("coarse", "fine", "ratio"), STEPS["big"])
def test_a_step_that_leaves_scratches_is(reckon, coarse, fine, ratio):
    said = reckon("grit", "step", coarse, fine)
    assert said["ok"] is False
    assert f"{ratio} times finer" in said["words"]


def test_the_grit_put_between_is_the_one_that_the_trade_puts_there(reckon):
    told = FIGURES["rungs"]
    assert reckon("grit", "between", told["from_p"], told["to_p"]) == told["between"]


@pytest.mark.parametrize(("cami", "grade"), FIGURES["second_table"]["cami_in_the_row_of_p"].items())
def test_a_paper_without_a_p_is_finer_than_the_p_of_its_number(reckon, cami, grade):
    assert reckon("grit", "about_p", int(cami)) == grade
    assert grit.P_UM10[grade] < grit.P_UM10[int(cami)]


def test_the_shops_usual_grits_are_a_ladder(reckon):
    ladder = reckon("grit", "ladder", [180, 0, 180, 320, 0, 320, 600])
    assert [(step["from_p"], step["to_p"], step["ok"]) for step in ladder] == [(180, 320, True), (320, 600, True)]
