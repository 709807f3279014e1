"""The phone's scripts as plain modules: files under static/js, and those made of data that Python holds.

A script that is made stands in `settings.MADE_SCRIPTS` with the function that gives its text, so that what the server
checks by and what the phone checks by are the same data.
"""

from functools import cache

from django.conf import settings
from django.utils.module_loading import import_string

FOLDER = settings.BASE_DIR / "static" / "js"


def names() -> list[str]:
    """Every script by its place under js/, like "core/acts/envelope.js"."""
    return sorted([*(path.relative_to(FOLDER).as_posix() for path in FOLDER.rglob("*.js")), *made()])


def text(name: str) -> str:
    """One script by its place under js/."""
    return made()[name] if name in made() else (FOLDER / name).read_text(encoding="utf-8")


@cache
def made() -> dict[str, str]:
    """The scripts that are made, by name.  The data are constants: made once a process."""
    return {name: import_string(maker)() for name, maker in settings.MADE_SCRIPTS.items()}
