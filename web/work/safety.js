/* What can hurt somebody, and how not to be hurt. Written by python -m bothends.service.precache from
   api/bothends/model/safety.py; change it there. */

/**
 * A caution: signal word, then hazard, consequence, avoidance.
 *
 * Where forces are named: `text` has the gaps {low}, {high} and {unit}, for a range; `exact` has {force} and
 * {unit}, for one figure; `nothing` is for a lift whose high end is nothing; `unknown` for one that was not worked
 * out. Where a bar is still wound with the wheels hanging, `text` has {torque} and {energy}.
 *
 * @typedef {Object} Caution
 * @property {"WARNING" | "NOTICE"} word
 * @property {string} text
 * @property {string} [exact]
 * @property {string} [nothing]
 * @property {string} [unknown]
 */

/** What holds for every job. @type {readonly Caution[]} */
export const STANDING = [
  {
    word: "WARNING",
    text:
      "A loaded torsion bar can throw the arm and break bones. Stay out of the arm's path; keep others away. " +
      "Hold, lower and lift the arm with a tool that cannot slip, never by hand.",
  },
  {
    word: "WARNING",
    text:
      "A falling car can kill. Level, hard floor; wheels chocked; body on axle stands rated for the car. Never " +
      "go under a car on a jack. If jacking the arm lifts the body, stop and lower it.",
  },
  {
    word: "WARNING",
    text: "Rust and parts can fly and injure eyes. Wear eye protection.",
  },
  {
    word: "WARNING",
    text: "A damaged bar can break under load. Do not file, weld, clamp or nick it, or chip its paint.",
  },
  {
    word: "WARNING",
    text: "A bar on the wrong side can fail. Check left and right marks and blind splines before you pull it.",
  },
  {
    word: "WARNING",
    text: "Loose suspension parts can cause a crash. Use the torques, locks and new fasteners in the car's manual.",
  },
  {
    word: "WARNING",
    text:
      "Wrong brakes or alignment can cause a crash. Have brakes, alignment and headlamps checked by a qualified " +
      "person before road use. Check local ride-height rules.",
  },
  {
    word: "NOTICE",
    text: "Figures are estimates. If car and screen disagree, trust the car and measure again.",
  },
];
