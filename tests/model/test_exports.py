"""What each module of the model offers is listed, sorted, and complete."""

import ast
import functools
import importlib
import pkgutil
from pathlib import Path

import pytest

from bothends import model

NAMES = sorted(module.name for module in pkgutil.iter_modules(model.__path__))
PARTS = [name for name in NAMES if name != "bounds"]


def in_order(name: str) -> tuple:
    """Constants, then classes, then functions, each by name: the order the linter keeps."""
    return (0 if name.isupper() else 1 if name[0].isupper() else 2), name


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


@pytest.mark.parametrize("name", PARTS)
def test_the_list_is_sorted_and_true(name):
    module = importlib.import_module(f"bothends.model.{name}")
    assert module.__all__ == sorted(module.__all__, key=in_order)
    assert len(set(module.__all__)) == len(module.__all__)
    assert all(hasattr(module, item) for item in module.__all__)


@pytest.mark.parametrize("name", PARTS)
def test_every_public_function_and_class_is_listed_or_private(name):
    module = importlib.import_module(f"bothends.model.{name}")
    defined = {
        node.name for node in tree(name).body if isinstance(node, ast.FunctionDef | ast.ClassDef)
    }  # fmt: skip
    public = {item for item in defined if not item.startswith("_")}
    assert public <= set(module.__all__), public - set(module.__all__)


@pytest.mark.parametrize("name", PARTS)
def test_what_neighbours_use_is_listed(name):
    module = importlib.import_module(f"bothends.model.{name}")
    used = borrowed()[name]
    assert not [item for item in used if item.startswith("_")]
    assert used <= set(module.__all__), used - set(module.__all__)


def test_bounds_are_in_order_and_a_default_lies_within_them():
    fields = importlib.import_module("bothends.model.fields")
    assert len(fields.FIELDS) > 60
    for field in fields.FIELDS:
        assert field.low < field.high, field.path
        assert field.default is None or field.low <= field.default <= field.high, field.path


@pytest.mark.parametrize("name", NAMES)
def test_every_module_says_what_it_is(name):
    assert len(ast.get_docstring(tree(name)) or "") > 40
    for node in tree(name).body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            assert ast.get_docstring(node), node.name
