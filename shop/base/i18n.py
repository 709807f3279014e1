"""Translation: the locales there are, the one that a request asks for, and the catalogue of the scripts' phrases."""

import re
from contextlib import contextmanager
from functools import cache

from django.conf import settings
from django.http import HttpRequest
from django.utils import translation
from django.utils.translation import gettext, ngettext

from timers.core.base.translate import t

from . import scripts

__all__ = ["t"]  # one for the whole server: the pure rules lie below this app

TEXT = r"""(?:"(?P<{0}_d>(?:\\.|[^"\\\n])*)"|'(?P<{0}_s>(?:\\.|[^'\\\n])*)')"""
CALL = re.compile(rf"""(?<![\w.$])(?P<how>tn?|later)\(\s*{TEXT.format("one")}(?:,\s*{TEXT.format("many")})?""")
ESCAPED = re.compile(r"\\(.)")


def locales() -> list[str]:
    """The codes of the locales there are, English first."""
    return [code for code, _ in settings.LANGUAGES]


@contextmanager
def requested_locale(request: HttpRequest):
    """Activates the locale that the URL names with ?tongue=, else the one of the request."""
    locale = request.GET.get("tongue", "")
    with translation.override(locale if locale in locales() else translation.get_language()):
        yield


def phrases_in(script: str) -> list[tuple[str, str | None]]:
    """The phrases of one script: (phrase, None), or (singular, plural)."""
    phrases = []
    for call in CALL.finditer(script):
        one, many = (_unescape(call, name) for name in ("one", "many"))
        phrases.append((one, many if call["how"] == "tn" else None))
    return phrases


def phrases_of_scripts() -> list[tuple[str, str | None]]:
    """Every phrase of the scripts, once."""
    by_script = (phrases_in(scripts.text(name)) for name in scripts.names())
    return list(dict.fromkeys(phrase for phrases in by_script for phrase in phrases))


def catalogue() -> dict:
    """The translations of the scripts' phrases in the active locale; English needs none."""
    return _catalogue(translation.get_language())


@cache
def _catalogue(locale: str) -> dict:
    translations = {}
    with translation.override(locale):
        for one, many in phrases_of_scripts():
            translated = gettext(one) if many is None else [ngettext(one, many, n) for n in (1, 2)]
            if translated not in (one, [one, many]):
                translations[one] = translated
    return translations


def _unescape(call: re.Match, name: str) -> str | None:
    text = call[f"{name}_d"] if call[f"{name}_d"] is not None else call[f"{name}_s"]
    return None if text is None else ESCAPED.sub(lambda escape: {"n": "\n"}.get(escape[1], escape[1]), text)
