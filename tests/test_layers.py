"""The page's layers hold: what each folder of web/ imports, who touches network and document, no cycles."""

import posixpath
import re
from pathlib import Path

import pytest

WEB = Path(__file__).resolve().parents[1] / "web"
IMPORT = re.compile(r"""(?:\bfrom|\bimport)\s*(\(?)\s*["'](\.{1,2}/[^"']+)["']""")
COMMENT = re.compile(r"/\*.*?\*/|(?<![:\"'`\w])//[^\n]*", re.DOTALL)
OUTSIDE = re.compile(
    r"(?<![\w$.])(?:globalThis\.)?"
    r"(?:document|window|navigator|location|history|indexedDB|localStorage|sessionStorage|caches)\s*(?:\?\.|[.\[(])"
)
NETWORK = re.compile(
    r"(?<![\w$.])(?:globalThis\.)?(?:fetch|XMLHttpRequest|WebSocket|EventSource)\s*\(|sendBeacon\("
)

ALLOWED = {
    "work": ("work", "model/facts.js"),
    "model": ("model", "vendor"),
    "book": ("book", "model", "work", "vendor"),
    "shop": ("shop", "book", "model", "work"),
    "parts": ("parts", "work", "vendor"),
    "context": ("context", "shop", "book", "model", "work"),
    "screens": ("work", "parts"),
}
"""What a module of each folder may import: a folder, or one module of it. A screen also has the parts of itself."""
SCRIPTS = ("sw.js", "visit.js")
"""Not modules: the service worker, and what the page runs before it draws anything."""
WIRING = ("app.js", "frame.js")
"""These two know every layer and put them together."""
ASKS = ("shop/client.js", "shop/pc/copy-check.js", "sw.js", "model/worker.js")
"""Who asks the network: the one client of the API, the look at a public copy, the service worker, and the model for
its own files."""


def modules() -> dict[str, str]:
    """Every module of the page by its path below web/, without comments; vendored ones are left out."""
    names = sorted(path.relative_to(WEB).as_posix() for path in WEB.rglob("*.js"))
    return {
        name: COMMENT.sub("", (WEB / name).read_text(encoding="utf-8"))
        for name in names
        if not name.startswith("vendor/") and name != "assets.js"
    }


MODULES = modules()


def imports(name: str, *, lazily: bool = True) -> list[str]:
    """What a module imports, as paths below web/; with what it fetches when wanted, unless that is left out."""
    return [
        posixpath.normpath(posixpath.join(posixpath.dirname(name), target))
        for called, target in IMPORT.findall(MODULES[name])
        if lazily or not called
    ]


def layer(name: str) -> str:
    """The folder a module belongs to; the context's own module stands beside its folder."""
    return "context" if name == "context.js" else name.split("/", 1)[0]


def of_one_screen(one: str, other: str) -> bool:
    """Whether two modules draw one screen: the first word of their names is its own."""
    first, second = (posixpath.basename(name).removesuffix(".js").split("-")[0] for name in (one, other))
    return first == second


def may(name: str, target: str) -> bool:
    """Whether a module may import another."""
    if name in WIRING:
        return True
    if layer(name) == layer(target) == "screens":
        return of_one_screen(name, target)
    return any(target == one or target.startswith(f"{one}/") for one in ALLOWED[layer(name)])


def test_every_module_stands_in_a_layer_and_imports_what_is_there():
    for name in MODULES:
        assert name in (*WIRING, *SCRIPTS) or layer(name) in ALLOWED, f"{name}: no layer of that name"
        for target in imports(name):
            assert (WEB / target).is_file(), f"{name} imports {target}, which is not there"


def test_a_module_imports_only_what_its_layer_may():
    wrong = [
        f"{name} imports {target}" for name in MODULES for target in imports(name) if not may(name, target)
    ]
    assert not wrong, "\n".join(wrong)


def test_a_screen_gets_log_model_and_shop_from_its_context_alone():
    for name in MODULES:
        if layer(name) in ("screens", "parts"):
            assert not {layer(target) for target in imports(name)} & {"book", "model", "shop", "context"}, (
                name
            )


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("screens/plan.js", "screens/plan-side.js", True),
        ("screens/plan-front.js", "screens/plan-folds.js", True),
        ("screens/open.js", "screens/shop/open-look.js", True),
        ("screens/plan.js", "screens/reading.js", False),
        ("screens/list.js", "screens/plan-list.js", False),
    ],
)
def test_modules_of_one_screen_are_told_by_their_names(one, other, same):
    assert of_one_screen(one, other) is same


def test_no_module_imports_itself_by_way_of_others():
    done: set[str] = set()

    def walk(name: str, way: list[str]) -> None:
        assert name not in way, " imports ".join([*way[way.index(name) :], name])
        if name in done or name not in MODULES:
            return
        for target in imports(name):
            walk(target, [*way, name])
        done.add(name)

    for name in MODULES:
        walk(name, [])


def test_what_decides_touches_neither_document_nor_storage_nor_network():
    for name, text in MODULES.items():
        if layer(name) == "work":
            found = OUTSIDE.search(text) or NETWORK.search(text)
            assert not found, f"{name}: {found.group() if found else ''}"


def test_one_module_asks_the_network_for_the_api():
    asking = {name for name, text in MODULES.items() if NETWORK.search(text)}
    assert asking == set(ASKS)


def test_only_the_wiring_knows_screens():
    for name in MODULES:
        if layer(name) != "screens" and name not in WIRING:
            assert "screens" not in {layer(target) for target in imports(name)}, name
