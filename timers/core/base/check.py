"""Checks of single fields, with the words for what is wrong.  Twin: static/js/core/base/check.js

`what` is the field as a phrase marked by `later`: it is said only where the field is refused, which most never are.
"""

import re

from .translate import decimal, t

ID = re.compile(r"^[0-9a-zA-Z.-]{1,64}\Z")
ODD = re.compile("[\x00-\x08\x0b-\x1f\ud800-\udfff]")
SEEN = re.compile(r"[^\s\ufeff]")  # the two languages trim different signs; this leaves out what either would
EXACT = 9_007_199_254_740_991  # the largest whole number that JavaScript holds exactly


class Refused(ValueError):
    """An act or sheet cannot be kept; the text says why, to the person."""


def text(what: str, value: object, least: int, most: int) -> str:
    """The value, where it is a text of at most `most` characters (code points) that a database can keep; with `least`
    1 not a blank one."""
    if not isinstance(value, str) or ODD.search(value):
        raise Refused(t("{what} has a sign that cannot be kept. Nothing was saved.", what=t(what)))
    if least and not SEEN.search(value):
        raise Refused(t("{what} is empty. Nothing was saved.", what=t(what)))
    if len(value) > most:
        values = {"what": t(what), "most": most, "typed": len(value)}
        raise Refused(t("{what} may have {most} letters (you typed {typed}). Nothing was saved.", **values))
    return value


def number(what: str, value: object, least: int, most: int, scale: int = 1, unit: str = "") -> int:
    """The value, where it is a whole number from `least` to `most`; said divided by `scale` and with its unit."""
    given = whole_number(what, value)
    if not least <= given <= most:
        raise beyond(what, plain(least, scale), plain(most, scale), plain(given, scale), unit)
    return given


def beyond(what: str, low: str, high: str, given: str, unit: str = "") -> Refused:
    """The refusal of a figure that is not from `low` to `high`, all three in plain decimals."""
    most = f"{decimal(high)} {t(unit)}" if unit else decimal(high)
    values = {"what": t(what), "low": decimal(low), "high": most, "given": decimal(given)}
    return Refused(t("{what} must be from {low} to {high} (you gave {given}). Nothing was saved.", **values))


def whole_number(what: str, value: object) -> int:
    """The value, where it is a whole number that both languages hold exactly."""
    if not isinstance(value, int) or isinstance(value, bool) or abs(value) > EXACT:
        raise no_number(what)
    return value


def no_number(what: str) -> Refused:
    return Refused(t("{what} is missing or not a number. Nothing was saved.", what=t(what)))


def plain(value: int, scale: int) -> str:
    """A scaled whole number in plain decimals, at most one place: 145 by 10 is "14.5"."""
    if scale == 1 or value % scale == 0:
        return str(value // scale)
    return f"{'-' if value < 0 else ''}{abs(value) // scale}.{abs(value) % scale * 10 // scale}"


def ids(what: str, value: object) -> None:
    """A list of 1 to 50 ids."""
    if not isinstance(value, list) or not 1 <= len(value) <= 50:
        raise missing(what)
    for one in value:
        if not isinstance(one, str) or not ID.match(one):
            raise missing(what)


def missing(what: str) -> Refused:
    return Refused(t("{what} is missing. Nothing was saved.", what=t(what)))


def one_of(what: str, value: object, allowed: tuple[str, ...]) -> str:
    """The value, where it is one of those allowed."""
    if not isinstance(value, str) or value not in allowed:
        raise Refused(t("{what} is none of: {allowed}. Nothing was saved.", what=t(what), allowed=", ".join(allowed)))
    return value
