"""What each module of the model offers is listed, sorted, and complete."""

import ast
import functools
import importlib
import pkgutil
from pathlib import Path
from types import ModuleType

from bothends import model

NAMES = sorted(module.name for module in pkgutil.iter_modules(model.__path__))
PARTS = [name for name in NAMES if name != "bounds"]


def in_order(name: str) -> tuple:
    """Constants, then classes, then functions, each by name: the order the linter keeps."""
    return (0 if name.isupper() else 1 if name[0].isupper() else 2), name


@functools.cache
def tree(name: str) -> ast.Module:
    return ast.parse((Path(model.__path__[0]) / f"{name}.py").read_text(encoding="utf-8"))


@functools.cache
def borrowed() -> dict:
    """For each module, what its neighbours import from it."""
    out = {name: set() for name in NAMES}
    for name in NAMES:
        for node in ast.walk(tree(name)):
            if isinstance(node, ast.ImportFrom) and node.module in out:
                out[node.module] |= {alias.name for alias in node.names}
    return out


def part(name: str) -> ModuleType:
    return importlib.import_module(f"bothends.model.{name}")


def test_every_list_is_sorted_and_true():
    assert len(PARTS) > 70
    for name in PARTS:
        listed = part(name).__all__
        assert listed == sorted(listed, key=in_order), name
        assert len(set(listed)) == len(listed), name
        assert all(hasattr(part(name), item) for item in listed), name


def test_every_public_function_and_class_is_listed_or_private():
    for name in PARTS:
        defined = {one.name for one in tree(name).body if isinstance(one, ast.FunctionDef | ast.ClassDef)}
        public = {item for item in defined if not item.startswith("_")}
        assert public <= set(part(name).__all__), name


def test_what_neighbours_use_is_listed():
    for name in PARTS:
        used = borrowed()[name]
        assert not [item for item in used if item.startswith("_")], name
        assert used <= set(part(name).__all__), name


def test_bounds_are_in_order_and_a_default_lies_within_them():
    fields = importlib.import_module("bothends.model.fields")
    assert len(fields.FIELDS) > 60
    for field in fields.FIELDS:
        assert field.low < field.high, field.path
        assert field.default is None or field.low <= field.default <= field.high, field.path


def test_every_module_says_what_it_is():
    for name in NAMES:
        assert len(ast.get_docstring(tree(name)) or "") > 40, name
        for node in tree(name).body:
            if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
                assert ast.get_docstring(node), (name, node.name)
