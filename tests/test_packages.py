"""The layers of the Python hold: model below book below service, and inside service only downwards; no cycles."""

import ast
import functools
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1] / "api"

LAYERS: dict[str, tuple[str, ...]] = {
    "model": (),
    "book": ("model",),
    "service": ("book", "model"),
}
"""What a module of each layer may import besides its own; the package itself only says its version."""
PARTS: dict[str, tuple[str, ...]] = {
    "settings": (),
    "qr": (),
    "http": (),
    "wire": (),
    "lan": (),
    "solver": ("http", "wire"),
    "site": ("http", "settings"),
    "plan_text": ("wire",),
    "api": ("http", "qr", "settings", "site", "solver", "wire"),
    "app": ("api", "http", "settings", "site"),
    "console": ("lan", "qr"),
    "serving": ("app", "console", "http", "lan", "settings"),
    "cli": ("api", "console", "http", "lan", "plan_text", "serving", "settings", "site", "wire"),
    "command": ("api", "app", "cli", "lan"),
    "precache": ("settings", "site"),
}
"""The folders and modules directly in service/, lowest first, and what each may import besides itself."""


def name_of(path: Path) -> str:
    """A module's full name."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


FILES = {name_of(path): path for path in sorted((ROOT / "bothends").rglob("*.py"))}


def imported(name: str, source: str) -> set[str]:
    """Modules of ours that a source imports, at its head or when it is needed, relative names resolved."""
    found: set[str] = set()
    package = name if FILES.get(name, Path()).name == "__init__.py" else name.rpartition(".")[0]
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = package.split(".")[: len(package.split(".")) - node.level + 1] if node.level else []
            module = ".".join([*base, *([node.module] if node.module else [])])
            for alias in node.names:
                inner = f"{module}.{alias.name}"
                found.add(inner if inner in FILES else module)
    return {one for one in found if one in FILES} - {name}


@functools.cache
def imports() -> dict[str, set[str]]:
    """What each module of ours imports of ours."""
    return {name: imported(name, path.read_text(encoding="utf-8")) for name, path in FILES.items()}


def layer(name: str) -> str:
    """The folder in bothends/ that a module belongs to; "" for the package itself."""
    return [*name.split("."), ""][1]


def part(name: str) -> str:
    """The folder or module in service/ that a module belongs to; "" outside of it and for service itself."""
    steps = name.split(".")
    return steps[2] if len(steps) > 2 and steps[1] == "service" else ""


def wrong(of, may: dict[str, tuple[str, ...]]) -> list[str]:
    """Imports from one of ``may``'s keys to another that it does not list."""
    return [
        f"{name} imports {target}"
        for name, targets in imports().items()
        for target in sorted(targets)
        if of(name) and of(target) and of(target) not in (of(name), *may[of(name)])
    ]


@pytest.mark.parametrize("table", [LAYERS, PARTS], ids=["layers", "parts of service"])
def test_what_may_be_imported_stands_lower_in_the_order(table):
    order = list(table)
    for name, may in table.items():
        assert all(order.index(one) < order.index(name) for one in may), name


def test_every_module_belongs_to_a_layer_and_to_a_part_of_service():
    assert {layer(name) for name in FILES} - {""} - {"demo"} == set(LAYERS)
    assert {part(name) for name in FILES} - {""} == set(PARTS)


def test_model_imports_nothing_of_ours_and_book_never_imports_service():
    assert not wrong(layer, LAYERS)


def test_inside_service_imports_lead_only_downwards():
    assert not wrong(part, PARTS)


def test_no_part_of_service_may_import_what_it_does_not_need():
    needed = {
        (part(name), part(target)) for name, targets in imports().items() for target in targets if part(name)
    }
    assert {(name, one) for name, may in PARTS.items() for one in may} <= needed


def test_packages_keep_their_heads_empty():
    # What stood in an __init__ would be imported with every module beside it.
    assert not [name for name, path in FILES.items() if path.name == "__init__.py" and imports()[name]]


def test_no_module_imports_itself_by_way_of_others():
    done: set[str] = set()

    def walk(name: str, way: tuple[str, ...]) -> None:
        assert name not in way, " imports ".join([*way[way.index(name) :], name])
        if name not in done:
            for target in sorted(imports()[name]):
                walk(target, (*way, name))
            done.add(name)

    for name in FILES:
        walk(name, ())


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ("from ..http.problems import Refusal", {"bothends.service.http.problems"}),
        ("from . import jobs, access", {"bothends.service.api.jobs", "bothends.service.api.access"}),
        ("from ..wire import entry", {"bothends.service.wire.entry"}),
        ("from bothends.book import log", {"bothends.book.log"}),
        ("def late():\n    import bothends.service.app", {"bothends.service.app"}),
        ("import http", set()),
    ],
)
def test_imports_are_found_however_they_are_written(source, found):
    assert imported("bothends.service.api.links", source) == found
