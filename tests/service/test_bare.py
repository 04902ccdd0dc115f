"""Source without comments and docstrings is the same program, line by line."""

import ast
import io
import re
import tokenize
from pathlib import Path

import pytest

from bothends.service.site import places
from bothends.service.site.bare import bare, bare_page

SENT = sorted([*places.MODEL.glob("*.py"), *places.SHEET.glob("*.py")])
HARD = {
    "a string that is used": 'A = "# no comment"\nB = ("one"\n     # said\n     "two")\nC = f"{A} # {B}"\n',
    "a class of nothing but words": 'class Odd(Exception):\n    """More\n    than one line."""\n\n\nA = 1\n',
    "words alone under a branch": 'if A:\n    "one"\n    "two"\nelse:\n    """three"""\n    B = 2\n',
    "words before something on the same line": 'def two():\n    "Says two."; return 2\n',
    "a comment after words": 'A = 1\n"""of A\n"""  # more\nB = 2  # of B\n',
    "wide letters before a comment": 'A = "±µ"  # ±\nB = "é"; C = 1  # é\n',
    "a type over two lines": "def two(\n    a: int,\n) -> (\n    int\n):\n    return a\n",
    "a slice after an arrow": "def two(a: list) -> list:\n    return a[1:2]\n",
    "only words": '"""Only words."""\n',
    "no end of line": "def two():\n    return 2  # two",
}


class Wordless(ast.NodeTransformer):
    """Takes out strings that are statements of their own, where a body of nothing else passes, and types of what a
    function returns.
    """

    def generic_visit(self, node):
        super().generic_visit(node)
        if getattr(node, "body", None) == [] and not isinstance(node, ast.Module):
            node.body = [ast.Pass()]
        return node

    def visit_FunctionDef(self, node):
        node.returns = None
        return self.generic_visit(node)

    def visit_Expr(self, node):
        said = isinstance(node.value, ast.Constant) and isinstance(node.value.value, str)
        return None if said else node


def places_of(tree: ast.AST) -> list[tuple[type, int]]:
    """Everything in a program and its line; what only fills an empty body has none in one of the two."""
    nodes = [node for node in ast.walk(tree) if not isinstance(node, ast.Pass)]
    return [(type(node), node.lineno) for node in nodes if hasattr(node, "lineno")]


def same_program(source: str, sent: str) -> None:
    wanted, found = Wordless().visit(ast.parse(source)), Wordless().visit(ast.parse(sent))
    assert ast.dump(found) == ast.dump(wanted)
    assert places_of(found) == places_of(wanted)
    assert len(sent.splitlines()) == len(source.splitlines())


@pytest.mark.slow
def test_every_file_that_a_phone_runs_is_the_same_program_bare():
    assert len(SENT) > 90
    documented = (ast.Module, ast.FunctionDef, ast.ClassDef)
    for path in SENT:
        source = path.read_text(encoding="utf-8")
        sent = bare(source)
        same_program(source, sent)
        kinds = {token.type for token in tokenize.generate_tokens(io.StringIO(sent).readline)}
        assert tokenize.COMMENT not in kinds, path
        nodes = [node for node in ast.walk(ast.parse(sent)) if isinstance(node, documented)]
        assert not any(map(ast.get_docstring, nodes)), path


@pytest.mark.parametrize("source", HARD.values(), ids=HARD)
def test_what_is_hard_to_tell_from_words_stays(source):
    same_program(source, bare(source))


OURS = sorted(
    path
    for path in places.web().rglob("*")
    if path.suffix in (".js", ".css") and not {"vendor", "types"} & set(path.parts)
)


def page_keeps_its_lines(path: Path) -> None:
    source = path.read_text(encoding="utf-8").split("\n")
    sent = bare_page("\n".join(source)).split("\n")
    assert len(sent) == len(source), path
    within = False
    for line, kept in zip(source, sent, strict=True):
        text = line.strip()
        if not within and not text.startswith(("//", "/*")):
            # Inside a template a type stays: nothing there is taken for a comment.
            assert kept == line or kept == re.sub(r"/\*\* @type .*?\*/ ?", "", line), path
            continue
        within = "*/" not in text and (within or text.startswith("/*"))
        # A type at the start of a line has code after it.
        assert kept.strip() in ("", text.split("*/", 1)[-1].strip()), path
    assert not re.search(r"^\s*(//|/\*)", "\n".join(sent), re.MULTILINE), path


def test_every_page_that_a_phone_gets_keeps_its_lines_but_those_of_comments():
    assert len(OURS) > 350
    for path in OURS:
        page_keeps_its_lines(path)
