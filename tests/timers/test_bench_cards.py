"""Bench cards: every step of a default route has one; each is whole, short, drawn, and warns where it can hurt."""

import json
import re

from tests.conftest import ROOT
from tests.support.each import each
from timers.core.card.bench_card import BY_CLASS, BY_USE, bench_card
from timers.defaults.bench_cards import CARDS, CAUTIONS, OF_WORDS, PARTS, SOURCES
from timers.defaults.routes import ROUTES

DRAWINGS = ROOT / "templates/timers/drawings"
STEPS = [(route["name"], at, route["steps"]) for route in ROUTES for at in range(len(route["steps"]))]
MOST_LINES, MOST_BYTES, LONGEST = 8, 2_500, 140
PAINTED = r'class="(?:a|b|f|fa|fb|n|s|a n|b n)"'


def called(step) -> str:
    name, at, steps = step
    return f"{name}, {at + 1}: {steps[at]['words']}"


@each("step", STEPS, called)
def test_every_step_of_a_default_route_has_a_card_with_its_drawing(step):
    _, at, steps = step
    card = CARDS[bench_card(steps, at)]
    assert (DRAWINGS / f"{card.drawing}.svg").is_file()


WORDS = {"Wash and degrease": "degrease", "Guide coat": "guide", "Final sand P600": "final", "Clean and tack": "tack"}
WORDS |= {"Unmask": "unmask", "Refit": "refit", "Denib and polish": "polish", "First wash": "wash", "First wax": "wax"}
WORDS |= {"Look over for dust and runs": "look_coat", "Guide coat gone? Feel for low spots": "feel"}
WORDS |= {"Look over: rust, old filler, dents": "look_over", "Shape P80 [[filler]]": "shape", "Glazing putty": "glaze"}
WORDS |= {"Block P320 [[sand it flat]]": "block", "Drop coat": "effect", "Adhesion promoter": "promoter"}
WORDS |= {"Spot prime where metal shows": "spot", "Wet-on-wet primer": "sealer", "Body filler": "filler", **OF_WORDS}
WORDS |= {"Scuff P400, or a grey pad": "scuff", "Seam sealer, as the old part had it": "seam"}


@each("words", WORDS)
def test_a_step_of_the_routes_opens_the_card_that_its_words_mean(words):
    found = {bench_card(steps, at) for _, at, steps in STEPS if steps[at]["words"] == words}
    assert found == {WORDS[words]}


def test_whatever_the_rule_answers_is_a_card():
    vectors = json.loads((ROOT / "tests/vectors/bench_card.json").read_text())
    answers = {case["expect"] for group in vectors["groups"] for case in group["cases"]}
    named = {*BY_USE.values(), *BY_CLASS.values(), *OF_WORDS.values()}
    assert (answers | named) <= set(CARDS)


@each("key", CARDS)
def test_a_card_is_whole_and_no_part_is_longer_than_a_thumb_scrolls(key):
    card = CARDS[key]
    assert card.key == key
    assert all((card.name, card.shows, card.how, card.good, card.wrong))
    for lines in [getattr(card, part) for part in PARTS] + [card.cautions]:
        assert len(lines) <= MOST_LINES
    lines = [card.first, card.shows, *(line for part in PARTS for line in getattr(card, part))]
    assert [line for line in lines if len(line) > LONGEST] == []
    assert set(card.sources) <= set(SOURCES)
    assert all(set(CAUTIONS[caution].sources) <= set(SOURCES) for caution in card.cautions)


WARNED = {
    **{key: {"iso", "iso_air", "fire"} for key in ("surfacer", "sealer", "clear", "topcoat")},
    **{key: {"dust"} for key in ("scuff", "shape", "block", "final")},
    **{key: {"dust", "lead"} for key in ("feather", "strip")},
    **{key: {"mist", "fire"} for key in ("base", "effect", "promoter")},
    **{key: {"acid", "mist", "fire"} for key in ("etch", "spot")},
    **{key: {"peroxide", "heatmix"} for key in ("filler", "glaze")},
    **{key: {"rags", "fire"} for key in ("degrease", "tack", "rub")},
    "epoxy": {"amine", "mist", "fire"},
    "sprayfill": {"peroxide", "mist", "fire"},
    "clean": {"air", "rags"},
    "look_coat": {"iso", "iso_air"},
    "lamp": {"lampc"},
    "can": {"can2k", "canfire"},
}


@each("key", WARNED)
def test_a_card_warns_of_what_hurts_in_it(key):
    assert WARNED[key] <= set(CARDS[key].cautions)


def test_every_caution_and_source_is_on_some_card():
    assert {caution for card in CARDS.values() for caution in card.cautions} == set(CAUTIONS)
    sources = {key for card in CARDS.values() for key in card.sources}
    assert sources | {key for one in CAUTIONS.values() for key in one.sources} == set(SOURCES)


@each("path", sorted(DRAWINGS.glob("*.svg")), lambda path: path.name)
def test_a_drawing_is_small_and_painted_by_the_theme_alone(path):
    text = path.read_text(encoding="utf-8")
    assert len(text) <= MOST_BYTES
    assert re.findall(r"style=|#[0-9a-fA-F]{3,6}\b|rgb|href|<image|<script", text) == []
    assert [one for one in re.findall(r'class="[^"]*"', text) if not re.fullmatch(PAINTED, one)] == []
    assert set(re.findall(r'(?:fill|stroke)="([^"]*)"', text)) <= {"none", "url(#scuff-lines)"}
    assert any(card.drawing == path.stem for card in CARDS.values())
