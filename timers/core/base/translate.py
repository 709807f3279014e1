"""In the reader's tongue: every phrase that a person reads goes through here.  Twin: static/js/core/base/translate.js

A phrase is its own English; a host that knows other tongues gives `speak` a way to look one up.  Values stand in
braces, and a hint for translators in double brackets at the end ("Open [[of a film]]") is never shown.
"""

import re
from collections.abc import Callable

PLACE = re.compile(r"\{(\w+)\}")
HINT = re.compile(r" \[\[.*\]\]\Z", re.DOTALL)


def t(phrase: str, **values: object) -> str:
    """A phrase as it is said to the reader, with its values.

    Rule     looked up whole, so that each tongue may order its words; then every "{name}" becomes its value
    Unit     none
    Holds    any phrase; one that nobody translated is said in English, a place without a value stays as it is
    Source   our own rule, in the manner of gettext
    Vectors  tests/vectors/tongue.json
    """
    return _filled(_one(phrase), values)


def tn(one: str, many: str, n: int, **values: object) -> str:
    """The form of a phrase that fits a count, which fills "{n}": tn("{n} tap waits", "{n} taps wait", 3)."""
    return _filled(_many(one, many, n), {"n": n, **values})


def later(phrase: str) -> str:
    """Marks a phrase that is kept in a table and said by `t` when it is needed."""
    return phrase


def decimal(value: str) -> str:
    """A figure in plain decimals with the reader's own decimal sign: "14.5" is "14,5" in German and Spanish."""
    return value.replace(".", _one("1.5")[1])


def speak(one: Callable[[str], str], many: Callable[[str, str, int], str]) -> None:
    """How phrases are looked up from now on: one way for the whole process, as gettext has."""
    global _one, _many
    _one, _many = one, many


def _english(phrase: str) -> str:
    return phrase


def _english_many(one: str, many: str, n: int) -> str:
    return one if n == 1 else many


_one: Callable[[str], str] = _english
_many: Callable[[str, str, int], str] = _english_many


def _filled(phrase: str, values: dict[str, object]) -> str:
    text = HINT.sub("", phrase) if "[[" in phrase else phrase
    return PLACE.sub(lambda place: str(values.get(place[1], place[0])), text) if "{" in text else text
