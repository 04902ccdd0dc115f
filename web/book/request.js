/* Between the logbook and the solver: a sheet becomes a solve request, a request (a demo job) becomes entries.

   Also says which entry stands at which place of the request's log, so that a problem or a doubt about `$.log[3]`
   leads back to what was written. */

/** Loads and travel come as pairs in the request; here either side may be missing. */
function carOf(car) {
  const out = structuredClone(car);
  const { left, right } = out.load_kg ?? {};
  if (left === undefined && right === undefined) delete out.load_kg;
  else out.load_kg = { left: left ?? right, right: right ?? left };
  return out;
}

/** {request, ids}: the solve request of a sheet, and the entry id of each place in its log. */
export function requestOf(sheet) {
  const log = [];
  const ids = [];
  for (const { id, at, ...reading } of sheet.readings) {
    log.push({ kind: "reading", ...reading });
    ids.push(id);
  }
  for (const { id, at, ...move } of sheet.moves) {
    log.push({ kind: "move", ...move });
    ids.push(id);
  }
  return { request: { car: carOf(sheet.car), target: { ...sheet.target }, log }, ids };
}

/** The entries of a request, as [kind, body] pairs for `append`. */
export function itemsOf(request, title) {
  const items = [["job", { title }], ["car", request.car], ["target", request.target]];
  for (const { kind, ...body } of request.log ?? []) items.push([kind, body]);
  return items;
}
