"""The service worker, the web app manifest and the shell page: what makes the tool start offline."""

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

from ..base import i18n
from ..base.i18n import t
from .bundle import SHEET, frontend, late_markup

ALSO_KEPT = ("django_htmx/htmx-2.min.js", "js/theme.js")
NOT_KEPT = ("css/", "js/", "django_htmx/")
LATE = ("vendor/", "joined/late.")  # cached too, but fetched after everything else: few need it at once
NOT_SHIPPED = (".md", ".txt", ".map", "icons/icon.svg", "icons/icon-512.png", "icons/icon-mask-512.png")


@require_safe
@cache_control(no_cache=True)
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker, with one hash over the shell and every file that it caches."""
    files, late, version = shell_files()
    script = render_to_string("sw.js", {"files": files, "late": late, "version": version})
    content_type = "text/javascript; charset=utf-8"
    return HttpResponse(script, content_type=content_type, headers={"Service-Worker-Allowed": "/"})


@require_safe
@cache_control(max_age=3600)
def manifest(request: HttpRequest) -> JsonResponse:
    """The web app manifest."""
    icons = [
        {"src": static(f"icons/{name}.png"), "sizes": f"{size}x{size}", "type": "image/png", "purpose": purpose}
        for name, size, purpose in (
            ("icon-192", 192, "any"),
            ("icon-512", 512, "any"),
            ("icon-mask-512", 512, "maskable"),
        )
    ]
    fields = {
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
    return JsonResponse(fields, content_type="application/manifest+json")


@lru_cache(maxsize=1)
def shell_files() -> tuple[list[str], list[str], str]:
    """(URLs to cache at install, URLs to cache later, a hash over their contents and the shell)."""
    digest = hashlib.sha256(settings.RELEASE.encode())
    files, late = [], [f"/?tongue={locale}" for locale in i18n.locales()]
    for locale in i18n.locales():
        with translation.override(locale):
            digest.update(render_to_string(frontend.page, shell_context()).encode())
    for path, storage in sorted(_cached_files(), key=lambda entry: entry[0]):
        with storage.open(path) as content:
            digest.update(path.encode() + b"\0" + content.read())
        (late if path.startswith(LATE) else files).append(static(path))
    digest.update(render_to_string("sw.js", {"files": files, "late": late, "version": ""}).encode())
    return files, late, digest.hexdigest()[:16]


def shell_context() -> dict:
    """The template values of the shell page in the active locale: URLs of the style sheet, of the script that opens the
    database while the page still loads, of the script that paints the floor, and of the late markup; the phrases."""
    first, script = static("joined/first.js"), static("joined/floor.js")
    locale = translation.get_language()
    texts = {name: static(late_markup(name, locale)) for name in frontend.late} | {"phrases": i18n.catalogue()}
    return {"sheet": static(SHEET), "first": first, "script": script, "tongues": settings.LANGUAGES, **texts}


def shell_page() -> tuple[str, str]:
    """(the ETag of the shell in the active locale, its HTML)."""
    return _cached_shell(translation.get_language()) if not settings.DEBUG else _render_shell()


@lru_cache(maxsize=8)
def _cached_shell(locale: str) -> tuple[str, str]:
    return _render_shell()


def _render_shell() -> tuple[str, str]:
    page = render_to_string(frontend.page, shell_context())
    return f'"{hashlib.sha256(page.encode()).hexdigest()[:16]}"', page


def _cached_files():
    """Static files that the phone caches: bundles, but not their sources."""
    for finder in get_finders():
        for path, storage in finder.list([]):
            if path in ALSO_KEPT or not (path.startswith(NOT_KEPT) or path.endswith(NOT_SHIPPED)):
                yield path, storage
