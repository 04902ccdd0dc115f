/* A stage of a job as a row under the headings of the shop's tables, for where the shop does not answer. */

import { IN_STAGE } from "./stage-columns.js";

/** @import { Stage } from "../../types/sheet.d.ts" */
/** @import { Teardown } from "../../types/wire.d.ts" */

/**
 * What the stage says of the teardown; of the job it says nothing.
 * @param {Stage} stage
 * @returns {Omit<Teardown, "job" | "title" | "owner" | "car" | "car_key">}
 */
export const stageRow = (stage) =>
  /** @type {any} */ (
    Object.fromEntries(
      Object.entries(IN_STAGE).map(([name, steps]) => [
        name,
        steps.reduce((/** @type {any} */ found, step) => found?.[step] ?? null, stage),
      ]),
    )
  );
