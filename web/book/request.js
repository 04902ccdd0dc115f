/* From a solve request (a demo job, a file of the command line) to the entries of a job. The way back is the sheet's
   own. */

/** @import { Body, Item } from "../types/log.d.ts" */
/** @import { JobBody, SolveRequest } from "../types/wire.d.ts" */

/**
 * The entries of a request, for `append`; `about` is the body of the job's card, or its title.
 * @param {Partial<SolveRequest>} request
 * @param {JobBody | string} about
 * @returns {Item[]}
 */
export function itemsOf(request, about) {
  /** @type {Item[]} */
  const items = [
    ["job", typeof about === "string" ? { title: about } : about],
    ["car", /** @type {Body} */ (request.car)],
    ["target", /** @type {Body} */ (request.target)],
  ];
  for (const { kind, ...body } of request.log ?? []) items.push([kind, body]);
  return items;
}
