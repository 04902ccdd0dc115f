/* What can be asked about a car and its target: words, unit, where it is kept, what is assumed until it is answered.

   One table. `path` is where the answer lives in the request (`$.` + path in a problem), `bound` the name in the
   model's own table, `assumed` the model's documented default. Readings have a table of their own (readings.js). */

const MM = " mm";
const DEG = "°";
const KG = " kg";
export const TAIL = ["tail down", "tail up"];

const question = (path, title, unit, bound, rest) => ({ key: path, path: path.split("."), title, unit, bound, nudge: 1, ...rest });

export const CAR = [
  question("car.bar.diameter_mm", "Bar diameter", MM, "DIAMETER_MM", {
    needed: true, nudge: 0.5, view: "diameter",
    where: "Caliper across the plain part of the bar, not the splines. A tenth of a millimetre matters.",
  }),
  question("car.bar.length_mm", "Bar length", MM, "LENGTH_MM", {
    needed: true, view: "length",
    where: "Plain length between the splines, along the bar.",
  }),
  question("car.bar.inner_teeth", "Teeth, inner end", "", "TEETH", {
    needed: true, whole: true, view: "inner",
    where: "Count the splines at the end near the middle of the car. Never assume: cars differ.",
  }),
  question("car.bar.outer_teeth", "Teeth, outer end", "", "TEETH", {
    needed: true, whole: true, view: "outer",
    where: "Count the splines at the end that carries the arm.",
  }),
  question("car.arm_mm", "Arm length", MM, "ARM_MM", {
    needed: true, mode: "arm",
    where: "From the middle of the bar to the middle of the wheel, in side view.",
  }),
  question("car.bar.bore_mm", "Bore of the bar", MM, "BORE_MM", {
    nudge: 0.5, view: "bore", assumed: "0 mm: a solid bar",
    where: "A hollow bar has a hole right through. A solid bar has bore 0.",
  }),
  question("car.arm_sd_mm", "How sure is the arm length", MM, "ARM_SD_MM", {
    assumed: "± 3 mm", mode: "arm", where: "Wider if the wheel centre was guessed.",
  }),
  question("car.bar.rate_sd_percent", "How sure is the bar's stiffness", " %", "RATE_SD_PERCENT", {
    nudge: 0.5, view: "none", assumed: "± 3 %", where: "From its size alone. Wider for a bar of unknown steel.",
  }),
  question("car.bar.shear_modulus_gpa", "Shear modulus of the steel", " GPa", "SHEAR_MODULUS_GPA", {
    nudge: 0.5, view: "none", assumed: "78.5 GPa", where: "Only when the maker of the bar states it.",
  }),
  question("car.load_kg.left", "Load on the left spring", KG, "LOAD_KG", {
    nudge: 5, mode: "load", side: "left", assumed: "240 ± 60 kg",
    where: "What the left rear spring carries: wheel load less wheel, hub, brake and half the arm.",
  }),
  question("car.load_kg.right", "Load on the right spring", KG, "LOAD_KG", {
    nudge: 5, mode: "load", side: "right", assumed: "240 ± 60 kg",
    where: "What the right rear spring carries: wheel load less wheel, hub, brake and half the arm.",
  }),
  question("car.load_sd_kg", "How sure are the loads", KG, "LOAD_SD_KG", {
    nudge: 5, mode: "load", assumed: "± 7 % of the load when given, ± 60 kg when not", where: "Guessed, or from scales.",
  }),
  question("car.unsprung_kg", "Wheel, hub, brake and half the arm", KG, "UNSPRUNG_KG", {
    mode: "load", assumed: "20 ± 10 kg", where: "Per side. Taken off what a scale under the tyre reads.",
  }),
  question("car.limits.stop_deg", "Arm on its stop", DEG, "STOP_DEG", {
    nudge: 0.5, ways: TAIL, mode: "hanging", gauge: "arm", assumed: "0°: level with the datum",
    where: "Angle of the arm, against the datum, when it rests on the lip of the housing.",
  }),
  question("car.limits.bump_mm", "Travel up to the bump stop", MM, "BUMP_MM", {
    mode: "height", assumed: "60 mm",
    where: "Wheel travel left from the riding position, as found, up to the bump stop.",
  }),
  question("car.limits.droop_mm", "Travel down to full droop", MM, "DROOP_MM", {
    mode: "height", assumed: "90 mm",
    where: "Wheel travel from the riding position, as found, down to where stop or damper ends it.",
  }),
  question("car.limits.permissible_stress_mpa", "Stress this bar may carry", " MPa", "PERMISSIBLE_STRESS_MPA", {
    nudge: 10, view: "none", assumed: "not known: 700 MPa is compared, as a caution",
    where: "From the maker of the bar. Leave it open when not known.",
  }),
  question("car.limits.joint_deg", "Largest drive-joint angle", DEG, "JOINT_DEG", {
    nudge: 0.5, mode: "riding", assumed: "not checked", where: "From the car's manual. Leave it open when not known.",
  }),
  question("car.roll_support_n_per_mm", "Roll support of the rest of the car", " N/mm", "ROLL_SUPPORT_N_PER_MM", {
    mode: "height", assumed: "13 ± 5 N/mm",
    where: "What front springs and anti-roll bar add against leaning. A board test finds it; seldom worth typing.",
  }),
  question("car.unevenness_mm", "Unevenness at the front", MM, "UNEVENNESS_MM", {
    ways: ["left higher", "right higher"], mode: "height", assumed: "0 ± 4 mm",
    where: "How much the front holds one side higher, as height at the rear.",
  }),
  question("car.tyre_n_per_mm", "Tyre stiffness", " N/mm", "TYRE_N_PER_MM", {
    nudge: 5, mode: "load", assumed: "180 ± 35 N/mm", where: "Seldom known; seldom matters.",
  }),
  question("car.bush.ratio", "Bush stiffness, as a part of the bar's", "", "BUSH_RATIO", {
    nudge: 0.01, view: "outer", assumed: "0.045 ± 0.02", where: "The rubber round the bar's outer end.",
  }),
  question("car.half_axle_mm", "Half axle length", MM, "HALF_AXLE_MM", {
    mode: "riding", assumed: "600 mm", axles: ["swing"], where: "From the pivot at the gearbox to the wheel.",
  }),
  question("car.half_axle_deg", "Half axle angle as found", DEG, "HALF_AXLE_DEG", {
    nudge: 0.5, ways: ["outer end lower", "outer end higher"], mode: "riding", assumed: "0°",
    where: "Slope of the half axle with the car on its wheels, before anything was turned. It also carries a drive joint.",
  }),
  question("car.sweep_deg", "Sweep of the semi-trailing arm", DEG, "SWEEP_DEG", {
    mode: "riding", assumed: "15°", axles: ["semi-trailing"], where: "Angle of the arm's pivot line, seen from above.",
  }),
]; // prettier-ignore

export const TARGET = [
  question("target.left_mm", "Wanted height, left", MM, "HEIGHT_MM", {
    needed: true, mode: "height", side: "left",
    where: "Floor to the mark over the wheel, as agreed with the owner. Level floor, usual load.",
  }),
  question("target.right_mm", "Wanted height, right", MM, "HEIGHT_MM", {
    needed: true, mode: "height", side: "right", like: "target.left_mm",
    where: "The same as the left for a level car. Change it if the sides are to differ.",
  }),
  question("target.tolerance_mm", "Height may be off by", MM, "TOLERANCE_MM", {
    mode: "height", assumed: "5 mm", where: "Each side, either way.",
  }),
  question("target.lean_mm", "Lean may be", MM, "LEAN_MM", {
    mode: "height", assumed: "5 mm", where: "Left height less right height, either way.",
  }),
]; // prettier-ignore

export const QUESTIONS = [...CAR, ...TARGET];

/** The question with a key such as "car.bar.diameter_mm", or undefined. */
export const questionOf = (key) => QUESTIONS.find((question) => question.key === key);


