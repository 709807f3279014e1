"""Bundles style sheets and scripts into a few files, grouped by when they are needed.

The sources stay plain modules that any browser runs as they are.  Here each becomes a function that returns the
module's exports, in dependency order; comment lines and indents are dropped.  The finder offers the bundles to Django's
collectstatic, so there is no build step to run by hand, and nothing generated is kept among the sources.
"""

import os
import posixpath
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles.finders import BaseFinder
from django.core.files.storage import FileSystemStorage
from django.template.loader import render_to_string
from django.utils import translation

from ..base import i18n, scripts

SOURCE = settings.BASE_DIR / "static"
SHEET = "joined/style.css"
IMPORT = re.compile(r"""^import (?P<names>\{[^}]*\}|\* as \w+) from ["'](?P<path>\.[^"']+)["'];$""", re.MULTILINE)
LATE_IMPORT = re.compile(r"""\bimport\(["'](?P<path>\.[^"']+)["']\)""")
COMMENT = re.compile(r"^[ \t]*(?://[^\n]*|/\*.*?\*/[ \t]*)$", re.MULTILINE | re.DOTALL)
LINE_START = re.compile(r"^\s+", re.MULTILINE)
# A comment behind code, where what stands before it on its line is code and whole strings: no pattern, no division.
WHOLE_STRING = r"""\"(?:[^"\\\n]|\\.)*\"|'(?:[^'\\\n]|\\.)*'|`(?:[^`$\\\n]|\\.)*`"""
BEHIND = re.compile(rf"""^((?:[^"'`/\n]|{WHOLE_STRING})*?)[ \t]+//[ \t][^\n]*$""", re.MULTILINE)
SHEET_BREAK = re.compile(r"(?<=[{};,])\n")
EXPORT = re.compile(r"^export (?=(?:async )?(?:function\*?|const|class) (?P<name>\w+))", re.MULTILINE)


@dataclass(frozen=True)
class Late:
    """A file of markup that is loaded late, in each locale: its template, and what fills that in the active locale."""

    template: str
    values: Callable[[], dict] = dict


@dataclass
class Frontend:
    """What the app above this one shows; it fills this in when Django starts.

    `page` is the template of the shell, `late` holds the markup that is loaded late, by its name in the shell's
    `data-`; `bundles` names the root modules of each bundle of scripts, in the order in which bundles are loaded.
    """

    page: str = ""
    late: dict[str, Late] = field(default_factory=dict)
    bundles: dict[str, list[str]] = field(default_factory=dict)


frontend = Frontend()


class Finder(BaseFinder):
    """Offers the bundles as static files."""

    def list(self, ignore_patterns):
        """Every bundle, built from the sources, and every plain script that is made."""
        folder = settings.DATA_DIR / "joined"
        storage = FileSystemStorage(folder)
        for name, text in {**build(), **_plain_scripts()}.items():
            _write(folder / name, text)
            yield name, storage

    def find(self, path, find_all=False, **options):
        """The path of one file; nothing is built for other static files."""
        if not path.startswith("joined/") and path not in _plain_scripts():
            return [] if find_all else None
        paths = [storage.path(name) for name, storage in self.list([]) if name == path]
        return paths if find_all else (paths or [None])[0]


def _plain_scripts() -> dict[str, str]:
    return {f"js/{name}": text for name, text in scripts.made().items()}


def _write(path: Path, text: str) -> None:
    """Write a file only when it changed, and atomically, since it may be being read."""
    if path.exists() and path.read_text(encoding="utf-8") == text:
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    temporary = path.with_suffix(f".{os.getpid()}")
    temporary.write_text(text, encoding="utf-8")
    temporary.replace(path)


def late_markup(name: str, locale: str) -> str:
    """A file of late markup in one locale: in the shell it would delay first paint."""
    return f"joined/late.{name}.{locale}.html"


def build() -> dict[str, str]:
    """Every bundle: its name and its text."""
    sheets = sorted((SOURCE / "css").rglob("*.css"), key=lambda path: (path.name != "layers.css", path.name))
    sheet = minify("\n".join(path.read_text(encoding="utf-8") for path in sheets))
    files = {SHEET: SHEET_BREAK.sub("", sheet)}
    for locale in i18n.locales():
        with translation.override(locale):
            for name, late in frontend.late.items():
                files[late_markup(name, locale)] = render_to_string(late.template, late.values())
    bundle_of: dict[str, str] = {}
    for bundle, roots in frontend.bundles.items():
        own = [path for path in _sorted(roots) if path not in bundle_of]
        files[f"joined/{bundle}.js"] = minify(_bundle(own, bundle_of))
        bundle_of |= dict.fromkeys(own, bundle)
    return files


def minify(text: str) -> str:
    """A script or sheet without comments on lines of their own or behind code, and without indents.  No string in the
    sources spans lines; a test checks that."""
    return BEHIND.sub(r"\1", LINE_START.sub("", COMMENT.sub("", text)))


def _bundle(own: list[str], bundle_of: dict[str, str]) -> str:
    """The text of one bundle; modules of the bundles before it are imported from those."""
    outside = {path for one in own for path in _imports(one)} - set(own)
    lines = []
    for bundle in sorted({bundle_of[path] for path in outside}):
        names = ", ".join(_constant(path) for path in sorted(outside) if bundle_of[path] == bundle)
        lines.append(f'import {{ {names} }} from "./{bundle}.js";')
    lines += [wrap(path, _read(path)) for path in own]
    return "\n".join([*lines, f"export {{ {', '.join(map(_constant, own))} }};"])


def wrap(path: str, text: str) -> str:
    """One module, its place under static/js and its source, as a constant that holds its exports."""
    names = [match["name"] for match in EXPORT.finditer(text)]
    text = IMPORT.sub(
        lambda match: f"const {_binding(match['names'])} = {_constant(_resolve(path, match['path']))};", text
    )
    text = LATE_IMPORT.sub(lambda match: _late_import(_resolve(path, match["path"])), EXPORT.sub("", text))
    if rest := re.search(r"^(?:import|export)\b.*", text, re.MULTILINE):
        raise ValueError(f"{path} says {rest[0]!r}, which cannot be bundled")
    return f"const {_constant(path)} = (() => {{\n{text}\nreturn {{ {', '.join(names)} }};\n}})();"


def _binding(names: str) -> str:
    """The names of an import clause as the pattern of a `const`."""
    return names.removeprefix("* as ") if names.startswith("*") else names.replace(" as ", ": ")


def _late_import(path: str) -> str:
    bundle = next(bundle for bundle, roots in frontend.bundles.items() if path in roots)
    return f'import("./{bundle}.js").then((lot) => lot.{_constant(path)})'


def _sorted(roots: list[str]) -> list[str]:
    """The modules that the roots import, dependencies first; ValueError for a cycle."""
    order: list[str] = []

    def visit(path: str, ancestors: tuple[str, ...]):
        if path in ancestors:
            raise ValueError(f"{path} is part of an import cycle")
        if path not in order:
            for imported in _imports(path):
                visit(imported, (*ancestors, path))
            order.append(path)

    for root in roots:
        visit(root, ())
    return order


def _imports(path: str) -> list[str]:
    return [_resolve(path, match["path"]) for match in IMPORT.finditer(_read(path))]


def _resolve(path: str, name: str) -> str:
    return posixpath.normpath(posixpath.join(posixpath.dirname(path), name))


def _constant(path: str) -> str:
    return "$" + re.sub(r"\W", "_", path.removesuffix(".js"))


def _read(path: str) -> str:
    return scripts.text(path)
