"""The modules of timers/core and of static/js/core by their bare names, whichever folder they stand in."""

import importlib
from functools import cache
from pathlib import Path
from types import ModuleType

from tests.conftest import ROOT

CORE = ROOT / "timers/core"


@cache
def _folders() -> dict[str, str]:
    """The name of every module, and the folder it stands in."""
    return {path.stem: path.parent.name for path in CORE.glob("*/[!_]*.py")}


def names() -> list[str]:
    """The names of all modules, sorted: ["acts", "air", ...]."""
    return sorted(_folders())


def source(name: str) -> Path:
    """The Python file of a module."""
    return CORE / _folders()[name] / f"{name}.py"


def module(name: str) -> ModuleType:
    """The Python module itself."""
    return importlib.import_module(f"timers.core.{_folders()[name]}.{name}")


def address(name: str) -> str:
    """Where its script stands below /js/core, without the ending: "clock/cure"."""
    return f"{_folders()[name]}/{name}"


def script(name: str) -> Path:
    """The file of its script."""
    return ROOT / f"static/js/core/{address(name)}.js"
