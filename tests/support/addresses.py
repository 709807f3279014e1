"""Every address of the tool, with what each asker may get there.  A new address needs a row: test_access_table.py."""

from django.urls import get_resolver

OTHER, ENDED, WALL, NOBODY = "another shop's keeper", "an ended phone", "a wall tablet", "nobody"
ASKERS = (OTHER, ENDED, WALL, NOBODY)
Row = tuple[tuple[str, ...], dict[str, set[int]]]


def anyone(*methods: str) -> Row:
    """The same for all: nothing of a shop is there."""
    return methods, {asker: {200} for asker in ASKERS}


def phones(*methods: str, statuses: tuple[int, ...] = (200,)) -> Row:
    """For phones of a shop, each for its own; `statuses` is what it answers to what the test posts."""
    return methods, {OTHER: set(statuses), ENDED: {401}, WALL: set(statuses), NOBODY: {401}}


def keepers(*methods: str, statuses: tuple[int, ...] = (200,)) -> Row:
    """For keepers' phones, each for its own shop."""
    return methods, {OTHER: set(statuses), ENDED: {401}, WALL: {403}, NOBODY: {401}}


def code(*methods: str) -> Row:
    """For all who have a code: what the test posts is none."""
    return methods, {asker: {400} for asker in ASKERS}


ADDRESSES: dict[str, Row] = {
    "worker": anyone("GET"),
    "manifest": anyone("GET"),
    "floor": anyone("GET"),
    "clock": anyone("GET"),
    "healthz": anyone("GET"),
    "readyz": anyone("GET"),
    "moved": phones("GET"),
    "begin": anyone("POST"),
    "sync": (("POST",), {OTHER: {200, 409}, ENDED: {401}, WALL: {200}, NOBODY: {401}}),  # 409: it speaks for our shop
    "openapi": anyone("GET"),
    "floor-json": phones("GET"),
    "alarms-ics": phones("GET"),
    "shelf-csv": phones("GET"),
    "shelf-json": phones("GET"),
    "mix-json": phones("GET", statuses=(400,)),  # of no product
    "grits-json": phones("GET", statuses=(400,)),  # between no grits
    "readings": (("POST",), {asker: {401} for asker in ASKERS}),  # a phone is no thermometer
    "thermometers": phones("GET"),
    "thermometer-make": keepers("POST", statuses=(200, 400)),
    "thermometer-end": keepers("POST", statuses=(400,)),
    "displays": phones("GET"),
    "display-make": keepers("POST", statuses=(200, 400)),
    "display-end": keepers("POST", statuses=(400,)),
    "push-key": phones("GET"),
    "push-here": phones("POST"),
    "push-subscribe": phones("POST", statuses=(400,)),
    "push-unsubscribe": phones("POST"),
    "push-trial": phones("POST", statuses=(400,)),
    "join": code("POST"),
    "join-look": code("POST"),
    "phones": phones("GET"),
    "phones-code": keepers("POST", statuses=(200, 400)),
    "phones-came": keepers("GET"),
    "phones-role": keepers("POST", statuses=(400,)),
    "phones-end": keepers("POST", statuses=(400,)),
    "phones-back": keepers("POST", statuses=(400,)),
    "phones-door": keepers("POST"),
    "phones-phrase": keepers("POST"),
}


def addresses(patterns=None, before: str = ""):
    """Every address in the URLconf as (name, path)."""
    for pattern in get_resolver().url_patterns if patterns is None else patterns:
        if hasattr(pattern, "url_patterns"):
            yield from addresses(pattern.url_patterns, before + str(pattern.pattern))
        else:
            yield pattern.name, f"/{before}{pattern.pattern}"
