/* A job's sheet: a pure fold over its entries. Draws nothing, stores nothing.

   `job` and `car` and `target` entries add to what earlier ones said (null takes a value back); `strike` takes an
   entry out, whether it comes before or after it; readings and moves keep their entry's id so that they can be
   opened, changed (struck and written anew) or struck. */

/** Deep merge of plain objects; a null removes. */
function merged(into, from) {
  const out = { ...into };
  for (const [name, value] of Object.entries(from)) {
    if (value === null) delete out[name];
    else if (typeof value === "object" && !Array.isArray(value)) out[name] = merged(out[name] ?? {}, value);
    else out[name] = value;
  }
  return out;
}

/** The sheet of a list of entries. */
export function fold(entries) {
  const struck = new Set(entries.filter((e) => e.kind === "strike").map((e) => e.body.entry));
  const sheet = { title: "", car: {}, target: {}, readings: [], moves: [], struck: [] };
  for (const { id, kind, body, at } of entries) {
    if (struck.has(id)) {
      if (kind === "reading" || kind === "move") sheet.struck.push({ id, kind, at, ...body });
    } else if (kind === "job") Object.assign(sheet, { title: body.title ?? sheet.title, owner: body.owner ?? sheet.owner });
    else if (kind === "car") sheet.car = merged(sheet.car, body);
    else if (kind === "target") sheet.target = merged(sheet.target, body);
    else if (kind === "reading") sheet.readings.push({ id, at, ...body });
    else if (kind === "move") sheet.moves.push({ id, at, ...body });
  }
  sheet.moves.sort((a, b) => a.teardown - b.teardown);
  sheet.teardowns = sheet.moves.length;
  return sheet;
}

/** The value at a path of names inside an object, or undefined. */
export const at = (object, path) => path.reduce((inner, name) => inner?.[name], object);

/** An object holding one value at a path: the body of a `car` or `target` entry. */
export const body = (path, value) => path.reduceRight((inner, name) => ({ [name]: inner }), value);

/** A pose as one word, so that readings of the same pose can be found. */
export function poseKey(pose = {}) {
  const parts = [pose.hanging ? "hanging" : ""];
  for (const what of ["board", "ballast"]) {
    for (const side of ["left", "right"]) parts.push(pose[`${what}_${side}_${what === "board" ? "mm" : "kg"}`] || 0);
  }
  return parts.join("/");
}

/** Readings of one kind (side, pose, teardown optional). */
export function readingsOf(sheet, { what, side, pose, teardown }) {
  return sheet.readings.filter(
    (r) =>
      r.what === what &&
      (side === undefined || r.side === side) &&
      (pose === undefined || poseKey(r.pose) === poseKey(pose)) &&
      (teardown === undefined || (r.teardown ?? 0) === teardown),
  );
}
