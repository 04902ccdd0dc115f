"""What runs on the phone runs on MicroPython: the model's files, and the sheet's, use nothing it lacks.

Read from the syntax tree, so that no phone is needed to find out. The browser's tests run the files for true.
"""

import ast
from pathlib import Path

import pytest

import bothends

ROOT = Path(bothends.__file__).parent
FOLDERS = [folder for folder in (ROOT / "model", ROOT / "book" / "sheet") if folder.is_dir()]
FILES = sorted(path for folder in FOLDERS for path in folder.glob("**/*.py"))
LACKS_IN_MATH = {"cbrt", "comb", "dist", "exp2", "fma", "fsum", "gcd", "hypot", "lcm", "log1p", "nextafter",
                 "perm", "prod", "remainder", "sumprod", "ulp"}  # fmt: skip
LACKS_BUILT_IN = {"aiter", "anext", "ascii", "breakpoint", "copyright", "credits", "format", "vars"}
TYPES_ONLY = (ast.AnnAssign, ast.arg, ast.FunctionDef)


def identity(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def parent(path: Path) -> Path:
    return next(folder for folder in FOLDERS if folder in path.parents)


@pytest.fixture(params=FILES, ids=identity)
def path(request):
    return request.param


def test_the_files_that_go_to_the_phone_are_found():
    assert len([path for path in FILES if path.parent.name == "model"]) >= 15


LENT = ("bothends.model.fields", "bothends.model.teeth")
"""What of the model the sheet leans on: facts and whole-number arithmetic. Both packages lie under /py/bothends."""


def modules(node: ast.ImportFrom) -> list[str]:
    """The modules that a line may mean: ``from a.b import c`` is c of a.b, or the module a.b.c."""
    return [f"{node.module}.{alias.name}" for alias in node.names] + [str(node.module)]


def test_only_math_and_the_own_package_are_imported(path):
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            assert [name.name for name in node.names] == ["math"], ast.unparse(node)
        if isinstance(node, ast.ImportFrom) and node.level == 0:
            assert parent(path).name == "sheet", ast.unparse(node)
            assert set(modules(node)) & set(LENT), f"{ast.unparse(node)}: of the model only {LENT}"
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 1, f"{ast.unparse(node)}: only the own package, by a relative import"
            names = [node.module] if node.module else [alias.name for alias in node.names]
            for name in names:
                assert (parent(path) / (name.split(".")[0] + ".py")).is_file(), ast.unparse(node)


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


def test_math_is_asked_only_for_what_micropython_has(path):
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "math":
            assert node.attr not in LACKS_IN_MATH, f"math.{node.attr} at line {node.lineno}"


def test_no_syntax_is_used_that_micropython_lacks(path):
    for node in ast.walk(tree(path)):
        at = f"line {getattr(node, 'lineno', '?')}"
        assert not isinstance(node, ast.Match), f"match at {at}"
        assert not isinstance(node, ast.TryStar), f"except* at {at}"
        assert not isinstance(node, ast.AsyncFunctionDef | ast.AsyncFor | ast.AsyncWith), f"async at {at}"
        assert not getattr(node, "type_params", None), f"type parameters at {at}"
        if isinstance(node, ast.arguments):
            assert not node.posonlyargs, "positional-only parameters"
        if isinstance(node, ast.ClassDef):
            assert not node.keywords, f"metaclass or class keyword at {at}"
            assert not node.decorator_list, f"class decorator at {at}"
        if isinstance(node, ast.FormattedValue):
            assert node.conversion in (-1, ord("r"), ord("s")), f"!a at {at}"
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            keywords = {keyword.arg for keyword in node.keywords}
            assert not (node.func.id == "zip" and keywords), f"zip with keywords at {at}"
            assert not (node.func.id == "sum" and keywords), f"sum with keywords at {at}"
            assert not (node.func.id == "round" and keywords), f"round with keywords at {at}"
            assert node.func.id not in LACKS_BUILT_IN, f"{node.func.id} at {at}"
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.BitOr):
            assert _is_annotation(path, node), f"a union or | at {at} outside an annotation"


def _is_annotation(path: Path, wanted: ast.AST) -> bool:
    """Whether a node stands only in an annotation, which MicroPython reads over."""
    for node in ast.walk(tree(path)):
        hints = []
        if isinstance(node, ast.AnnAssign | ast.arg):
            hints.append(node.annotation)
        if isinstance(node, ast.FunctionDef):
            hints.append(node.returns)
        for hint in hints:
            if hint is None:
                continue
            for part in ast.walk(hint):
                if ast.dump(part) == ast.dump(wanted) and part.lineno == wanted.lineno:
                    return True
    return False


def test_no_f_string_prints_its_own_expression(path):
    # f"{x=}" parses into a constant "x=" before the value: look for it in the text.
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.JoinedStr):
            for before, after in zip(node.values, node.values[1:], strict=False):
                if isinstance(before, ast.Constant) and isinstance(after, ast.FormattedValue):
                    shown = ast.unparse(after.value)
                    assert not str(before.value).endswith(shown + "="), f"line {node.lineno}"


def test_no_private_python_is_needed(path):
    text = path.read_text(encoding="utf-8")
    for word in ("dataclass", "namedtuple", "__future__", "TYPE_CHECKING", "functools", "__slots__"):
        assert word not in text, word
