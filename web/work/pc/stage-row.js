/* A stage of a job as a row under the headings of the shop's tables, for where the shop does not answer. */

import { IN_STAGE } from "./stage-columns.js";

/** @import { Stage } from "../../types/sheet.d.ts" */
/** @import { Teardown } from "../../types/wire.d.ts" */

/** @param {any} value @param {number} [digits] */
const rounded = (value, digits) =>
  // The sum makes nought of a negative one.
  typeof value === "number" && digits !== undefined ? Number(value.toFixed(digits)) + 0 : value;

/**
 * What the stage says of the teardown; of the job it says nothing.
 * @param {Stage} stage
 * @returns {Omit<Teardown, "job" | "title" | "owner" | "car" | "car_key">}
 */
export const stageRow = (stage) =>
  /** @type {any} */ (
    Object.fromEntries(
      Object.entries(IN_STAGE).map(([name, { at, digits }]) => {
        const found = at.reduce((/** @type {any} */ inside, step) => inside?.[step] ?? null, stage);
        return [name, rounded(found, digits)];
      }),
    )
  );
