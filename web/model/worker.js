/* The model in the phone: a module worker that runs the very Python files the server runs, under MicroPython.

   Owns the interpreter, the copy of the model's and the sheet's files inside it, and the last fits. Knows nothing of
   screens, of storage, or of when to use it: solver.js speaks to it with {id, ask, ...} and gets {id, answer} or
   {id, problem}. JSON goes in and out; MicroPython reads and writes doubles exactly, so nothing is lost on the way. */

import { loadMicroPython } from "../vendor/micropython.mjs";

/** @import { Python } from "../vendor/micropython.mjs" */

/** @typedef {"cars" | "sheets" | "solve" | "replan" | "what_if"} Question */
/** @typedef {Record<Question | "tidy", (text?: string) => string> & { python: Python }} Model */

// Files of the model and of the sheet, as the server has them: {"model/solve.py": text, ...}; those of the bench, and
// of a car of two such axles, come with it.
const SOURCE = new URL("../py/source.json", import.meta.url);
const BENCH = new URL("../py/bench.json", import.meta.url);
const BOTH = new URL("../py/both.json", import.meta.url);
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
_bench = []

def _guarded(work):
    try:
        return json.dumps({"answer": work()})
    except ModelProblem as problem:
        return json.dumps({"problem": {"code": problem.code, "path": problem.path, "detail": problem.detail}})
    except MemoryError:
        return json.dumps({"problem": {"code": "out-of-memory", "path": "$",
            "detail": "this device ran out of memory for the plan; remove old readings or use the shop's server"}})

def _solve(text):
    del _kept[:]
    _kept.append(Plan(json.loads(text)))
    return _kept[0].answer()

def _replan(text):
    asked = json.loads(text)
    if not _kept:
        raise ModelProblem("missing-reading", "$.log", "nothing has been planned on this device yet; make a plan first")
    return _kept[0].answer(asked["target"], bool(asked.get("advice", True)))

def _what_if(text):
    # Seldom asked: its files are read when it is. The fitted car is kept for the next trial.
    from bothends.model.what_if import Bench
    asked = json.loads(text)
    request = json.dumps(asked["request"])
    if not _bench or _bench[0] != request:
        del _bench[:]
        _bench.extend([request, Bench(asked["request"])])
    return _bench[1].try_out(asked["change"])

def _sheets(text):
    out = []
    for asked in json.loads(text):
        sheet = fold(asked["job"], asked["entries"])
        out.append({"sheet": sheet, "request": request(sheet), "stages": stages(sheet), "timeline": timeline(sheet)})
    return out

def _cars(text):
    from bothends.book.sheet import identity
    jobs = []
    for asked in json.loads(text):
        numbers = (asked["chassis"], asked["plate"])
        jobs.append(identity.facts(asked["job"], asked["about"], asked["named"], numbers))
    found = identity.cars(jobs)
    out = []
    for job in jobs:
        key, by = found[job["job"]]
        out.append({"job": job["job"], "key": key, "by": by, "chassis": job["chassis"], "plate": job["plate"]})
    return out

def bridge_cars(text):
    return _guarded(lambda: _cars(text))

def bridge_sheets(text):
    return _guarded(lambda: _sheets(text))

def bridge_solve(text):
    return _guarded(lambda: _solve(text))

def bridge_replan(text):
    return _guarded(lambda: _replan(text))

def bridge_what_if(text):
    return _guarded(lambda: _what_if(text))

def bridge_tidy():
    gc.collect()
`;

/** @type {Promise<Model> | null} */
let starting = null;
/** Packs that came after the start, by address. @type {Map<string, Promise<void>>} */
const further = new Map();

/**
 * The files of a pack: path and text.
 * @param {URL} pack
 * @returns {Promise<[path: string, text: string][]>}
 */
async function source(pack) {
  const reply = await fetch(pack);
  if (!reply.ok) throw new Error(`${pack.pathname}: the server answered ${reply.status}`);
  return Object.entries(await reply.json());
}

/**
 * @param {Python} python
 * @param {[path: string, text: string][]} files
 */
const write = (python, files) => {
  for (const [path, text] of files) python.FS.writeFile(`/py/bothends/${path}`, text);
};

/**
 * Load the interpreter, copy the model's and the sheet's files into it, import them once.
 * @returns {Promise<Model>}
 */
async function start() {
  const [python, files] = await Promise.all([
    loadMicroPython({ heapsize: HEAP_BYTES, pystack: 16384, stdout: (line) => console.debug(line) }),
    source(SOURCE),
  ]);
  // Those above the folders only need to be packages.
  for (const folder of ["", "model/", "book/", "book/sheet/"]) {
    python.FS.mkdirTree(`/py/bothends/${folder}`);
    python.FS.writeFile(`/py/bothends/${folder}__init__.py`, "");
  }
  write(python, files);
  python.runPython(GLUE);
  const bridge = (/** @type {string} */ name) => python.globals.get(`bridge_${name}`);
  return {
    cars: bridge("cars"),
    sheets: bridge("sheets"),
    solve: bridge("solve"),
    replan: bridge("replan"),
    what_if: bridge("what_if"),
    tidy: bridge("tidy"),
    python,
  };
}

/**
 * Fetch a further pack, once; a fetch that failed is tried again at the next question.
 * @param {Python} python
 * @param {URL} pack
 */
function bring(python, pack) {
  const coming = further.get(pack.href) ?? source(pack).then((files) => write(python, files));
  further.set(pack.href, coming);
  return coming.catch((error) => {
    further.delete(pack.href);
    throw error;
  });
}

/**
 * What a question needs besides.
 * @param {string} ask
 * @param {any} payload
 */
function needs(ask, payload) {
  const asked = ask === "what_if" ? payload.request : payload;
  return [...(ask === "bench" || ask === "what_if" ? [BENCH] : []), ...(asked?.car?.other ? [BOTH] : [])];
}

/**
 * What went wrong outside the model, in the same shape as a problem of the model.
 * @param {unknown} error
 */
function trouble(error) {
  const detail = String(error instanceof Error ? error.message : error).trim();
  return { code: "solver-failed", path: "$", detail: `the model on this device failed: ${detail}` };
}

/**
 * MicroPython writes NaN and infinity, which JSON does not know: that is a failure, never a number.
 * @param {string} text
 */
function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    throw new Error("a result was not a finite number");
  }
}

self.addEventListener("message", async ({ data }) => {
  /** @type {{ id: number, ask: Question | "warm" | "bench", payload: unknown }} */
  const { id, ask, payload } = data;
  try {
    starting ??= start();
    const model = await starting;
    for (const pack of needs(ask, payload)) await bring(model.python, pack);
    if (ask === "warm" || ask === "bench") self.postMessage({ id, answer: true });
    else {
      self.postMessage({ id, ...parsed(model[ask](JSON.stringify(payload))) });
      // The next question goes four times as fast on a nearly empty heap; this one's answer need not wait for that.
      model.tidy();
    }
  } catch (error) {
    self.postMessage({ id, problem: trouble(error) });
    // A start that failed (no network yet) is tried again at the next question.
    const failed = await starting?.then(
      () => false,
      () => true,
    );
    if (failed) starting = null;
  }
});
