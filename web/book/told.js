/* What the server last said of itself, remembered for when there is none. */

import { recall } from "./base.js";

/** Whether the server that this page last met keeps a simulated book. */
export const simulated = async () => (await recall("simulated")) === true;

/** Where the shop's help page is, as its server last said; null where it has not. */
export const toldHelp = async () => (await recall("help")) ?? null;
