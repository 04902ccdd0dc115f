/* The short numbers by which the shop calls its jobs, as its feed brought them. A job that never reached the shop has
   none. */

import { recall, remember } from "./base.js";

/** @import { Meta } from "../types/log.d.ts" */

/** @param {string} job @returns {keyof Meta & `number ${string}`} */
const nameOf = (job) => `number ${job}`;

/**
 * The job's number, null where none is known here.
 * @param {string} job
 */
export const numberHere = async (job) => (await recall(nameOf(job))) ?? null;

/**
 * Keep the number that the shop says of a job.
 * @param {string} job
 * @param {number} number
 */
export const noteNumber = (job, number) => remember(nameOf(job), number);

/**
 * The same in a transaction that is open; a shop of before says none.
 * @param {{ put: (value: number, key: keyof Meta & `number ${string}`) => Promise<unknown> }} meta
 * @param {Record<string, number>} [numbers]
 */
export async function noteNumbers(meta, numbers = {}) {
  for (const [job, number] of Object.entries(numbers)) await meta.put(number, nameOf(job));
}
