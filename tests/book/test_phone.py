"""The sheet's files run under the phone's interpreter as they are, and come to the same."""

import json
import subprocess
from pathlib import Path

import hypothesis
import pytest

from book.pages import JOB, entry_lists
from bothends.book import sheet as folder
from bothends.book.sheet.fold import fold
from bothends.book.sheet.order import canonical
from bothends.book.sheet.outcome import stages, timeline
from bothends.book.sheet.request import request

TOP = Path(__file__).parents[2]
RUNNER = """
import fs from "node:fs";
import { loadMicroPython } from %(interpreter)s;
const input = JSON.parse(fs.readFileSync(0, "utf8"));
const python = await loadMicroPython({ heapsize: 16 * 1024 * 1024, stdout: () => {} });
for (const name of ["/py", "/py/sheet"]) python.FS.mkdir(name);
for (const [name, text] of Object.entries(input.files)) python.FS.writeFile(`/py/sheet/${name}`, text);
python.runPython(`
import json, sys
sys.path.insert(0, "/py")
from sheet.fold import fold
from sheet.request import request
from sheet.outcome import stages, timeline
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


def test_the_phone_and_the_shop_fold_the_same_sheets():
    logs = examples(60)
    files = {p.name: p.read_text(encoding="utf-8") for p in Path(folder.__file__).parent.glob("*.py")}
    interpreter = json.dumps((TOP / "web/vendor/micropython.mjs").as_uri())
    done = subprocess.run(
        ["node", "--input-type=module", "-e", RUNNER % {"interpreter": interpreter}],
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
def test_the_sheet_imports_nothing_from_outside_its_folder(path):
    for line in path.read_text(encoding="utf-8").splitlines():
        words = line.split()
        if words[:1] in (["import"], ["from"]) and not line.startswith(" "):
            assert words[0] == "from", line
            assert words[1].startswith("."), line
