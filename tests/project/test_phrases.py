"""Phrases can be collected and said: plain texts, values that fit their places, twins alike, catalogues whole."""

import ast
import re
from functools import cache

import pytest

from shop.base import i18n
from tests import phrases
from tests.conftest import ROOT
from tests.support import core_modules, tokens
from tests.support.each import each

SCRIPTS = sorted((ROOT / "static/js").rglob("*.js"))
PYTHON = sorted(
    path for folder in ("shop", "timers") for path in (ROOT / folder).rglob("*.py") if "migrations" not in path.parts
)
ROWS = {"act_schema", "people", "product_schema", "route_schema", "figures", "schema"}  # see test_twin_phrases
TWINS = sorted(
    {path.stem for path in (ROOT / "timers/core").glob("*/[!_]*.py")} - {"shapes", "step_shapes", "states"} - ROWS
)
MACHINERY = {ROOT / "timers/core/base/translate.py", ROOT / "shop/base/i18n.py"}  # they pass on what others say
TEXTS = {"t": 1, "later": 1, "tn": 2, "gettext": 1, "ngettext": 2}
MOST = {"t": 2, "later": 1, "tn": 4}  # arguments in a script
PLACE = re.compile(r"(?<!\{)\{(\w+)\}(?!\})|%\((\w+)\)s")
IMPORTED = re.compile(r"""^import \{([^}]*)\} from ["'](?:[./]|core/|base/)*translate\.js["'];$""", re.MULTILINE)
HINT = re.compile(r" \[\[.*\]\]\Z", re.DOTALL)
SAVED, TAKEN, CHANGED = "Nothing was saved.", "Nothing was taken.", "Nothing was changed."


def named(paths):
    return each("path", paths, lambda path: path.relative_to(ROOT).as_posix())


def places(*texts: str) -> set[str]:
    """The names that have places in some texts; a hint has none."""
    found = (PLACE.finditer(HINT.sub("", text)) for text in texts)
    return {one[1] or one[2] for each in found for one in each}


# --- scripts ---


@cache
def of_script(path) -> list[tokens.Call]:
    script = path.read_text(encoding="utf-8")
    imported = IMPORTED.search(script)
    return list(tokens.calls(script, set(re.findall(r"\w+", imported[1])) & set(MOST) if imported else {"t"}))


def is_text(arg: list[tokens.Token]) -> bool:
    return len(arg) == 1 and arg[0].kind == "text"


def is_kept(arg: list[tokens.Token]) -> bool:
    """Whether an argument is names and places in tables, as in WORDS[key] || one.words: no text is made in it."""
    depth = 0
    for token in arg:
        depth += token.is_sign("[") - token.is_sign("]")
        empty = token.kind == "text" and not token.plain()
        if depth == 0 and not (token.kind == "name" or empty or token.is_sign(".", "?.", "]", "|", "&", "(", ")")):
            return False
    return any(token.kind == "name" for token in arg)


@named(SCRIPTS)
def test_a_phrase_of_a_script_is_one_plain_text(path):
    for call in of_script(path):
        kept = call.name == "t" and is_kept(call.args[0])
        assert kept or all(is_text(arg) for arg in call.args[: TEXTS[call.name]]), call
        assert TEXTS[call.name] <= len(call.args) <= MOST[call.name], call


@named(SCRIPTS)
def test_what_is_collected_of_a_script_is_what_it_says(path):
    said = []
    for call in of_script(path):
        texts = [arg[0].plain() for arg in call.args[: TEXTS[call.name]] if is_text(arg)]
        if texts:
            said.append((texts[0], texts[1] if call.name == "tn" else None))
    assert i18n.phrases_in(path.read_text(encoding="utf-8")) == said


def given(arg: list[tokens.Token]) -> set[str] | None:
    """The names of the values that are written out; None where some of them come from elsewhere ("...values")."""
    if is_kept(arg):
        return None
    assert arg[0].is_sign("{"), arg
    entries = tokens.arguments(arg)
    if any(entry[0].is_sign("...") for entry in entries):
        return None
    return {entry[0].plain() if entry[0].kind == "text" else entry[0].said for entry in entries}


@named(SCRIPTS)
def test_a_call_in_a_script_gives_each_place_its_value_and_no_more(path):
    for call in of_script(path):
        if call.name == "later" or not is_text(call.args[0]):
            continue
        texts = [arg[0].plain() for arg in call.args[: TEXTS[call.name]]]
        values = call.args[1:] if call.name == "t" else call.args[3:]
        told = given(values[0]) if values else set()
        wanted = places(*texts) - ({"n"} if call.name == "tn" else set())
        assert told is None or told == wanted, texts
        assert call.name != "tn" or len(call.args) >= 3, texts


def test_scripts_are_taken_apart_as_a_browser_does():
    script = """
    // t("no")
    const x = a / b;
    const y = /t\\("no"[/"]\\)/.test(s) ? `t("no") ${t("one", { a, "b": [1, { c: 2 }], ...d })} }` : 'it\\'s';
    function t(phrase) {} o.t("no"); tn("{n} tap", "{n} taps", n, { what: `${{ e: t('two') }.e}` }); later("three");
    """
    found = list(tokens.calls(script, {"t", "tn", "later"}))
    assert [(call.name, call.args[0][0].plain(), len(call.args)) for call in found] == [
        ("t", "one", 2),
        ("tn", "{n} tap", 4),
        ("t", "two", 1),
        ("later", "three", 1),
    ]
    assert given(found[0].args[1]) is None
    assert given(found[1].args[3]) == {"what"}
    assert [
        is_kept(tokens.tokens(arg)) for arg in ("WORDS[a + 1]", "one.words", "a + b", "`x`", '"x"', "a ? b : c")
    ] == [
        *(True, True),
        *(False, False, False, False),
    ]


# --- Python ---


@cache
def of_python(path) -> list[ast.Call]:
    return list(phrases.calls(ast.parse(path.read_text(encoding="utf-8"))))


def texts_of(call: ast.Call) -> list[str]:
    wanted = call.args[: TEXTS[call.func.id]]
    return [arg.value for arg in wanted if isinstance(arg, ast.Constant) and isinstance(arg.value, str)]


@named([path for path in PYTHON if path not in MACHINERY])
def test_a_phrase_of_python_is_one_plain_text(path):
    for call in of_python(path):
        kept = call.func.id == "t" and isinstance(call.args[0], ast.Name | ast.Attribute | ast.Subscript)
        count = 3 if call.func.id in ("tn", "ngettext") else 1
        assert kept or len(texts_of(call)) == TEXTS[call.func.id], ast.unparse(call)
        assert len(call.args) == count, ast.unparse(call)


@named([path for path in PYTHON if path not in MACHINERY])
def test_a_call_in_python_gives_each_place_its_value_and_no_more(path):
    for call in of_python(path):
        texts = texts_of(call)
        if not texts or call.func.id not in ("t", "tn"):
            continue
        told = {one.arg for one in call.keywords}
        wanted = places(*texts) - ({"n"} if call.func.id == "tn" else set())
        assert None in told or told == wanted, ast.unparse(call)


# --- twins ---


@each("name", [name for name in TWINS if name != "translate"])
def test_twins_say_the_same_phrases(name):
    ours = {tuple(texts_of(call)) for call in of_python(core_modules.source(name)) if texts_of(call)}
    theirs = set()
    for call in of_script(core_modules.script(name)):
        texts = [arg[0].plain() for arg in call.args[: TEXTS[call.name]] if is_text(arg)]
        theirs |= {tuple(texts)} if texts else set()
    assert theirs == ours


# --- catalogues ---


@pytest.fixture(scope="module")
def said():
    return phrases.everything()


@pytest.fixture(scope="module", params=phrases.TONGUES)
def tongue(request):
    return request.param


@pytest.fixture(scope="module")
def catalogue(tongue):
    return [one for one in phrases.read(tongue) if one.id]


def both(value) -> tuple[str, ...]:
    return value if isinstance(value, tuple) else (value,)


def test_a_catalogue_holds_every_phrase_and_no_other(tongue, said, catalogue):
    held = {(both(one.id), one.context) for one in catalogue}
    wanted = {((one.one, one.many) if one.many else (one.one,), one.context) for one in said}
    assert held == wanted
    assert not phrases.read(tongue).obsolete


def test_every_phrase_has_its_words(catalogue):
    lacking = [one.id for one in catalogue if one.fuzzy or not all(both(one.string))]
    assert lacking == []


def test_words_come_in_as_many_forms_as_their_phrase_has(catalogue):
    assert [one.id for one in catalogue if len(both(one.string)) != len(both(one.id))] == []


def test_words_have_the_places_of_their_phrase(catalogue):
    for one in catalogue:
        wanted = places(*both(one.id)) - {"n"}
        for form, words in zip(both(one.id), both(one.string), strict=True):
            assert not words or places(words) - {"n"} == wanted, one.id
            assert not words or form != both(one.id)[-1] or ("n" in places(words)) == ("n" in places(form)), one.id
            assert not words or words.count("%%") == form.count("%%"), one.id


def test_words_begin_and_end_with_the_spaces_of_their_phrase_and_show_no_hint(catalogue):
    for one in catalogue:
        for form, words in zip(both(one.id), both(one.string), strict=True):
            ends = [(text[: len(text) - len(text.lstrip())], text[len(text.rstrip()) :]) for text in (form, words)]
            assert not words or ends[0] == ends[1], one.id
            assert "[[" not in words, one.id


@pytest.mark.parametrize("end", [SAVED, TAKEN, CHANGED])
def test_the_same_last_sentence_is_said_with_the_same_words(catalogue, end):
    """Scripts take "Nothing was saved." off a refusal where nothing was to be saved."""
    own = {one.id: one.string for one in catalogue}
    for phrase, words in own.items():
        if isinstance(phrase, str) and phrase.endswith(f" {end}") and words and own.get(end):
            assert words.endswith(f" {own[end]}"), phrase


def test_what_django_reads_is_made_of_what_people_write(tongue):
    assert phrases.po_of(tongue).with_suffix(".mo").read_bytes() == phrases.compiled(tongue, phrases.read(tongue))
