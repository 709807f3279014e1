"""The rules of the house that no other check keeps: sizes, ways of importing, no HTML in scripts, no clock in rules."""

import ast
import re
import subprocess
import sys
import tomllib
from pathlib import Path

from shop.base import scripts
from shop.shell import bundle
from tests.conftest import ROOT
from tests.support import core_modules
from tests.support.each import each

LONGEST = 250
WIDEST = 120
NOT_OURS = {"vendor", "migrations", "node_modules", "build", "dist"}
SCRIPTS = sorted((ROOT / "static/js").rglob("*.js"))
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
BELOW_THE_VIEWS = [
    *sorted((ROOT / "timers/core").rglob("*.py")),
    *(ROOT / f"timers/log/{name}.py" for name in ("writer", "sync", "reader")),
]
IMPORTED = re.compile(
    r"""^\s*(?:import|export)\b[\w\s{},*$]*["'](?P<plain>[^"']+)|\bimport\s*\(\s*["'](?P<late>[^"']+)""", re.MULTILINE
)
TOKENS = re.compile(
    r"""//[^\n]*|/\*.*?\*/|(?P<text>"(?:\\.|[^"\\\n])*"|'(?:\\.|[^'\\\n])*'|`(?:\\.|[^`\\])*`)""", re.DOTALL
)
TEXTS = re.compile(r"""(?:later|tn?)\("(?:\\.|[^"\\])*"|"(?:\\.|[^"\\]){60,}\"""")
TEXT = re.compile(r""""(?:\\.|[^"\\\n])*"|'(?:\\.|[^'\\\n])*'""")
EXPORTED = r"^export (?:async )?(?:function\*?|const|class) (\w+)"
FLOORS = [
    ["app"],
    ["alarm", "handover", "mix", "panel", "phones", "product", "screens"],
    ["cards"],
    ["ui"],
    ["sync"],
    ["data", "device"],
    ["core"],
]
# What a folder of scripts may import from: only what stands on a lower floor.
BELOW = {
    name: {low for lower in FLOORS[nth + 1 :] for low in lower} for nth, names in enumerate(FLOORS) for name in names
}
MOST_IN_A_FOLDER = 12
LATE_MEMBER = re.compile(r"""import\("(\.[^"]+)"\)(?:\)|\.then\(\s*\((?:\w+)\) =>\s*\w+)\.(\w+)""")
WRITES_HTML = re.compile(r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|createContextualFragment|setHTML")
INLINE = {
    "a script": re.compile(r"<script(?![^>]*\bsrc=)", re.IGNORECASE),
    "a style sheet": re.compile(r"<style\b", re.IGNORECASE),
    "a style": re.compile(r"\sstyle\s*=", re.IGNORECASE),
    "a handler": re.compile(r"\s(?:on[a-z]+|hx-on[\w:-]*)\s*=", re.IGNORECASE),
    "an address that is a script": re.compile(r"javascript:", re.IGNORECASE),
}
CLOCKS = {"now", "utcnow", "today", "time_ns", "monotonic", "perf_counter", "localtime", "gmtime"}


def named(paths):
    return each("path", paths, lambda path: path.relative_to(ROOT).as_posix())


def our_files():
    for path in sorted(ROOT.rglob("*")):
        parts = path.relative_to(ROOT).parts
        hidden = any(part.startswith(".") for part in parts)
        if path.suffix in (".py", ".js", ".css", ".html") and not hidden and not NOT_OURS & set(parts):
            yield path


@named(list(our_files()))
def test_a_file_is_short_enough_to_read(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST


# --- scripts ---


def imports(path: Path) -> list[str]:
    """The files that a script imports, as paths below static/js."""
    found = IMPORTED.finditer(without_comments(path.read_text(encoding="utf-8")))
    said = [one["plain"] or one["late"] for one in found]
    said = [one for one in said if not (one.startswith("/static/vendor/") and (ROOT / one[1:]).is_file())]
    assert all(one.startswith(("./", "../")) for one in said)
    return [(path.parent / one).resolve().relative_to(ROOT / "static/js").as_posix() for one in said]


def without_comments(script: str) -> str:
    return TOKENS.sub(lambda found: found["text"] or " ", script)


@named(SCRIPTS)
def test_imports_between_scripts_go_one_way(path):
    here, wanted = path.relative_to(ROOT / "static/js").as_posix(), imports(path)
    assert set(wanted) <= set(scripts.names())
    assert not {"app/boot.js", "theme.js"} & set(wanted)
    if here == "theme.js":
        assert wanted == []
        return
    own = here.split("/")[0]
    others = {one.split("/")[0] for one in wanted} - {own}
    assert others <= BELOW[own]
    if own == "device":
        assert wanted in ([], ["core/base/translate.js"])


@each("folder", sorted({path.parent for path in SCRIPTS} - {ROOT / "static/js", ROOT / "static/js/core"}))
def test_a_folder_of_scripts_can_be_taken_in_at_a_glance(folder):
    assert len(list(folder.glob("*.js"))) <= MOST_IN_A_FOLDER


def test_no_script_imports_itself_by_way_of_others():
    wanted = {path.relative_to(ROOT / "static/js").as_posix(): set(imports(path)) for path in SCRIPTS}
    while free := {name for name, others in wanted.items() if not others & wanted.keys()}:
        wanted = {name: others for name, others in wanted.items() if name not in free}
    assert wanted == {}


@named(SCRIPTS)
def test_a_script_uses_of_another_what_that_one_exports(path):
    text = without_comments(path.read_text(encoding="utf-8"))
    for names, where in re.findall(r"""^import (\{[^}]*\}|\* as \w+) from "(\.[^"]+)";""", text, re.MULTILINE):
        exporting = (path.parent / where).resolve().relative_to(ROOT / "static/js").as_posix()
        exported = set(re.findall(EXPORTED, scripts.text(exporting), re.MULTILINE))
        if names.startswith("*"):
            code = TEXT.sub('""', text)
            used = re.findall(rf"(?:(?<![\w$.])|(?<=\.\.\.)){names[5:]}\s*\.(\w+)", code)
            taken = re.findall(rf"\{{([^{{}}]*)\}} = {names[5:]};", code)
            used += [name for one in taken for name in re.findall(r"(?:^|,)\s*(\w+)", one)]
        else:
            used = re.findall(r"(\w+)(?: as \w+)?\s*,?", names)
        assert set(used) <= exported, where
    for where, name in [*LATE_MEMBER.findall(text)]:
        assert name in re.findall(EXPORTED, (path.parent / where).read_text(encoding="utf-8"), re.MULTILINE)


@named([path for path in SCRIPTS if "core" not in path.parts])
def test_a_script_gives_others_nothing_that_they_could_change(path):
    assert (
        re.findall(r"^export (?:let|const \w+ = new (?:Map|Set)\b).*", path.read_text(encoding="utf-8"), re.MULTILINE)
        == []
    )


@named(SCRIPTS)
def test_a_script_holds_no_html(path):
    script = path.read_text(encoding="utf-8")
    assert not WRITES_HTML.search(script)
    texts = [found["text"] for found in TOKENS.finditer(script) if found["text"]]
    assert [text for text in texts if re.search(r"<[/!]?[a-zA-Z]", text)] == []


@named(SCRIPTS)
def test_no_text_of_a_script_goes_over_a_line_end_so_that_indents_can_go(path):
    assert all(line.count("`") % 2 == 0 for line in path.read_text(encoding="utf-8").splitlines())


@named([path for path in SCRIPTS if "core" not in path.parts])
def test_a_line_of_a_script_is_short_but_for_the_texts_in_it(path):
    lines = path.read_text(encoding="utf-8").splitlines()
    assert [line for line in lines if len(TEXTS.sub("", line)) > WIDEST] == []


@named(SCRIPTS)
def test_a_script_is_loaded_by_the_shell_or_later_by_another_or_is_one_that_starts_it(path):
    here = path.relative_to(ROOT / "static/js").as_posix()
    loaded = any(here in imports(one) for one in SCRIPTS if one != path)
    assert loaded or here in ("app/boot.js", "theme.js") or here.startswith("core/")


ALONE = {"shapes", "step_shapes", "states", "schema", "act_schema", "route_schema"}  # types; rows, made into a script


@named(sorted(path for path in (ROOT / "timers/core").glob("*/[!_]*.py") if path.stem not in ALONE))
def test_a_rule_has_a_twin_of_its_name(path):
    assert core_modules.script(path.stem).is_file()


# --- templates ---


@named(TEMPLATES)
@each("what", INLINE)
def test_a_template_holds_nothing_that_the_strict_policy_forbids(path, what):
    plain = re.sub(r"\{[%#].*?[%#]\}", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
    assert INLINE[what].search(plain) is None


def test_the_style_sheet_says_its_layers_first():
    assert bundle.build()[bundle.SHEET].startswith("@layer reset, tokens, base, components, themes;")


# --- Python ---


@named(BELOW_THE_VIEWS)
def test_below_the_views_time_is_an_argument(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    modules = {name.name for node in ast.walk(tree) if isinstance(node, ast.Import) for name in node.names}
    modules |= {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert not modules & {"time", "django.utils", "django.utils.timezone"}
    called = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    assert not called & CLOCKS


@named(sorted((ROOT / "shop").rglob("*.py")))
def test_the_app_below_names_no_template_and_no_bundled_script_of_the_one_above(path):
    above = {one.name for one in (ROOT / "templates/timers").rglob("*.html")}
    above |= {root for roots in bundle.frontend.bundles.values() for root in roots}
    tree = ast.parse(path.read_text(encoding="utf-8"))
    texts = {node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, str)}
    assert not {text for text in texts if text.removeprefix("timers/").removeprefix("js/") in above}


def test_the_contracts_between_packages_are_kept():
    command = [str(Path(sys.executable).with_name("lint-imports")), "--no-cache"]
    ran = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stdout + ran.stderr


def dependencies() -> list[str]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    lines = [*project["dependencies"], *(line for more in project["optional-dependencies"].values() for line in more)]
    return sorted({re.match(r"[\w-]+", line)[0] for line in lines})


@each("name", dependencies())
def test_a_dependency_has_a_word_in_the_book_of_the_house(name):
    book = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").lower()
    assert re.search(rf"(?<![\w-]){re.escape(name.lower())}(?![\w-])", book)
