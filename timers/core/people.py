"""What acts of people must hold: a name, a trial told, a panel taken; and a shop's units.  Twin: people.js"""

import re

from .check import Refused, number, one_of, text
from .house import UNITS
from .tongue import later, t

PHONE = re.compile(r"^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}\Z")
WAYS = ("sound", "shake", "voice", "notify", "track")  # that a trial can ring by
HEARD = ("yes", "late", "no")  # late: only when the phone was looked at
LATE_MS = 86_400_000  # what rang a day late did not ring


def shop_named(act: dict) -> None:
    """What the shop is called."""
    text(later("The shop's name"), act.get("name"), 1, 60)


def phone_named(act: dict) -> None:
    """What a phone is called, and whose it is; either may be left empty."""
    _phone(act.get("phone"), t("The phone is missing. Nothing was saved."))
    text(later("The phone's name"), act.get("name", ""), 0, 60)
    text(later("The person's name"), act.get("person", ""), 0, 60)


def trial_told(act: dict) -> None:
    """What a trial ring showed on a phone; `late_ms` where the page measured it."""
    _phone(act.get("phone"), t("The phone is missing. Nothing was saved."))
    ways = act.get("ways")
    if not isinstance(ways, list) or len(ways) > len(WAYS):
        raise Refused(t("The ways of the trial are missing. Nothing was saved."))
    for way in ways:
        one_of(later("A way of the trial"), way, WAYS)
    if not isinstance(act.get("locked"), bool):
        raise Refused(t("The trial does not say whether the phone was locked. Nothing was saved."))
    one_of(later("What was heard of the trial"), act.get("heard"), HEARD)
    if act.get("late_ms") is not None:
        number(later("How late the trial rang"), act["late_ms"], 0, LATE_MS)


def panel_taken(act: dict) -> None:
    """A panel is worked on by whoever has this phone."""
    _phone(act.get("by"), t("Who takes the panel is missing. Nothing was saved."))


def panel_handed(act: dict) -> None:
    """A panel goes on to whoever has that phone, with a note."""
    _phone(act.get("to"), t("Who gets the panel is missing. Nothing was saved."))
    text(later("The note"), act.get("note", ""), 0, 200)


def units_chosen(act: dict) -> None:
    """Units that the shop reads and types in."""
    units = act.get("units")
    if not isinstance(units, dict) or not units:
        raise Refused(t("No unit was chosen. Nothing was saved."))
    for what in units:
        one_of(later("What is measured"), what, tuple(UNITS))
    for what in UNITS:  # in our order: the two languages hold a box's keys in orders of their own
        if what in units:
            one_of(later("The unit"), units[what], UNITS[what])


def _phone(value: object, why: str) -> None:
    if not isinstance(value, str) or not PHONE.match(value):
        raise Refused(why)
