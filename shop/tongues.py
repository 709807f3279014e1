"""In which tongues: phrases of scripts, what they are in the reader's, and which tongue a request asks for."""

import re
from contextlib import contextmanager
from functools import cache

from django.conf import settings
from django.http import HttpRequest
from django.utils import translation
from django.utils.translation import gettext, ngettext

from . import scripts

TEXT = r"""(?:"(?P<{0}_d>(?:\\.|[^"\\\n])*)"|'(?P<{0}_s>(?:\\.|[^'\\\n])*)')"""
CALL = re.compile(rf"""(?<![\w.$])(?P<how>tn?|later)\(\s*{TEXT.format("one")}(?:,\s*{TEXT.format("many")})?""")
ESCAPED = re.compile(r"\\(.)")


def t(phrase: str, **values: object) -> str:
    """A phrase in the tongue of the request, with its values."""
    return gettext(phrase).format(**values) if values else gettext(phrase)


def tn(one: str, many: str, n: int, **values: object) -> str:
    """The form of a phrase that fits a count."""
    return ngettext(one, many, n).format(n=n, **values)


def names() -> list[str]:
    """The tongues there are, as short codes, English first."""
    return [code for code, _ in settings.LANGUAGES]


@contextmanager
def asked(request: HttpRequest):
    """The tongue that an address names with ?tongue=, else the one of the request."""
    wanted = request.GET.get("tongue", "")
    with translation.override(wanted if wanted in names() else translation.get_language()):
        yield


def said_by(script: str) -> list[tuple[str, str | None]]:
    """The phrases of one script: (phrase, None), or (for one, for many)."""
    found = []
    for call in CALL.finditer(script):
        one, many = (_plain(call, name) for name in ("one", "many"))
        found.append((one, many if call["how"] == "tn" else None))
    return found


def phrases_of_scripts() -> list[tuple[str, str | None]]:
    """Every phrase that some script says, once."""
    said = (said_by(scripts.text(name)) for name in scripts.names())
    return list(dict.fromkeys(phrase for one in said for phrase in one))


def catalogue() -> dict:
    """What the scripts' phrases are in the tongue that is active now; English needs none."""
    return _catalogue(translation.get_language())


@cache
def _catalogue(tongue: str) -> dict:
    said = {}
    with translation.override(tongue):
        for one, many in phrases_of_scripts():
            told = gettext(one) if many is None else [ngettext(one, many, n) for n in (1, 2)]
            if told not in (one, [one, many]):
                said[one] = told
    return said


def _plain(call: re.Match, name: str) -> str | None:
    text = call[f"{name}_d"] if call[f"{name}_d"] is not None else call[f"{name}_s"]
    return None if text is None else ESCAPED.sub(lambda found: {"n": "\n"}.get(found[1], found[1]), text)
