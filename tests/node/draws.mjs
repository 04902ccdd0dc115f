/* Numbers drawn at random, the same in every run: what holds for all of them is tried on many. */

/**
 * Call `work(draw)` so many times, `draw` with a seed of its own each time; an error says which seed it was.
 * @param {number} times
 * @param {(draw: ReturnType<typeof from>) => void} work
 */
export function forMany(times, work) {
  for (let seed = 1; seed <= times; seed += 1) {
    try {
      work(from(seed));
    } catch (error) {
      error.message = `seed ${seed}: ${error.message}`;
      throw error;
    }
  }
}

/**
 * Draws from a seed (mulberry32, a published 32-bit generator).
 * @param {number} seed
 */
export function from(seed) {
  let state = seed;
  const next = () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
  const between = (low, high) => low + (high - low) * next();
  const whole = (low, high) => Math.floor(between(low, high + 1));
  const one = (list) => list[whole(0, list.length - 1)];
  const text = () => Array.from({ length: whole(0, 12) }, () => one([..."ab \"\\/é漢😀\u0000\u2028'{}[],:"])).join("");
  /** Any JSON, so deep at most. */
  const json = (deep) => {
    const kind = whole(0, deep > 0 ? 7 : 5);
    if (kind === 6) return Array.from({ length: whole(0, 3) }, () => json(deep - 1));
    if (kind === 7) return Object.fromEntries(Array.from({ length: whole(0, 3) }, () => [text(), json(deep - 1)]));
    return [null, next() < 0.5, whole(-(2 ** 53), 2 ** 53), between(-1e15, 1e15), text(), between(-1, 1)][kind];
  };
  return { between, whole, one, text, json, chance: () => next() < 0.5 };
}
