"""Scripts as tokens, as far as calls and their arguments need it: texts, names and signs; no comments, no spaces."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

PIECE = re.compile(
    r"""(?P<skip>\s+|//[^\n]*|/\*.*?\*/)"""
    r"""|(?P<text>"(?:\\.|[^"\\\n])*"|'(?:\\.|[^'\\\n])*')"""
    r"""|(?P<name>(?:[^\W\d]|\$)[\w$]*)|(?P<number>\d[\w.]*)|(?P<tick>`)|(?P<sign>\?\.|\.\.\.|=>|[^\w\s])""",
    re.DOTALL,
)
REGEX = re.compile(r"/(?:\\.|\[(?:\\.|[^\]\\\n])*\]|[^/\\\[\n])+/[a-z]*")
OF_TEMPLATE = re.compile(r"(?:\\.|\$(?!\{)|[^`\\$])*", re.DOTALL)
ESCAPED = re.compile(r"\\(.)")
BEFORE_REGEX = {"return", "typeof", "case", "of", "in", "await", "throw"}
OPENS, CLOSES = set("([{"), set(")]}")


@dataclass
class Token:
    """A piece of a script: `kind` is text, name, number, regex, template or sign."""

    kind: str
    said: str

    def is_sign(self, *signs: str) -> bool:
        return self.kind == "sign" and self.said in signs

    def plain(self) -> str:
        """What a text says."""
        return ESCAPED.sub(lambda found: {"n": "\n"}.get(found[1], found[1]), self.said[1:-1])


@dataclass
class Call:
    """A call of a function by its bare name, each argument as its tokens."""

    name: str
    args: list[list[Token]]


def calls(script: str, names: set[str]) -> Iterator[Call]:
    """Calls of some functions, also those within templates and other calls; not where a function is made."""
    found = tokens(script)
    for at, token in enumerate(found[:-1]):
        before = found[at - 1] if at else Token("sign", ";")
        made = before.is_sign(".", "?.") or before == Token("name", "function")
        if token.kind == "name" and token.said in names and found[at + 1].is_sign("(") and not made:
            yield Call(token.said, arguments(found[at + 1 :]))


def arguments(rest: list[Token]) -> list[list[Token]]:
    """What stands between a bracket and its end, taken apart at the commas that no other bracket holds."""
    parts: list[list[Token]] = [[]]
    depth = 0
    for token in rest:
        depth -= token.kind == "sign" and token.said in CLOSES
        if depth == 0 and token.kind == "sign" and token.said in CLOSES:
            break
        if depth == 1 and token.is_sign(","):
            parts.append([])
        elif depth:
            parts[-1].append(token)
        depth += token.kind == "sign" and token.said in OPENS
    return [part for part in parts if part]


def tokens(script: str) -> list[Token]:
    found: list[Token] = []
    at, holes = 0, [0]  # of each template that is open: how many brackets its hole has open; the script itself is first
    while at < len(script):
        if script[at] == "}" and len(holes) > 1 and holes[-1] == 0:
            holes.pop()
            found.append(Token("sign", "}"))
            at = _template(script, at + 1, found, holes)
        elif (
            script[at] == "/"
            and _begins_regex(found)
            and (piece := REGEX.match(script, at))
            and piece[0][1] not in "/*"
        ):
            found.append(Token("regex", piece[0]))
            at = piece.end()
        else:
            at = _piece(script, at, found, holes)
    return found


def _piece(script: str, at: int, found: list[Token], holes: list[int]) -> int:
    piece = PIECE.match(script, at)
    if piece.lastgroup == "tick":
        return _template(script, piece.end(), found, holes)
    if piece.lastgroup != "skip":
        found.append(Token(piece.lastgroup, piece[0]))
        holes[-1] += (piece[0] == "{") - (piece[0] == "}")
    return piece.end()


def _template(script: str, at: int, found: list[Token], holes: list[int]) -> int:
    """The text of a template up to its end or its next hole, which is read as script."""
    text = OF_TEMPLATE.match(script, at)
    found.append(Token("template", text[0]))
    if script.startswith("${", text.end()):
        found.append(Token("sign", "{"))
        holes.append(0)
        return text.end() + 2
    return text.end() + 1


def _begins_regex(found: list[Token]) -> bool:
    last = found[-1] if found else Token("sign", ";")
    if last.kind == "name":
        return last.said in BEFORE_REGEX
    return last.kind == "sign" and last.said not in (")", "]", "}")
