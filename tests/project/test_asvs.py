"""The table in tests/asvs.md: every requirement of levels 1 and 2 of ASVS 5.0.0, answered once, by tests that exist."""

import ast
import re
from functools import cache

import pytest

from tests.conftest import ROOT

TABLE = (ROOT / "tests/asvs.md").read_text(encoding="utf-8")
STANDING = ("TEST", "DOC", "REASON", "N/A", "MISSING")  # what these name must be there
ANSWERS = (*STANDING, "COMING")
PARTS_AT_WORK = ()  # whose rows may say "COMING: part: tests" instead
NAMED = re.compile(r"`(tests/[\w/]+\.py)::(test_\w+)`")
HEADING = re.compile(r'\b((?:[a-z]+/)?[A-Z]+\.md) "([^"]+)"')
FILE = re.compile(r"\b(?:shop|timers|static|templates|tests)/[\w/.-]+\.(?:py|js|json|md|conf|yaml|txt)\b")


def wanted() -> dict[str, str]:
    """Every id of the standard, with its level."""
    rows = [line.split() for line in (ROOT / "tests/asvs_rows.txt").read_text().splitlines() if line[:1] != "#"]
    pairs = [(section, *one.split("/")) for section, *ones in rows for one in ones]
    return {f"{section.removesuffix(':')}.{number}": level for section, number, level in pairs}


def rows() -> list[tuple[list[str], str, str, str]]:
    """The rows of the table: ids and patterns of ids, levels, what is asked, the answer."""
    cells = [line.strip("|").split("|") for line in TABLE.splitlines() if line.startswith("| v5.0.0-")]
    assert all(len(row) == 4 for row in cells)
    parts = [[cell.strip() for cell in row] for row in cells]
    return [(ids.removeprefix("v5.0.0-").split(", "), level, asks, answer) for ids, level, asks, answer in parts]


def meant(said: str) -> list[str]:
    """The ids that one id or one pattern such as 10.* stands for."""
    whole = said.removesuffix("*")
    return [one for one in wanted() if one == said or (whole != said and one.startswith(whole))]


def ids_of(row) -> list[str]:
    return [one for said in row[0] for one in meant(said)]


@cache
def functions(path: str) -> set[str]:
    tree = ast.parse((ROOT / path).read_text(encoding="utf-8")) if (ROOT / path).is_file() else ast.Module([], [])
    return {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)}


def answers(*kinds: str):
    """Rows answered in one of these ways: (first id, answer)."""
    return [(row[0][0], row[3]) for row in rows() if row[3].partition(":")[0] in (kinds or ANSWERS)]


def test_the_standard_has_70_rows_of_level_1_and_183_of_level_2():
    levels = list(wanted().values())
    assert (levels.count("1"), levels.count("2"), len(levels)) == (70, 183, 253)


def test_every_row_of_the_standard_is_answered_once():
    answered = [one for row in rows() for one in ids_of(row)]
    assert sorted({one for one in answered if answered.count(one) > 1}) == []
    assert sorted(wanted().keys() - set(answered)) == []


def test_no_row_of_the_table_is_none_of_the_standard():
    assert [said for ids, *_ in rows() for said in ids if not meant(said)] == []


def test_a_row_says_the_levels_of_its_ids():
    for row in rows():
        assert row[1].split(", ") == sorted({wanted()[one] for one in ids_of(row)}), row[0]


def test_every_answer_begins_with_its_kind_and_says_something():
    for ids, _, asks, answer in rows():
        kind, _, words = answer.partition(":")
        assert kind in ANSWERS, ids
        assert len(words.strip()) >= 5, ids
        assert asks, ids


def test_the_tests_headings_and_files_that_an_answer_names_are_there():
    for row, answer in answers(*STANDING):
        assert [name for path, name in NAMED.findall(answer) if name not in functions(path)] == [], row
        for book, heading in HEADING.findall(answer):
            assert f"## {heading}" in (ROOT / book).read_text(encoding="utf-8").splitlines(), row
        assert [path for path in FILE.findall(answer) if not (ROOT / path).is_file()] == [], row


def test_an_answer_by_test_names_one_and_an_answer_by_a_text_its_place():
    assert [row for row, answer in answers("TEST") if not NAMED.search(answer)] == []
    assert [row for row, answer in answers("DOC") if not HEADING.search(answer)] == []


def test_only_parts_at_work_have_rows_that_are_coming():
    for row, answer in answers("COMING"):
        assert set(answer.split(":")[1].strip().split(", ")) <= set(PARTS_AT_WORK), row


@pytest.mark.parametrize("said", ["9.9.9", "18.*", "1.2.10"])
def test_an_id_that_is_none_or_of_level_3_would_be_found(said):
    assert meant(said) == []
