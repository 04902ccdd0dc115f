"""What runs on the phone runs on MicroPython: the model's files, and the sheet's, use nothing it lacks.

Read from the syntax tree, so that no phone is needed to find out. The browser's tests run the files for true.
"""

import ast
import functools
import itertools
from pathlib import Path

import pytest

import bothends

ROOT = Path(bothends.__file__).parent
FOLDERS = [folder for folder in (ROOT / "model", ROOT / "book" / "sheet") if folder.is_dir()]
FILES = sorted(path for folder in FOLDERS for path in folder.glob("**/*.py"))
LACKS_IN_MATH = {"cbrt", "comb", "dist", "exp2", "fma", "fsum", "gcd", "hypot", "lcm", "log1p", "nextafter",
                 "perm", "prod", "remainder", "sumprod", "ulp"}  # fmt: skip
LACKS_BUILT_IN = {"aiter", "anext", "ascii", "breakpoint", "copyright", "credits", "format", "vars"}


def identity(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


@functools.cache
def tree(path: Path) -> ast.Module:
    """A file's syntax tree."""
    return ast.parse(path.read_text(encoding="utf-8"))


def offenders(faults):
    """Every fault in every file, as file, line and words; ``faults`` yields (line, words) of a syntax tree."""
    return [
        f"{identity(path)}, line {line}: {words}"
        for path in FILES
        for line, words in faults(path, tree(path))
    ]


def test_no_dict_is_spread_into_another():
    def faults(_path, tree):
        for node in ast.walk(tree):
            if isinstance(node, ast.Dict) and None in node.keys:
                yield node.lineno, ast.unparse(node)[:60]

    assert offenders(faults) == []


def parent(path: Path) -> Path:
    return next(folder for folder in FOLDERS if folder in path.parents)


def test_the_files_that_go_to_the_phone_are_found():
    assert len([path for path in FILES if path.parent.name == "model"]) >= 15


LENT = ("bothends.model.fields", "bothends.model.teeth")
"""What of the model the sheet leans on: facts and whole-number arithmetic. Both packages lie under /py/bothends."""


def modules(node: ast.ImportFrom) -> list[str]:
    """The modules that a line may mean: ``from a.b import c`` is c of a.b, or the module a.b.c."""
    return [f"{node.module}.{alias.name}" for alias in node.names] + [str(node.module)]


def test_only_math_and_the_own_package_are_imported():
    def faults(path, tree):
        for node in ast.walk(tree):
            if isinstance(node, ast.Import) and [name.name for name in node.names] != ["math"]:
                yield node.lineno, ast.unparse(node)
            if isinstance(node, ast.ImportFrom) and node.level == 0:
                if parent(path).name != "sheet" or not set(modules(node)) & set(LENT):
                    yield node.lineno, f"{ast.unparse(node)}: of the model only {LENT}, and only by the sheet"
            elif isinstance(node, ast.ImportFrom):
                names = [node.module] if node.module else [alias.name for alias in node.names]
                own = all((parent(path) / (name.split(".")[0] + ".py")).is_file() for name in names)
                if node.level != 1 or not own:
                    yield node.lineno, f"{ast.unparse(node)}: only the own package, by a relative import"

    assert offenders(faults) == []


def test_no_module_imports_itself_in_a_circle():
    for folder in FOLDERS:
        needs = {}
        for path in folder.glob("*.py"):
            needs[path.stem] = set()
            for node in ast.walk(tree(path)):
                if isinstance(node, ast.ImportFrom) and node.level:
                    needs[path.stem] |= {node.module} if node.module else {alias.name for alias in node.names}
        done = set()
        while len(done) < len(needs):
            free = {name for name in needs if name not in done and needs[name] <= done}
            assert free, f"a circle among {sorted(set(needs) - done)} in {identity(folder)}"
            done |= free


def test_math_is_asked_only_for_what_micropython_has():
    lacks = {f"math.{name}" for name in LACKS_IN_MATH}

    def faults(path, tree):
        for node in ast.walk(tree):
            if isinstance(node, ast.Attribute) and ast.unparse(node) in lacks:
                yield node.lineno, ast.unparse(node)

    assert offenders(faults) == []


def test_no_syntax_is_used_that_micropython_lacks():
    assert offenders(lambda path, tree: _beyond_micropython(tree)) == []


def _beyond_micropython(tree):
    hints = _annotations(tree)
    for node in ast.walk(tree):
        at = getattr(node, "lineno", "?")
        if isinstance(node, ast.Match):
            yield at, "match"
        if isinstance(node, ast.TryStar):
            yield at, "except*"
        if isinstance(node, ast.AsyncFunctionDef | ast.AsyncFor | ast.AsyncWith):
            yield at, "async"
        if getattr(node, "type_params", None):
            yield at, "type parameters"
        if isinstance(node, ast.arguments) and node.posonlyargs:
            yield node.posonlyargs[0].lineno, "positional-only parameters"
        if isinstance(node, ast.ClassDef) and node.keywords:
            yield at, "metaclass or class keyword"
        if isinstance(node, ast.ClassDef) and node.decorator_list:
            yield at, "class decorator"
        if isinstance(node, ast.FormattedValue) and node.conversion not in (-1, ord("r"), ord("s")):
            yield at, "!a"
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            if node.func.id in ("zip", "sum", "round") and node.keywords:
                yield at, f"{node.func.id} with keywords"
            if node.func.id in LACKS_BUILT_IN:
                yield at, node.func.id
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.BitOr) and node not in hints:
            yield at, "a union or | outside an annotation"


def _annotations(tree):
    """The parts of annotations, which MicroPython reads over."""
    found = set()
    for node in ast.walk(tree):
        for hint in (getattr(node, "annotation", None), getattr(node, "returns", None)):
            if hint is not None:
                found.update(ast.walk(hint))
    return found


@pytest.mark.parametrize(
    "source",
    ["match x:\n case 1: pass", "try: pass\nexcept* OSError: pass", "async def f(): pass", "def f(a, /): pass",
     "class A(metaclass=B): pass", "@made\nclass A: pass", "f'{x!a}'", "zip(a, b, strict=True)", "sum(a, start=1)",
     "round(a, ndigits=1)", "vars(a)", "a | b", "x: int = a | b"],
)  # fmt: skip
def test_what_micropython_lacks_is_seen(source):
    assert len(list(_beyond_micropython(ast.parse(source)))) == 1
    assert list(_beyond_micropython(ast.parse("def f(x: int | None) -> int | None: return zip(x, x)"))) == []


def test_no_f_string_prints_its_own_expression():
    # f"{x=}" parses into a constant "x=" before the value: look for it in the text.
    def faults(path, tree):
        for node in ast.walk(tree):
            parts = node.values if isinstance(node, ast.JoinedStr) else []
            for before, after in itertools.pairwise(parts):
                words = str(before.value) if isinstance(before, ast.Constant) else ""
                if isinstance(after, ast.FormattedValue) and words.endswith(ast.unparse(after.value) + "="):
                    yield node.lineno, ast.unparse(node)

    assert offenders(faults) == []


def test_no_private_python_is_needed():
    def faults(path, tree):
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            for word in ("dataclass", "namedtuple", "__future__", "TYPE_CHECKING", "functools", "__slots__"):
                if word in line:
                    yield number, word

    assert offenders(faults) == []
