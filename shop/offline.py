"""What makes the tool start with no signal: the service worker and the manifest."""

import hashlib
from functools import lru_cache

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.utils import translation
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from . import tongues
from .joined import SHEET, frontend, rooms
from .tongues import t

ALSO_KEPT = ("django_htmx/htmx-2.min.js", "js/theme.js")
NOT_KEPT = ("css/", "js/", "django_htmx/")
LATE = ("vendor/", "joined/rooms.")  # held too, but fetched when all else is: few need it at once
NOT_SHIPPED = (".md", ".txt", ".map", "icons/icon.svg", "icons/icon-512.png", "icons/icon-mask-512.png")


@require_safe
@cache_control(no_cache=True)
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker, carrying one hash of the shell and every file it caches."""
    files, late, version = shipped()
    said = render_to_string("sw.js", {"files": files, "late": late, "version": version})
    kind = "text/javascript; charset=utf-8"
    return HttpResponse(said, content_type=kind, headers={"Service-Worker-Allowed": "/"})


@require_safe
@cache_control(max_age=3600)
def manifest(request: HttpRequest) -> JsonResponse:
    """The web app manifest: how the tool stands on the home screen."""
    icons = [
        {"src": static(f"icons/{name}.png"), "sizes": f"{size}x{size}", "type": "image/png", "purpose": purpose}
        for name, size, purpose in (
            ("icon-192", 192, "any"),
            ("icon-512", 512, "any"),
            ("icon-mask-512", 512, "maskable"),
        )
    ]
    said = {
        "id": "/",
        "name": "Sandtime",
        "short_name": "Sandtime",
        "lang": translation.get_language(),
        "description": t("The clock of a small refinish shop."),
        "start_url": "/",
        "scope": "/",
        "display": "standalone",
        "background_color": "#f6f3ea",
        "theme_color": "#f6f3ea",
        "icons": icons,
    }
    return JsonResponse(said, content_type="application/manifest+json")


@lru_cache(maxsize=1)
def shipped() -> tuple[list[str], list[str], str]:
    """Addresses of the files the phone keeps, first those it keeps from the start and then the late ones, and one hash
    over them and the shell."""
    digest = hashlib.sha256(settings.RELEASE.encode())
    files, late = [], [f"/?tongue={tongue}" for tongue in tongues.names()]
    for tongue in tongues.names():
        with translation.override(tongue):
            digest.update(render_to_string(frontend.page, shell()).encode())
    for path, storage in sorted(_kept_files(), key=lambda found: found[0]):
        with storage.open(path) as content:
            digest.update(path.encode() + b"\0" + content.read())
        (late if path.startswith(LATE) else files).append(static(path))
    digest.update(render_to_string("sw.js", {"files": files, "late": late, "version": ""}).encode())
    return files, late, digest.hexdigest()[:16]


def shell() -> dict:
    """What the shell page loads, in the tongue that is active: the style sheet, the script that starts to read what the
    phone holds while the page is still being read, the script that paints the floor, the rooms, and the phrases of the
    scripts."""
    first, script = static("joined/first.js"), static("joined/floor.js")
    said = {"rooms": static(rooms(translation.get_language())), "phrases": tongues.catalogue()}
    return {"sheet": static(SHEET), "first": first, "script": script, "tongues": settings.LANGUAGES, **said}


def drawn() -> tuple[str, str]:
    """The shell in the tongue that is active, and its mark for who has it already."""
    return _drawn(translation.get_language()) if not settings.DEBUG else _draw()


@lru_cache(maxsize=8)
def _drawn(tongue: str) -> tuple[str, str]:
    return _draw()


def _draw() -> tuple[str, str]:
    said = render_to_string(frontend.page, shell())
    return f'"{hashlib.sha256(said.encode()).hexdigest()[:16]}"', said


def _kept_files():
    """Static files that the phone keeps: not the sources of the joined ones."""
    for finder in get_finders():
        for path, storage in finder.list([]):
            if path in ALSO_KEPT or not (path.startswith(NOT_KEPT) or path.endswith(NOT_SHIPPED)):
                yield path, storage
