"""Answers of the rooms that only the server knows: markup for our own page, which asks by htmx, and JSON for a page of
an older version that is still open."""

from collections.abc import Callable
from urllib.parse import urlsplit

import segno
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils.cache import patch_vary_headers

LIGHT = 4  # modules around a QR code, as ISO/IEC 18004 wants


def answer(request: HttpRequest, fields: dict, template: str, context: Callable[[], dict[str, object]]) -> HttpResponse:
    """`fields` as JSON, or to our own page the template with what `context` gives, which is asked only then."""
    made = render(request, template, context()) if request.htmx else JsonResponse(fields)
    patch_vary_headers(made, ["HX-Request"])
    return made


def page_address(request: HttpRequest) -> str:
    """Where the page stands that asks, like "https://shop.example": as its own browser says it, since a proxy may
    have taken https off on the way; else as the request came."""
    url = urlsplit(request.headers.get("HX-Current-URL", ""))
    own = url.scheme in ("http", "https") and url.netloc == request.get_host()
    return f"{url.scheme}://{url.netloc}" if own else request.build_absolute_uri("/").rstrip("/")


def picture(text: str) -> dict[str, object]:
    """A text as a QR code at level M, for an svg element: {"box": its viewBox, "path": the dark modules as boxes, a run
    of a row each}."""
    rows = segno.make(text, error="m", micro=False).matrix
    side = len(rows) + 2 * LIGHT
    boxes = [f"M{x} {y}h{run}v1h-{run}z" for y, row in enumerate(rows) for x, run in _runs(row)]
    return {"box": f"{-LIGHT} {-LIGHT} {side} {side}", "path": "".join(boxes)}


def _runs(row: bytes) -> list[tuple[int, int]]:
    """Where runs of dark modules begin in a row, and how long they are."""
    found: list[tuple[int, int]] = []
    for x, dark in enumerate(row):
        if not dark:
            continue
        begin, run = found[-1] if found else (-1, 0)
        if begin + run == x and run:
            found[-1] = (begin, run + 1)
        else:
            found.append((x, 1))
    return found
