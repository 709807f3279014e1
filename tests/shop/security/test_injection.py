"""What strangers say is data: nothing of ours runs it, or builds a question or a template of it.

Read from the source, so that a new way in is seen when it is written, not when it is tried.
"""

import ast
import re
from pathlib import Path

import pytest

from shop.base.i18n import t
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
QUESTIONS = {"execute", "executemany", "query"}
PLACES_ONLY = {  # looked at by eye: no value of anybody's is in these words
    "timers/backup/restore.py",  # LOCK TABLE knows no placeholders; the names are those of our models
    "timers/log/queries.py",  # as many "(%s, %s)" as there are rows
}
READ_FROM_ADDRESSES = {
    "shop/base/i18n.py",  # which tongue, one of a list
    "timers/web/phones.py",  # the number of a code, which lets nobody in
    "timers/web/phones_room.py",  # which phone's buttons are open
    "timers/web/reads.py",  # which product and figures of a mix, which grits: no secrets, and nothing is written
}


def ran(tree: ast.AST) -> list[str]:
    """What a module calls or imports that could run what it was told."""
    risks = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            owner = getattr(getattr(node.func, "value", None), "id", "")
            name = getattr(node.func, "id", "") or getattr(node.func, "attr", "")
            risks += [name] if name in CALLS and not (name == "compile" and owner in PLAIN_COMPILE) else []
        names = [one.name for one in node.names] if isinstance(node, ast.Import) else []
        names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
        risks += [name for name in names if name.partition(".")[0] in MODULES]
    return risks


def built(tree: ast.AST) -> list[int]:
    """Lines on which a question to the database has values written into its words."""
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call) and node.args]
    asks = [node for node in calls if (getattr(node.func, "attr", "") or getattr(node.func, "id", "")) in QUESTIONS]
    return [node.lineno for node in asks if _pasted(node.args[0]) and _values(node.args[0])]


def _pasted(words: ast.AST) -> bool:
    """Whether a text is put together where it is used."""
    formatted = isinstance(words, ast.Call) and getattr(words.func, "attr", "") in ("format", "format_map", "replace")
    return formatted or isinstance(words, ast.JoinedStr | ast.BinOp)


def _values(words: ast.AST) -> list:
    """Names written into a text, but for constants of the module, which are in capitals."""
    return [node.id for node in ast.walk(words) if isinstance(node, ast.Name) and not node.id.isupper()]


def from_addresses(tree: ast.AST) -> list[int]:
    return [node.lineno for node in ast.walk(tree) if isinstance(node, ast.Attribute) and node.attr == "GET"]


def parsed(path: Path) -> ast.AST:
    return ast.parse(path.read_text(encoding="utf-8"))


def text_of(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def in_files(paths: list[Path], look) -> dict[str, object]:
    """What was found in files, by their names; files in which nothing was found are left out."""
    seen = {path.relative_to(ROOT).as_posix(): look(path) for path in paths}
    return {name: what for name, what in seen.items() if what}


def test_nothing_of_ours_runs_unpickles_or_marks_as_safe_what_it_is_told():
    assert in_files(PYTHON, lambda path: ran(parsed(path))) == {}


def test_no_value_is_written_into_the_words_of_a_question_to_the_database():
    assert in_files(PYTHON, lambda path: built(parsed(path))).keys() == PLACES_ONLY


def test_no_view_reads_a_secret_or_anything_to_be_written_from_an_address():
    """An address stands in logs and histories: no secret belongs there; and what is posted has one source."""
    assert in_files(PYTHON, lambda path: from_addresses(parsed(path))).keys() == READ_FROM_ADDRESSES


def test_no_script_runs_a_text_or_hears_messages_of_other_windows():
    assert in_files(SCRIPTS, lambda path: RUNS.findall(text_of(path)) + HEARS.findall(text_of(path))) == {}


def test_a_script_compares_strictly_but_for_null():
    assert in_files(SCRIPTS, lambda path: LOOSE.findall(TEXTS.sub('""', text_of(path)))) == {}


def test_a_template_escapes_all_it_is_given_and_loads_nothing_from_elsewhere():
    assert in_files(TEMPLATES, lambda path: MARKUP.findall(text_of(path))) == {}


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
    "bad",
    [
        "query(f'SELECT {said}')",
        "cursor.execute('SELECT ' + said)",
        "execute('SELECT %s' % said)",
        "query('SELECT {}'.format(said))",
    ],
)
def test_a_question_with_a_value_in_its_words_would_be_found(bad):
    assert built(ast.parse(bad))
    assert not built(ast.parse("query(f'SELECT {COLUMNS} WHERE id = %s', said)"))


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
