"""Comments go from what phones load, code stays to the letter."""

from shop.shell import bundle
from tests.support.each import each

STAYS = [
    "const a = b / c; // a division before it",
    "const told = /^x // y$/.test(z); // a pattern",
    'const at = "http://localhost"; x();',
    'say("a // b");',
    "say(`a // b`);",
    "say(`${x ? `b // c` : 1} d`);",
    "it's // not code",
]
GOES = {
    "const a = 1; // why": "const a = 1;",
    "  // a line of its own": "",
    'say("a\\"b // c", \'d\', `e`); // why': 'say("a\\"b // c", \'d\', `e`);',
    "const b = [ // a list": "const b = [",
    "/** A block. */": "",
}


@each("line", STAYS)
def test_what_may_be_no_comment_stays(line):
    assert bundle.minify(line) == line


@each("line", GOES)
def test_a_comment_goes(line):
    assert bundle.minify(line) == GOES[line]


def test_the_sheet_has_no_line_that_ends_where_none_need_end():
    assert ";\n" not in bundle.build()[bundle.SHEET]
