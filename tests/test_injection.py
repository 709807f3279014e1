"""What strangers say is data: nothing of ours runs it, or builds a question or a template of it.

Read from the source, so that a new way in is seen when it is written, not when it is tried.
"""

import ast
import re
from pathlib import Path

import pytest

from shop.tongues import t
from tests.conftest import ROOT

PYTHON = sorted(
    path for part in ("shop", "timers") for path in (ROOT / part).rglob("*.py") if path.parent.name != "migrations"
)
SCRIPTS = [*sorted((ROOT / "static/js").rglob("*.js")), ROOT / "templates/sw.js"]
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
CALLS = {
    "eval",
    "exec",
    "compile",
    "__import__",
    "system",
    "popen",
    "mark_safe",
    "from_string",
    "RawSQL",
    "extra",
    "raw",
}
CALLS |= {"md5", "sha1", "Template"}
PLAIN_COMPILE = {"re", "regex"}
MODULES = {"pickle", "marshal", "shelve", "yaml", "xml", "lxml", "subprocess", "pty", "ctypes", "telnetlib"}
RUNS = re.compile(r"\beval\s*\(|\bnew\s+Function\b|\bset(?:Timeout|Interval)\(\s*[\"'`]|\bimportScripts\b|javascript:")
HEARS = re.compile(r"(?:window|globalThis|^\s*)\.?(?:addEventListener\(\s*[\"']message|onmessage\s*=)", re.MULTILINE)
LOOSE = re.compile(r"(?<![=!<>])(?:==|!=)(?!=)(?!\s*null\b)")
TEXTS = re.compile(r"""//[^\n]*|/\*.*?\*/|"(?:\\.|[^"\\\n])*"|'(?:\\.|[^'\\\n])*'""", re.DOTALL)
MARKUP = re.compile(
    r"\|\s*safe\b|autoescape\s+off|<(?:object|embed|applet|iframe|base)\b|(?:src|href)=[\"'](?:https?:)?//"
)
QUESTIONS = {"execute", "executemany", "ask", "tell"}
OF_OUR_OWN_TABLES = {"timers/putting_back.py"}  # LOCK TABLE knows no placeholders; the names are those of our models
READ_FROM_ADDRESSES = {"shop/tongues.py"}  # which tongue, one of a list

named = lambda paths: pytest.mark.parametrize("path", paths, ids=lambda path: path.relative_to(ROOT).as_posix())  # noqa: E731


def ran(tree: ast.AST) -> list[str]:
    """What a module calls or imports that could run what it was told."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            owner = getattr(getattr(node.func, "value", None), "id", "")
            name = getattr(node.func, "id", "") or getattr(node.func, "attr", "")
            found += [name] if name in CALLS and not (name == "compile" and owner in PLAIN_COMPILE) else []
        names = [one.name for one in node.names] if isinstance(node, ast.Import) else []
        names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
        found += [name for name in names if name.partition(".")[0] in MODULES]
    return found


def built(tree: ast.AST) -> list[int]:
    """Lines on which a question to the database has values written into its words."""
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call) and node.args]
    asks = [node for node in calls if (getattr(node.func, "attr", "") or getattr(node.func, "id", "")) in QUESTIONS]
    pasted = (ast.JoinedStr, ast.BinOp)
    return [node.lineno for node in asks if isinstance(node.args[0], pasted) and _values(node.args[0])]


def _values(words: ast.AST) -> list:
    """Names written into a text, but for constants of the module, which are in capitals."""
    return [node.id for node in ast.walk(words) if isinstance(node, ast.Name) and not node.id.isupper()]


def from_addresses(tree: ast.AST) -> list[int]:
    return [node.lineno for node in ast.walk(tree) if isinstance(node, ast.Attribute) and node.attr == "GET"]


def parsed(path: Path) -> ast.AST:
    return ast.parse(path.read_text(encoding="utf-8"))


def code_of(path: Path) -> str:
    """A script without its comments and plain texts."""
    return TEXTS.sub('""', path.read_text(encoding="utf-8"))


@named(PYTHON)
def test_nothing_of_ours_runs_unpickles_or_marks_as_safe_what_it_is_told(path):
    assert ran(parsed(path)) == []


@named(PYTHON)
def test_no_value_is_written_into_the_words_of_a_question_to_the_database(path):
    if path.relative_to(ROOT).as_posix() not in OF_OUR_OWN_TABLES:
        assert built(parsed(path)) == []


@named(PYTHON)
def test_no_view_reads_anything_but_the_tongue_from_an_address(path):
    """An address stands in logs and histories: no secret belongs there; and what is posted has one source."""
    if path.relative_to(ROOT).as_posix() not in READ_FROM_ADDRESSES:
        assert from_addresses(parsed(path)) == []


@named(SCRIPTS)
def test_no_script_runs_a_text_or_hears_messages_of_other_windows(path):
    script = path.read_text(encoding="utf-8")
    assert RUNS.search(script) is None
    assert HEARS.search(script) is None


@named(SCRIPTS)
def test_a_script_compares_strictly_but_for_null(path):
    assert LOOSE.search(code_of(path)) is None


@named(TEMPLATES)
def test_a_template_escapes_all_it_is_given_and_loads_nothing_from_elsewhere(path):
    assert MARKUP.search(path.read_text(encoding="utf-8")) is None


def test_a_value_in_a_phrase_is_no_phrase():
    assert t("This phone is in “{shop}” already.", shop="{shop.__class__} %s") == (
        "This phone is in “{shop.__class__} %s” already."
    )


@pytest.mark.parametrize(
    "bad",
    [
        "eval(said)",
        "os.system(said)",
        "import pickle",
        "from xml.etree import ElementTree",
        "Template(said).render()",
        "hashlib.md5(said)",
        "mark_safe(said)",
        "Shop.objects.raw(said)",
    ],
)
def test_what_is_looked_for_in_python_would_be_found(bad):
    assert ran(ast.parse(bad))


@pytest.mark.parametrize(
    "bad", ["ask(f'SELECT {said}')", "cursor.execute('SELECT ' + said)", "tell('SELECT %s' % said)"]
)
def test_a_question_with_a_value_in_its_words_would_be_found(bad):
    assert built(ast.parse(bad))
    assert not built(ast.parse("ask(f'SELECT {COLUMNS} WHERE id = %s', said)"))


def test_what_is_looked_for_in_scripts_and_templates_would_be_found():
    assert from_addresses(ast.parse("request.GET['token']"))
    assert RUNS.search("setTimeout('run()', 1)")
    assert RUNS.search("new Function(said)")
    assert HEARS.search("window.addEventListener('message', heard)")
    assert HEARS.search("\naddEventListener('message', heard)")
    assert LOOSE.search("a == b")
    assert not LOOSE.search("a == null || b === c || d <= e")
    assert MARKUP.search("{{ name|safe }}")
    assert MARKUP.search('<script src="https://other.example/x.js">')
