"""Every phrase that a person reads: collected from scripts, templates and Python into the catalogues of shop/locale.

`python -m tests.phrases` brings the catalogues up to date: new phrases come in empty, those that nobody says any more
go, and what Django reads (django.mo) is made of what people write (django.po).
"""

import ast
import io
import os
import sys
from dataclasses import dataclass, field
from pathlib import Path

import django
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from tests.conftest import ROOT

LOCALE = ROOT / "shop" / "locale"
TONGUES = ("es", "de")
CALLS = {"t": 1, "later": 1, "gettext": 1, "tn": 2, "ngettext": 2}


@dataclass
class Said:
    """One phrase: its form for many where it has a count, its context, and the files that say it."""

    one: str
    many: str | None = None
    context: str | None = None
    where: list[str] = field(default_factory=list)


def everything() -> list[Said]:
    """Every phrase, once, in the order of the files."""
    found: dict[tuple, Said] = {}
    for path, one, many, context in (*of_python(), *of_scripts(), *of_templates()):
        said = found.setdefault((one, context), Said(one, many, context))
        said.many = said.many or many
        if path not in said.where:
            said.where.append(path)
    return list(found.values())


def of_python():
    for path in sorted([*(ROOT / "shop").rglob("*.py"), *(ROOT / "timers").rglob("*.py")]):
        if "migrations" not in path.parts:
            for call in calls(ast.parse(path.read_text(encoding="utf-8"))):
                texts = [one.value for one in call.args[: CALLS[call.func.id]] if isinstance(one, ast.Constant)]
                if len(texts) == CALLS[call.func.id]:
                    yield short(path), *[*texts, None][:2], None


def calls(tree: ast.AST):
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in CALLS and node.args:
            yield node


def of_scripts():
    from shop.base import i18n, scripts

    for path in sorted(scripts.FOLDER.rglob("*.js")):
        for one, many in i18n.phrases_in(path.read_text(encoding="utf-8")):
            yield short(path), one, many, None


def of_templates():
    from django.template import engines
    from django.templatetags.i18n import BlockTranslateNode, TranslateNode

    engine = engines["django"].engine
    for path in sorted(one for one in (ROOT / "templates").rglob("*") if one.is_file()):
        template = engine.get_template(path.relative_to(ROOT / "templates").as_posix())
        for node in template.nodelist.get_nodes_by_type((TranslateNode, BlockTranslateNode)):
            context = node.message_context.resolve({}) if node.message_context else None
            if isinstance(node, TranslateNode):
                one = node.filter_expression.var.literal.replace("%", "%%")  # as Django asks
                yield short(path), one, None, context
                continue
            one, many = (node.render_token_list(tokens)[0] for tokens in (node.singular, node.plural))
            yield short(path), one, many or None, context


def short(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def brought_up_to_date(tongue: str, phrases: list[Said]) -> Catalog:
    """The catalogue of one tongue with exactly these phrases, and the words it had for them."""
    old = read(tongue)
    fresh = Catalog(locale=tongue, project="Sandtime", charset="utf-8")
    for said in phrases:
        key = (said.one, said.many) if said.many else said.one
        had = old.get(said.one, context=said.context)
        empty = ("", "") if said.many else ""
        words = had.string if had and isinstance(had.string, str) is isinstance(empty, str) else empty
        fresh.add(key, words, locations=[(path, None) for path in said.where], context=said.context)
    return fresh


def read(tongue: str) -> Catalog:
    path = po_of(tongue)
    if not path.exists():
        return Catalog(locale=tongue)
    with path.open("rb") as file:
        return read_po(file, locale=tongue)


def po_of(tongue: str, locale: Path = LOCALE) -> Path:
    return locale / tongue / "LC_MESSAGES" / "django.po"


def keep(tongue: str, catalogue: Catalog, locale: Path = LOCALE) -> None:
    """Both files of a catalogue.  No dates: what did not change gives the same bytes."""
    path = po_of(tongue, locale)
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as file:
        file.write(HEAD.format(tongue=tongue).encode())
        write_po(file, catalogue, width=120, omit_header=True)
    with path.open("rb") as file:
        path.with_suffix(".mo").write_bytes(compiled(tongue, read_po(file, locale=tongue)))


def compiled(tongue: str, catalogue: Catalog) -> bytes:
    """What Django reads of a catalogue; its head says nothing that another day or another Babel
    would say otherwise, and a phrase without words is left out, so that it is said in English."""
    bare = Bare(locale=tongue)
    for said in catalogue:
        if said.id and all([said.string] if isinstance(said.string, str) else said.string):
            bare[said.id] = said
    made = io.BytesIO()
    write_mo(made, bare)
    return made.getvalue()


class Bare(Catalog):
    @property
    def mime_headers(self) -> list[tuple[str, str]]:
        return [("Content-Type", "text/plain; charset=utf-8"), ("Plural-Forms", "nplurals=2; plural=(n != 1);")]


HEAD = """# Sandtime in another tongue.  `python -m tests.phrases` keeps it in step with what is said.
msgid ""
msgstr ""
"Language: {tongue}\\n"
"MIME-Version: 1.0\\n"
"Content-Type: text/plain; charset=utf-8\\n"
"Content-Transfer-Encoding: 8bit\\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\\n"

"""


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    django.setup()
    phrases = everything()
    for tongue in TONGUES:
        catalogue = brought_up_to_date(tongue, phrases)
        keep(tongue, catalogue)
        empty = sum(
            not any(one.string if isinstance(one.string, tuple) else [one.string]) for one in catalogue if one.id
        )
        sys.stdout.write(f"{tongue}: {len(phrases)} phrases, {empty} without words\n")


if __name__ == "__main__":
    main()
