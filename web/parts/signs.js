/* The two keys that stand for plus and minus: tail down and tail up, each with its arrow as seen at that wheel. */

import { h, s } from "./dom.js";
import { choice, choose } from "./choice.js";

/** @import { Side } from "../types/sheet.d.ts" */

/**
 * A curved arrow: which way the arm swings. The tail is to the right on the left side, to the left on the right.
 * @param {Side} side
 * @param {boolean} down
 */
export function swing(side, down) {
  const flip = side === "right";
  const d = down ? "M8 9 Q27 10 27 30 M20 24 L27 31 L34 24" : "M8 31 Q27 30 27 10 M20 16 L27 9 L34 16";
  return s(
    "svg",
    {
      class: "swing",
      viewBox: "0 0 40 40",
      "aria-hidden": "true",
      "data-swing": down ? "down" : "up",
      "data-side": side,
    },
    s(
      "g",
      { transform: flip ? "translate(40 0) scale(-1 1)" : "translate(0 0)" },
      s("circle", { cx: 7, cy: 20, r: 4 }),
      s("path", { d }),
    ),
  );
}

/**
 * The pair of keys. `ways` in words; onturn(1 | -1). Arrows only where the ways are an arm's.
 * @param {{ ways: string[], side: Side, sign: number | null, onturn: (sign: number) => void }} of
 */
export function signKeys({ ways, side, sign, onturn }) {
  const arm = ways[0].startsWith("tail");
  const group = choice({
    name: "way",
    legend: `${ways[0]} or ${ways[1]}`,
    cls: "signs",
    options: [
      { value: "1", label: [arm ? swing(side, true) : null, ways[0]] },
      { value: "-1", label: [arm ? swing(side, false) : null, ways[1]] },
    ],
    chosen: sign === null ? null : String(sign),
    onchoose: (value) => onturn(Number(value)),
  });
  return { node: group, show: (/** @type {number | null} */ now) => choose(group, now === null ? null : String(now)) };
}
