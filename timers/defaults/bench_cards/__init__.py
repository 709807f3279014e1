"""Bench cards: what each kind of step is, for the one who does it the third time in their life.

Which card a step opens is a rule of timers/core/card/bench_card; the drawings are in templates/timers/drawings.
"""

from ...core.base.translate import t
from . import after, before, fillers, ground, paint, primers, sanding, surfacers
from .card import Card
from .cautions import CAUTIONS
from .sources import SOURCES

PARTS = ("need", "how", "good", "wrong")
ALL = (before, ground, fillers, sanding, primers, surfacers, paint, after)
CARDS: dict[str, Card] = {card.key: card for part in ALL for card in part.CARDS}

# Steps of the default routes that a rule could not tell from others of their kind, by their English words.
OF_WORDS = {
    "Straighten as close as it goes": "straighten",
    "Strip and feather P80": "feather",
    "Feather the edge P320": "feather",
    "Sand P120 [[do it]]": "strip",
    "Rub the factory coat with solvent: does it hold?": "rub",
    "Blow off, clean, mask": "clean",
    "Mask afresh": "clean",
    "Sand P120, orbital with a soft pad": "orbital",
    "Sand P180, orbital with a soft pad": "orbital",
    "Sand P320, orbital with a soft pad": "orbital",
    "Sand P400, orbital with a soft pad": "orbital",
    "Base, blended out": "blend",
    "Primer from a can": "can",
    "Base from a can": "can",
    "Clear from a can": "can",
}


def sources_of(card: Card) -> list[str]:
    """Where what a card says is published, each once: of its own lines first, then of its cautions."""
    keys = [*card.sources, *(key for caution in card.cautions for key in CAUTIONS[caution].sources)]
    return [SOURCES[key] for key in dict.fromkeys(keys)]


def shown() -> dict[str, list[dict]]:
    """Every card in the active language, as its template reads it."""
    return {"cards": [_shown(card) for card in CARDS.values()]}


def names() -> dict[str, list[dict]]:
    """The name of each kind of step, for the list of all cards."""
    return {"cards": [{"key": card.key, "name": t(card.name)} for card in CARDS.values()]}


def _shown(card: Card) -> dict:
    lines = {part: [t(line) for line in getattr(card, part)] for part in PARTS}
    return {
        **lines,
        "key": card.key,
        "name": t(card.name),
        "drawing": f"timers/drawings/{card.drawing}.svg",
        "first": t(card.first),
        "shows": t(card.shows),
        "cautions": [t(CAUTIONS[key].words) for key in card.cautions],
        "sources": sources_of(card),
    }
