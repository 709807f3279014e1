"""A made-up tongue that stands in German's place: every phrase in brackets and two fifths longer.

What a person reads outside of brackets was never looked up; what no longer fits will not fit in German.
"""

import re
from pathlib import Path

from babel.messages.catalog import Catalog

from tests import phrases

TONGUE = "de"
PLACE = re.compile(r"\{\w+\}|%\(\w+\)s|<[^>]*>")
WORD = re.compile(r"[^\W\d_]+")
HINT = re.compile(r" \[\[.*\]\]\Z", re.DOTALL)
KEPT = {"1.5": "1,5"}  # a format, not words
UNITS = set("min h d s am pm ml g kg oz fl mm cm m µm mil kPa bar psi UTC P C F".split())  # noqa: SIM905 - a line, not thirty
LONGER = "ælong"


def made_in(folder: Path) -> Path:
    """The folder of catalogues in which German is the made-up tongue."""
    catalogue = Catalog(locale=TONGUE)
    for said in phrases.everything():
        key = (said.one, said.many) if said.many else said.one
        words = tuple(map(longer, key)) if said.many else longer(key)
        catalogue.add(key, words, context=said.context)
    phrases.keep(TONGUE, catalogue, folder)
    return folder


def longer(phrase: str) -> str:
    """The phrase in brackets with two fifths more letters, its places kept; a hint goes."""
    phrase = HINT.sub("", phrase)
    if phrase in KEPT or set(WORD.findall(PLACE.sub("", phrase))) <= UNITS:
        return KEPT.get(phrase, phrase)
    more = -(-2 * len(PLACE.sub("", phrase)) // 5)
    words = " ".join([LONGER] * (more // len(LONGER)) + [LONGER[: more % len(LONGER)]]).strip()
    return f"⟦{phrase} {words}⟧"
