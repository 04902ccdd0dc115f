/* The model's own table of bounds, read from its Python source, so that a slip is told at its field at once.

   There is one table only (api/bothends/model/bounds.py); this reads the plain lines `NAME = (low, high)` of the
   file as the server hands it out. Where it cannot be had, nothing is checked here: server and worker still do. */

const LINE = /^([A-Z_]+) = \((-?[\d.]+), (-?[\d.]+)\)$/gm;
let table = null;

/** Fetch the table once; resolves to it, empty where it cannot be had. */
export async function loadBounds() {
  if (table) return table;
  try {
    const reply = await fetch("/py/model/bounds.py");
    const found = {};
    if (reply.ok) for (const [, name, low, high] of (await reply.text()).matchAll(LINE)) found[name] = [Number(low), Number(high)];
    table = found;
  } catch {
    return {};
  }
  return table;
}

/** What is wrong with a value for people, or "" where nothing is known to be; `words(number)` where the unit is not enough. */
export function outside(name, value, unit, words = (number) => `${number}${unit}`) {
  const limits = table?.[name];
  if (!limits || (value >= limits[0] && value <= limits[1])) return "";
  const low = words(limits[0]).endsWith(`${limits[0]}${unit}`) ? limits[0] : words(limits[0]);
  return `Expected between ${low} and ${words(limits[1])}, got ${words(value)}. Read again, or check the unit.`;
}
