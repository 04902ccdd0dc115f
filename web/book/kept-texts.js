/* Texts that stay where a customer is erased. Written by python -m bothends.service.precache from
   api/bothends/book/sheet/erased.py; change it there. */

/** By kind and name the texts allowed: none says any, "" any of an id's letters alone.
 * @type {Readonly<Record<string, Readonly<Record<string, readonly string[]>>>>} */
export const KEPT_TEXTS = {
  car: {
    sprung: ["rear", "front"],
    axle: ["trailing", "semi-trailing", "swing", "wishbone", "beam"],
    renewed: ["nothing", "rubbers", "bars", "pivots"],
    kind: ["none", "screw", "eccentric", "notch"],
    end: ["inner", "outer"],
    longer: ["raises", "lowers"],
    left: ["inner", "outer"],
    right: ["inner", "outer"],
  },
  close: {
    names: [""],
  },
  erase: {
    only: ["car"],
  },
  job: {},
  known: {
    sprung: ["rear", "front"],
    axle: ["trailing", "semi-trailing", "swing", "wishbone", "beam"],
    renewed: ["nothing", "rubbers", "bars", "pivots"],
    kind: ["none", "screw", "eccentric", "notch"],
    end: ["inner", "outer"],
    longer: ["raises", "lowers"],
    left: ["inner", "outer"],
    right: ["inner", "outer"],
    job: [""],
    at: [""],
    names: [""],
  },
  move: {
    axle: ["rear", "front"],
    plan: [""],
    corrects: [""],
  },
  note: {
    about: [""],
    checked: [""],
  },
  photo: {
    shows: ["gauge", "marks", "other", "spline"],
    side: ["left", "right"],
    step: [],
    what: [
      "hanging-angle",
      "riding-angle",
      "body-height",
      "hub-to-body",
      "wheel-load",
      "arm-difference",
      "bump-gap",
      "bolt-length",
      "damper-length",
    ],
  },
  plan: {
    as: ["heights", "rise", "level", "hanging-angle", "cross-weight"],
    at: ["higher", "lower", "mean"],
    measured: ["body-height", "hub-to-body"],
    spot: [],
  },
  reading: {
    what: [
      "hanging-angle",
      "riding-angle",
      "body-height",
      "hub-to-body",
      "wheel-load",
      "arm-difference",
      "bump-gap",
      "bolt-length",
      "damper-length",
    ],
    side: ["left", "right"],
    axle: ["rear", "front"],
    reference: ["body", "gravity"],
    spot: [],
    corrects: [""],
  },
  settle: {
    keeps: [""],
    drops: [""],
    replaces: [""],
  },
  step: {
    step: [],
    side: ["left", "right"],
  },
  strike: {
    entry: [""],
    saw: [""],
  },
  target: {
    as: ["heights", "rise", "level", "hanging-angle", "cross-weight"],
    at: ["higher", "lower", "mean"],
    measured: ["body-height", "hub-to-body"],
    spot: [],
  },
};
