/* Who wrote what, in words. */

export { MOST_NAME } from "../model/facts.js";

/** Somebody who was asked for a name and gave none. */
const NAMELESS = "reader without a name";

/**
 * The name of a writer; without one what the device is called.
 * @param {{ device: string, writer?: string | null }} by
 * @param {(device: string) => string} nameOf
 */
export const writerWords = ({ device, writer = null }, nameOf) =>
  writer === null ? nameOf(device) : writer || NAMELESS;

/**
 * A record with the name of its writer, as the fold says it (api/bothends/book/sheet/writers.py).
 * @template {{ device: string, writer?: string | null }} E
 * @param {E} entry
 * @param {{ writers: Record<string, string> }} sheet
 */
export const writtenBy = (entry, { writers }) => ({ ...entry, writer: entry.writer ?? writers[entry.device] ?? null });
