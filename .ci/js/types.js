/* TypeScript over all JavaScript of web/, strictly. A file stands in untyped.json as long as it is not strict yet; none
   is ever added. An error in any other file fails, and so does a file on the list that has none any more:
   `npm run types:shrink` takes that off. */

import { spawnSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const here = (/** @type {string} */ name) => fileURLToPath(new URL(name, import.meta.url));
const LIST = here("untyped.json");
const TOP = /^(?:\.\.\/)*/;
const WHERE = /^([^\s(]+)\(\d+,\d+\): error /;

/** @type {string[]} */
const held = JSON.parse(readFileSync(LIST, "utf8"));
const done = spawnSync(process.execPath, [here("node_modules/tsc/bin/tsc"), "--project", here("tsconfig.json")], {
  cwd: here("."),
  encoding: "utf8",
  maxBuffer: 1 << 28,
});

/** What is wrong, by file; a line without a place goes on from the one before. */
const wrong = new Map();
let file = "";
for (const line of done.stdout.split("\n").filter(Boolean)) {
  const found = WHERE.exec(line);
  if (found) file = found[1].replace(TOP, "");
  else if (!line.startsWith(" ")) file = "";
  wrong.set(file, [...(wrong.get(file) ?? []), line]);
}

const broken = done.error || (done.status && !wrong.size) || / error TS1\d{3}: /.test(done.stdout);
if (process.argv.includes("--shrink")) {
  // Where a file cannot be read, TypeScript looks at no other: a list made of that would be empty.
  if (broken) throw new Error(`nothing was shrunk: ${done.error ?? (done.stdout || done.stderr)}`);
  const left = held.filter((name) => wrong.has(name));
  writeFileSync(LIST, `${JSON.stringify(left, null, 2)}\n`);
} else {
  const fresh = [...wrong].filter(([name]) => !held.includes(name)).flatMap(([, lines]) => lines);
  const strict = held.filter((name) => !wrong.has(name));
  for (const line of fresh) console.error(line);
  for (const name of strict) console.error(`${name} is strict now, or gone: take it off with npm run types:shrink`);
  if (broken) console.error(done.error ?? done.stderr);
  process.exitCode = fresh.length || strict.length || broken ? 1 : 0;
}
