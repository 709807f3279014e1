"""What makes the tool start with no signal: the service worker and the manifest."""

import hashlib
import posixpath
import re
from functools import lru_cache

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.views.decorators.cache import cache_control

IMPORT = re.compile(r"""^import\b[^;"']*["'](\.[^"']+)["']""", re.MULTILINE)
HTMX = "django_htmx/htmx-2.min.js"
NOT_SHIPPED = (".md", ".txt", ".map", "icons/icon.svg", "icons/icon-512.png", "icons/icon-mask-512.png")


@cache_control(no_cache=True)
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker, carrying one hash of the shell and every file it caches."""
    files, version = shipped()
    said = render_to_string("sw.js", {"files": files, "version": version})
    return HttpResponse(said, content_type="text/javascript", headers={"Service-Worker-Allowed": "/"})


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
        "description": "The clock of a small refinish shop.",
        "start_url": "/",
        "scope": "/",
        "display": "standalone",
        "background_color": "#f6f3ea",
        "theme_color": "#f6f3ea",
        "icons": icons,
    }
    return JsonResponse(said, content_type="application/manifest+json")


@lru_cache(maxsize=1)
def shipped() -> tuple[list[str], str]:
    """Addresses of all files the phone keeps, and one hash over them and the shell."""
    digest = hashlib.sha256(render_to_string("timers/floor.html", shell()).encode() + settings.RELEASE.encode())
    files = []
    for path, storage in sorted(_static_files(), key=lambda found: found[0]):
        with storage.open(path) as content:
            digest.update(path.encode() + b"\0" + content.read())
        files.append(static(path))
    digest.update(render_to_string("sw.js", {"files": files, "version": ""}).encode())
    return files, digest.hexdigest()[:16]


@lru_cache(maxsize=1)
def shell() -> dict:
    """What the shell page loads: style sheets with the layer order first, and every module that the map needs at
    once, so that none waits for another to be read."""
    files = dict(_static_files())
    sheets = sorted(path for path in files if path.startswith("css/"))
    return {
        "sheets": [static(path) for path in sorted(sheets, key=lambda path: path != "css/layers.css")],
        "modules": [static(path) for path in sorted(_imported("js/main.js", files) - {"js/main.js"})],
    }


def _imported(path: str, files: dict) -> set[str]:
    """A module and all that it imports, and they in turn."""
    found, asked = set(), [path]
    while asked:
        path = asked.pop()
        if path not in found:
            found.add(path)
            with files[path].open(path) as content:
                names = IMPORT.findall(content.read().decode())
            asked += [posixpath.normpath(posixpath.join(posixpath.dirname(path), name)) for name in names]
    return found


def _static_files():
    for finder in get_finders():
        for path, storage in finder.list([]):
            if path == HTMX or not (path.startswith("django_htmx/") or path.endswith(NOT_SHIPPED)):
                yield path, storage
