/* What the drawing shows while a reading is typed: which tool lies where, and how far the arm or body has moved. */

import { readingsOf } from "../work/sheet.js";
import { angle, plain } from "../work/numbers.js";
import { READINGS, nameOf, whereOf } from "../work/readings.js";

/** The state of a side-view for a reading being typed. */
export function pictureOf({ ctx, what, side, pose, how, active, arm, datum }) {
  const kind = READINGS[what];
  const hanging = pose?.hanging && what !== "hanging-angle";
  const state = {
    side,
    mode: kind.mode,
    wheelOff: hanging,
    board: pose?.[`board_${side}_mm`] ?? 0,
    words: `${nameOf({ what, side, pose })}: ${whereOf({ what, pose })}`,
  };
  if (!kind.signed) {
    const wanted = ctx.sheet.target[`${side}_mm`];
    const usual = readingsOf(ctx.sheet, { what, side }).at(-1)?.value;
    const size = arm.size();
    const from = what === "body-height" ? (wanted ?? usual ?? 230) : (usual ?? size ?? 0);
    return {
      ...state,
      wanted: what === "body-height" && wanted !== undefined ? 0 : undefined,
      drawn: size === null ? 0 : what === "wheel-load" ? 0 : size - from,
      reading: size === null ? "" : plain(size, Number.isInteger(size) ? 0 : 1) + kind.unit,
    };
  }
  const read = how === "datum" ? datum.value() : 0;
  const onDatum = how === "datum" && active === "datum";
  const shown = onDatum ? null : arm.value();
  const against = arm.value() === null ? null : arm.value() - (read ?? 0);
  return {
    ...state,
    gauge: onDatum ? "datum" : "arm",
    datum: read ?? (onDatum ? 0 : undefined) ?? 0,
    angle: onDatum ? (arm.value() ?? 8) : (shown ?? (arm.size() ? null : (read ?? 0))),
    unsigned: arm.size(),
    reading: onDatum ? "" : against === null ? "" : angle(against),
    note: !onDatum && against !== null && how === "datum" ? "arm to body" : "",
  };
}
