"""A few files for the phone out of many for the reader: one style sheet, and scripts in the lots they are needed in.

The sources stay plain modules that any browser runs as they are.  Here each becomes a function that gives what the
module exports, in the order in which they need each other; comment lines and indents go.  The finder shows the joined
files to Django's collectstatic, so there is no step to run by hand and nothing made is kept among the sources.
"""

import os
import posixpath
import re
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles.finders import BaseFinder
from django.core.files.storage import FileSystemStorage
from django.template.loader import render_to_string
from django.utils import translation

from . import scripts, tongues

SOURCE = settings.BASE_DIR / "static"
LOTS = {
    "first": ["data/db.js"],
    "floor": ["app/boot.js"],
    "online": ["app/online.js"],
    "actions": ["app/actions.js", "sync/api.js"],
    "live": ["sync/live.js"],
    "lay": ["screens/air.js", "screens/lay.js", "screens/duplicates.js"],
    "mix": ["mix/screen.js", "alarm/calendar.js", "core/grit.js"],
    "product": ["product/editor.js", "product/table.js"],
    "people": ["phones/people.js"],
    "alarm": ["alarm/settings.js"],
    "help": ["screens/help.js", "screens/demo.js"],
    "thermometer": ["phones/thermometers.js"],
    "handover": ["handover/send.js", "handover/receive.js"],
    "phones": ["phones/roles.js", "phones/join.js", "phones/restore.js"],
    "recovery": ["sync/resend.js", "sync/carry_over.js", "sync/absence.js", "screens/meanwhile.js", "sync/renew.js"],
    "notices": ["app/quota_notice.js", "app/notices.js", "phones/phrase_reminder.js"],
}
SHEET = "joined/style.css"
IMPORT = re.compile(r"""^import (?P<names>\{[^}]*\}|\* as \w+) from ["'](?P<path>\.[^"']+)["'];$""", re.MULTILINE)
LATE = re.compile(r"""\bimport\(["'](?P<path>\.[^"']+)["']\)""")
COMMENT = re.compile(r"^[ \t]*(?://[^\n]*|/\*.*?\*/[ \t]*)$", re.MULTILINE | re.DOTALL)
LINE_START = re.compile(r"^\s+", re.MULTILINE)
EXPORT = re.compile(r"^export (?=(?:async )?(?:function\*?|const|class) (?P<name>\w+))", re.MULTILINE)


class Finder(BaseFinder):
    """Joined files, as any other static file."""

    def list(self, ignore_patterns):
        """Every joined file, made anew from the sources, and every plain script that is made."""
        folder = settings.DATA_DIR / "joined"
        storage = FileSystemStorage(folder)
        for name, said in {**made(), **_plain_scripts()}.items():
            _write(folder / name, said)
            yield name, storage

    def find(self, path, find_all=False, **options):
        """One file's place on the disk; nothing is made for a file of another kind."""
        if not path.startswith("joined/") and path not in _plain_scripts():
            return [] if find_all else None
        found = [storage.path(name) for name, storage in self.list([]) if name == path]
        return found if find_all else (found or [None])[0]


def _plain_scripts() -> dict[str, str]:
    return {f"js/{name}": said for name, said in scripts.made().items()}


def _write(path: Path, said: str) -> None:
    """Only what is new, and whole at once: somebody may be reading the file."""
    if path.exists() and path.read_text(encoding="utf-8") == said:
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    fresh = path.with_suffix(f".{os.getpid()}")
    fresh.write_text(said, encoding="utf-8")
    fresh.replace(path)


def rooms(tongue: str) -> str:
    """The markup of the screens that are loaded late, in one tongue: in the shell it would hold up the first cards."""
    return f"joined/rooms.{tongue}.html"


def made() -> dict[str, str]:
    """Every joined file: its name and its text."""
    sheets = sorted((SOURCE / "css").glob("*.css"), key=lambda path: (path.name != "layers.css", path.name))
    said = {SHEET: bare("\n".join(path.read_text(encoding="utf-8") for path in sheets))}
    for tongue in tongues.names():
        with translation.override(tongue):
            said[rooms(tongue)] = render_to_string("timers/rooms.html")
    before: dict[str, str] = {}
    for lot, roots in LOTS.items():
        own = [path for path in _in_order(roots) if path not in before]
        said[f"joined/{lot}.js"] = bare(_lot(own, before))
        before |= dict.fromkeys(own, lot)
    return said


def bare(text: str) -> str:
    """Without the comments that have lines to themselves, and without indents.  No text of ours goes over a line's
    end; a test keeps it so."""
    return LINE_START.sub("", COMMENT.sub("", text))


def _lot(own: list[str], before: dict[str, str]) -> str:
    """The text of one lot; modules of the lots before it are imported from them."""
    wanted = {path for one in own for path in _needs(one)} - set(own)
    lines = [
        f'import {{ {", ".join(_word(path) for path in sorted(wanted) if before[path] == lot)} }} from "./{lot}.js";'
        for lot in sorted({before[path] for path in wanted})
    ]
    lines += [_wrapped(path) for path in own]
    return "\n".join([*lines, f"export {{ {', '.join(map(_word, own))} }};"])


def _wrapped(path: str) -> str:
    """One module as a constant: what it exports."""
    text = _read(path)
    names = [found["name"] for found in EXPORT.finditer(text)]
    text = IMPORT.sub(lambda found: f"const {_taken(found['names'])} = {_word(_from(path, found['path']))};", text)
    text = LATE.sub(lambda found: _late(_from(path, found["path"])), EXPORT.sub("", text))
    if left := re.search(r"^(?:import|export)\b.*", text, re.MULTILINE):
        raise ValueError(f"{path} says {left[0]!r}, which cannot be joined")
    return f"const {_word(path)} = (() => {{\n{text}\nreturn {{ {', '.join(names)} }};\n}})();"


def _taken(names: str) -> str:
    """What stands between `import` and `from`, as what stands between `const` and `=`."""
    return names.removeprefix("* as ") if names.startswith("*") else names.replace(" as ", ": ")


def _late(path: str) -> str:
    lot = next(lot for lot, roots in LOTS.items() if path in roots)
    return f'import("./{lot}.js").then((lot) => lot.{_word(path)})'


def _in_order(roots: list[str]) -> list[str]:
    """The modules that the roots need, each after those that it needs itself."""
    order: list[str] = []

    def visit(path: str, above: tuple[str, ...]):
        if path in above:
            raise ValueError(f"{path} imports itself by way of others")
        if path not in order:
            for needed in _needs(path):
                visit(needed, (*above, path))
            order.append(path)

    for root in roots:
        visit(root, ())
    return order


def _needs(path: str) -> list[str]:
    return [_from(path, found["path"]) for found in IMPORT.finditer(_read(path))]


def _from(path: str, name: str) -> str:
    return posixpath.normpath(posixpath.join(posixpath.dirname(path), name))


def _word(path: str) -> str:
    return "$" + re.sub(r"\W", "_", path.removesuffix(".js"))


def _read(path: str) -> str:
    return scripts.text(path)
