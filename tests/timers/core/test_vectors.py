"""The shared vectors against the Python rules, and a test for the vectors themselves.

A vector file is one rule: groups with a source, cases with an id, a sentence, a function, its arguments and what it
answers.  `{"refused": name}` is an exception by that name.  An argument called `zone` is minutes east of UTC, or
[[from_ms, minutes], ...] where clocks change, or {"east": either, "hours": "12"}; one called `random` is bytes.
"""

import inspect
import json
from dataclasses import dataclass

import pytest

from tests.conftest import ROOT
from tests.support import core_modules
from tests.support.each import each, try_all
from timers.core.acts import envelope

HERE = ROOT / "tests/vectors"
FOLDS = ("fold", "standing", "in_order")  # rules that take acts
FILES = {path.stem: json.loads(path.read_text()) for path in sorted(HERE.glob("*.json"))}
RULES = [
    "ahead",
    "air",
    "areas",
    "aside",
    "batches",
    "bench_card",
    "cautions",
    "cells",
    "coating",
    "corrections",
    "cover",
    "cup",
    "curing",
    "damp",
    "due",
    "face",
    "figures",
    "finishing",
    "floor",
    "given",
    "grit",
    "ground",
    "gun",
    "hours",
    "house",
    "humid",
    "ics",
    "ids",
    "lane_cards",
    "lanes",
    "mark",
    "meanwhile",
    "measures",
    "mine",
    "mixing",
    "needed",
    "offers",
    "order",
]
RULES += [
    "pairs",
    "panel",
    "past",
    "practice",
    "reach",
    "refusals",
    "rework",
    "route",
    "shelf",
    "shopping",
    "strip",
    "table",
    "times",
    "top_films",
    "trace",
    "twice",
    "voc",
    "wait",
    "words",
]


def _all():
    return [(name, case) for name in FILES for case in cases(name)]


def cases(name):
    """Every case of a file."""
    return [case for group in FILES[name]["groups"] for case in group["cases"]]


def check_each(name, check):
    """Checks every case of a file; what fails is named by its id."""
    try_all(cases(name), check, lambda case: case["id"])


def parameters(module, fn):
    """Names of a rule's parameters: the JavaScript twin takes the same ones in the same places."""
    return list(inspect.signature(_rule(module, fn)).parameters)


@dataclass(frozen=True)
class ZoneOf:
    """A clock on the wall for the rules: minutes east of UTC as a vector has them."""

    east: int | list
    hours: str = "24"

    def minutes_east(self, at_ms):
        return offset(self.east, at_ms)


def zone_of(value):
    """A vector's zone as the rules want it."""
    return ZoneOf(value["east"], value["hours"]) if isinstance(value, dict) else ZoneOf(value)


def offset(zone, at_ms):
    """Minutes east of UTC at a moment, from a vector's zone."""
    if isinstance(zone, int):
        return zone
    return [minutes for begin, minutes in zone if begin <= at_ms][-1]


def same(answer, expect, tolerance):
    """Whether an answer is the expected one, as JSON text; True is not 1 and 1.0 is not 1 there."""
    if tolerance and isinstance(answer, int | float) and isinstance(expect, int | float):
        return abs(answer - expect) <= tolerance
    return plain(answer) == plain(expect)


def plain(value):
    return json.dumps(value, sort_keys=True, ensure_ascii=False, allow_nan=False)


@pytest.mark.parametrize("name", FILES)
def test_python_answers_as_the_vector_says(name):
    def check(case):
        given = plain(case["args"])
        answer = _answer(FILES[name]["module"], case)
        assert same(answer, case["expect"], FILES[name]["tolerance"]), f"{case['says']}: {plain(answer)}"
        assert plain(case["args"]) == given, "a rule leaves what it was given as it was"

    check_each(name, check)


def test_there_is_one_file_for_each_rule():
    assert list(FILES) == RULES


@each("name", FILES)
def test_a_file_holds_as_many_cases_as_it_declares(name):
    assert len(cases(name)) == FILES[name]["count"] > 0


def test_every_case_has_an_id_of_its_own_that_begins_with_its_file():
    ids = [(name, case["id"]) for name, case in _all()]
    assert len({case_id for _, case_id in ids}) == len(ids)
    assert all(case_id.rpartition("-")[0] == name for name, case_id in ids)


def test_every_file_and_every_group_names_its_source_and_every_tolerance_its_reason():
    for held in FILES.values():
        assert all(held[word].strip() for word in ("rule", "source", "why_tolerance"))
        assert held["tolerance"] >= 0
        assert all(group["source"].strip() and group["cases"] for group in held["groups"])


@each("name", FILES)
def test_every_function_named_is_there_and_takes_that_many_arguments(name):
    for case in cases(name):
        inspect.signature(_rule(FILES[name]["module"], case["fn"])).bind(*case["args"])


def test_every_case_says_what_is_so_in_words_of_its_own():
    told = [(name, case["fn"], case["says"]) for name, case in _all()]
    assert len(set(told)) == len(told)
    assert not [says for _, _, says in told if "should" in says or says != says.strip(" .")]


def test_no_two_cases_ask_the_same_question():
    asked = [plain([FILES[name]["module"], case["fn"], case["args"]]) for name, case in _all()]
    assert len(set(asked)) == len(asked)


def test_every_case_holds_just_these_five_fields():
    assert {frozenset(case) for _, case in _all()} == {frozenset({"id", "says", "fn", "args", "expect"})}


@each("name", ["panel", "order", "offers", "trace", "cup", "house"])
def test_the_acts_in_the_vectors_are_acts_that_would_be_kept(name):
    folds = [
        case for file, case in _all() if file == name and case["fn"] in ("fold", "standing", "in_order", "applied")
    ]
    given = [act for case in folds for act in case["args"][0]]
    refused = [(act, envelope.refusal(act, envelope.EARLIEST_MS)) for act in map(_now, given)]
    assert given
    assert not [(act, why) for act, why in refused if why]


def _now(act):
    """An act at a moment that can be kept; the vectors of order use small numbers for moments."""
    ends = [key for key in ("ask_at", "at_ms", "for_ms", "until_ms") if act.get(key) is not None]
    moved = {key: envelope.EARLIEST_MS + act[key] - act["at"] for key in ends}
    return {**act, "at": envelope.EARLIEST_MS, **moved}


def _rule(module, fn):
    return getattr(core_modules.module(module), fn)


def _answer(module, case):
    names = parameters(module, case["fn"])
    args = [_given(name, value) for name, value in zip(names, case["args"], strict=False)]
    try:
        answer = _rule(module, case["fn"])(*args)
    except ValueError as refused:
        return {"refused": type(refused).__name__}
    return sorted(answer) if isinstance(answer, set) else answer


def _given(name, value):
    if name == "zone":
        return zone_of(value)
    return bytes(value) if name == "random" else value
