/* The model in the phone: a module worker that runs the very Python files the server runs, under MicroPython.

   Owns the interpreter, the copy of the model's and the sheet's files inside it, and the last fit. Knows nothing of screens, of
   storage, or of when to use it: solver.js speaks to it with {id, ask, ...} and gets {id, answer} or {id, problem}.
   JSON goes in and out; MicroPython reads and writes doubles exactly, so nothing is lost on the way. */

import { loadMicroPython } from "../vendor/micropython.mjs";

const SOURCES = new URL("/py/", self.location.origin);
// Folders whose files are copied; those above them only need to be packages.
const FOLDERS = ["model", "book/sheet"];
const HEAP_BYTES = 24 * 1024 * 1024;

// Kept as text beside its caller: it only carries JSON across and turns every failure into a problem.
const GLUE = `
import gc, json, sys
sys.path.insert(0, "/py")
from bothends.book.sheet.fold import fold
from bothends.book.sheet.outcome import stages, timeline
from bothends.book.sheet.request import request
from bothends.model.problem import ModelProblem
from bothends.model.solve import Plan

_kept = []

def _guarded(work):
    try:
        return json.dumps({"answer": work()})
    except ModelProblem as problem:
        return json.dumps({"problem": {"code": problem.code, "path": problem.path, "detail": problem.detail}})
    except MemoryError:
        return json.dumps({"problem": {"code": "out-of-memory", "path": "$",
            "detail": "this phone ran out of memory for the plan; strike old readings or use the shop's server"}})
    finally:
        gc.collect()

def _solve(text):
    del _kept[:]
    _kept.append(Plan(json.loads(text)))
    return _kept[0].answer()

def _replan(text):
    asked = json.loads(text)
    if not _kept:
        raise ModelProblem("missing-reading", "$.log", "nothing has been planned on this phone yet; make a plan first")
    return _kept[0].answer(asked["target"], bool(asked.get("advice", True)))

def _sheets(text):
    out = []
    for asked in json.loads(text):
        sheet = fold(asked["job"], asked["entries"])
        out.append({"sheet": sheet, "request": request(sheet), "stages": stages(sheet), "timeline": timeline(sheet)})
    return out

def bridge_sheets(text):
    return _guarded(lambda: _sheets(text))

def bridge_solve(text):
    return _guarded(lambda: _solve(text))

def bridge_replan(text):
    return _guarded(lambda: _replan(text))
`;

let starting = null;

/** Fetch one file, with an error that says which. */
async function file(name, as) {
  const reply = await fetch(new URL(name, SOURCES));
  if (!reply.ok) throw new Error(`${name}: the server answered ${reply.status}`);
  return reply[as]();
}

/** The files of a folder: [[path below /py/bothends, text]]. */
async function folder(name) {
  const names = await file(`${name}/index.json`, "json");
  return Promise.all(names.map(async (one) => [`${name}/${one}`, await file(`${name}/${one}`, "text")]));
}

/** Load the interpreter, copy the model's and the sheet's files into it, import them once. */
async function start() {
  const [python, ...folders] = await Promise.all([
    loadMicroPython({ heapsize: HEAP_BYTES, pystack: 16384, stdout: (line) => console.debug(line) }),
    ...FOLDERS.map(folder),
  ]);
  const files = new Map([["__init__.py", ""], ...FOLDERS.flatMap(packages), ...folders.flat()]);
  for (const path of files.keys()) {
    if (path.endsWith("__init__.py")) python.FS.mkdirTree(`/py/bothends/${path.slice(0, -"__init__.py".length)}`);
  }
  for (const [path, text] of files) python.FS.writeFile(`/py/bothends/${path}`, text);
  python.runPython(GLUE);
  return { sheets: python.globals.get("bridge_sheets"), solve: python.globals.get("bridge_solve"), replan: python.globals.get("bridge_replan") };
}

/** Empty __init__.py of a folder and of those above it; a folder's own file takes its place. */
function packages(name) {
  const steps = name.split("/");
  return steps.map((_, i) => [`${steps.slice(0, i + 1).join("/")}/__init__.py`, ""]);
}

/** What went wrong outside the model, in the same shape as a problem of the model. */
function trouble(error) {
  const detail = String(error?.message ?? error).trim();
  return { code: "solver-failed", path: "$", detail: `the model on this phone failed: ${detail}` };
}

/** MicroPython writes NaN and infinity, which JSON does not know: that is a failure, never a number. */
function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    throw new Error("a result was not a finite number");
  }
}

self.addEventListener("message", async ({ data }) => {
  const { id, ask, payload } = data;
  try {
    starting ??= start();
    const python = await starting;
    if (ask === "warm") self.postMessage({ id, answer: true });
    else self.postMessage({ id, ...parsed(python[ask](JSON.stringify(payload))) });
  } catch (error) {
    self.postMessage({ id, problem: trouble(error) });
    // A start that failed (no network yet) is tried again at the next question.
    starting = starting && (await starting.then(() => starting, () => null));
  }
});
