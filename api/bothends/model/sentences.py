"""Every sentence of an answer, whole, with named gaps: nothing is glued together elsewhere.

Cautions follow signal word, hazard, consequence, avoidance (the pattern of ANSI Z535 and ISO 3864, from memory).
They do not replace the car's own manual, local rules or a licensed mechanic. Doubts have their own (`doubt_words`).
"""

__all__ = [
    "ASSUMED",
    "BENCH",
    "CAUTIONS",
    "HEADLINES",
    "MOVES",
    "OBSTACLES",
    "STANDING",
    "TESTS",
    "TEST_NAMES",
]

STANDING = (
    "WARNING. A loaded torsion bar can throw the arm and break bones. Stay out of the arm's path; keep others away."
    " Hold, lower and lift the arm with a tool that cannot slip, never by hand.",
    "WARNING. A falling car can kill. Level, hard floor; wheels chocked; body on axle stands rated for the car."
    " Never"
    " go under a car on a jack. If jacking the arm lifts the body, stop and lower it.",
    "WARNING. Rust and parts can fly and injure eyes. Wear eye protection.",
    "WARNING. A damaged bar can break under load. Do not file, weld, clamp or nick it, or chip its paint.",
    "WARNING. A bar on the wrong side can fail. Check left and right marks and blind splines before you pull it.",
    "WARNING. Loose suspension parts can cause a crash. Use the torques, locks and new fasteners in the car's"
    " manual.",
    "WARNING. Wrong brakes or alignment can cause a crash. Have brakes, alignment and headlamps checked by a"
    " qualified person before road use. Check local ride-height rules.",
    "NOTICE. Figures are estimates. If car and screen disagree, trust the car and measure again.",
)
"""Shown with every answer."""

CAUTIONS = {
    "doubts": "Readings disagree. Read the doubted ones again before you turn anything.",
    "repaired": "Readings contradict each other. The figures assume the suggested corrections.",
    "loads-pounds": "Check the loads given, left %(left)s and right %(right)s: taken as pounds they are"
    " %(left_meant)s and %(right_meant)s, which fits the readings.",
    "same-teeth": "Both ends have %(teeth)d teeth, so there is no fine step: every tooth turns the arm by"
    " %(step)s.",
    "dividing-teeth": "One tooth count divides the other, so both ends together give no finer step than one end.",
    "held": "Every end of both bars is held, so nothing can be turned.",
    "bump-little": "%(side)s side: %(travel)s of bump travel remaining.",
    "droop-little": "%(side)s side: %(travel)s of droop remaining.",
    "stress-near": "%(side)s side: %(stress)s in the bar at full bump, close to the limit given.",
    "slack": "%(side)s side: the relaxed arm hangs above its stop, so the bar is slack at full droop.",
    "second": "A second teardown is likely. Do the suggested test first.",
    "ride": "A ride frequency of %(hz).1f Hz is outside the usual %(low).1f to %(high).1f Hz.",
    "uncounted": "The plan is in degrees. Count the teeth of both ends once the bar is open; the plan in whole"
    " teeth"
    " follows before anything is turned.",
}

OBSTACLES = {
    "droop-given": "%(side)s side: the wheel would hang %(by)s beyond full droop, given as %(limit)s; the damper or"
    " strap would be stretched",
    "droop-measured": "%(side)s side: the wheel would hang %(by)s beyond full droop, measured as %(limit)s ±"
    " %(range)s;"
    " the damper or strap would be stretched",
    "droop-assumed": "%(side)s side: this uses %(used)s of droop, and nobody has measured how much there is"
    " (%(limit)s ± %(range)s assumed). Do a droop test first",
    "bump-given": "%(side)s side: the arm would rest on its bump stop, %(by)s too far up; bump travel given as"
    " %(limit)s",
    "bump-assumed": "%(side)s side: this uses %(used)s of bump travel, and nobody has measured how much there is"
    " (%(limit)s ± %(range)s assumed). Measure the gap to the bump stop first",
    "stop-given": "%(side)s side: the arm would ride %(by)s below its stop, given as %(limit)s",
    "stop-guessed": "%(side)s side: the arm may ride below its stop, given as %(limit)s. Read the riding angles"
    " first",
    "stress-given": "%(side)s side: %(stress)s in the bar at full bump, above the %(limit)s given",
    "stress-guessed": "%(side)s side: %(stress)s in the bar at full bump may be above the %(limit)s given."
    " Measure the"
    " gap to the bump stop first",
    "stress-usual": "%(side)s side: %(stress)s in the bar at full bump. Preset bars, the rule here, usually carry"
    " %(limit)s; ask the maker of the bar",
    "steep": "%(side)s side: a hanging angle of %(angle)s is beyond what an arm can take",
    "unwound": "%(side)s side: the bar would not be wound up by the car's weight",
    "joint": "%(side)s side: the drive joint would run at %(angle)s, above the %(limit)s given",
    "reach": "The arms cannot give this target: they come no nearer than %(left)s on the left and %(right)s on the"
    " right of it",
    "reach-bars": "No hanging angle of these bars gives this target",
}

BENCH = {
    "fit": "Whether other bars may be fitted to this car, with which anchors, covers and dampers, is said by the"
    " car's"
    " own manual and the maker of the bars. They must be made for this direction of twist.",
    "new": "Bars that are not in yet are known by their dimensions only. Read everything again once they are in;"
    " new"
    " bars settle, so read the heights once more after some driving.",
    "old-limit": "The stress permitted was given for the bars that are in; ask what the other bars may carry.",
}

HEADLINES = {
    "as-wished": "The car is on target: leave it. Chance that heights and lean are right: %(odds)s.",
    "turn": "Turn left %(left)s, right %(right)s: chance %(odds)s to be on target.",
    "turn-test": "Turn left %(left)s, right %(right)s: chance %(odds)s to be on target; %(test)s first makes it"
    " %(after)s.",
    "turn-coarse": "Turn left %(left)s, right %(right)s: chance %(odds)s, because one step turns the arm by"
    " %(step)s,"
    " %(jump)s of height.",
    "turn-held": "Turn left %(left)s, right %(right)s: chance %(odds)s, because the ends that are held leave"
    " nothing nearer.",
    "turn-degrees": "Turn the arms, left %(left)s and right %(right)s: chance %(odds)s to be on target.",
    "turn-degrees-test": "Turn the arms, left %(left)s and right %(right)s: chance %(odds)s to be on target;"
    " %(test)s"
    " first makes it %(after)s.",
    "turn-degrees-held": "Turn the arms, left %(left)s and right %(right)s: chance %(odds)s, because the ends that"
    " are held leave nothing nearer.",
    "read-first": "Read again first: the teeth depend on which reading is right. %(doubt)s",
    "forbidden": "Not possible on this car. %(words)s. Other bars or another target would lift that.",
    "forbidden-lower": "Not possible on this car. %(words)s. A target %(by)s lower would lift that.",
    "forbidden-higher": "Not possible on this car. %(words)s. A target %(by)s higher would lift that.",
    "forbidden-bars": "Not possible with these bars. %(words)s. Try other bars, or another target.",
    "out-of-reach": "Out of reach. %(words)s. Choose another target.",
    "nothing-better": "Leave it: no whole teeth bring it nearer to the target. Chance as it stands: %(odds)s.",
    "held": "Nothing can be turned: every end of both bars is held.",
}

MOVES = {
    "none": "nothing",
    "inner": "%(inner)s at the inner end",
    "outer": "%(outer)s at the outer end",
    "both": "%(inner)s at the inner and %(outer)s at the outer end",
    "tooth-down": "1 tooth arm down",
    "tooth-up": "1 tooth arm up",
    "teeth-down": "%(n)d teeth arm down",
    "teeth-up": "%(n)d teeth arm up",
    "degrees-down": "%(angle)s down",
    "degrees-up": "%(angle)s up",
    "degrees-none": "not at all",
}

TEST_NAMES = {
    "board-test": "a board test",
    "hang-test": "a droop test",
    "scales": "weighing both wheels",
    "ballast-test": "a ballast test",
    "body-height": "reading both heights again",
    "riding-angle": "reading the riding angles",
    "hanging-angle": "reading the hanging angles",
    "settling": "settling the car once more",
    "arm-length": "taping the arms",
}
"""How a headline speaks of a test."""

TESTS = {
    "board-test-one": "Board test: a board of %(board)s under the %(side)s tyre. Settle the car in place, read both"
    " heights and riding angles.",
    "board-test-both": "Board test: a board of %(board)s under one tyre, then under the other. Settle the car in"
    " place each"
    " time, read both heights and riding angles.",
    "hang-test": "Droop test: body on axle stands, wheels hanging. Read arm and hub to body; again on the wheels.",
    "scales": "Weigh both rear wheels on scales.",
    "ballast-test": "Ballast test: %(ballast)s over the axle. Settle the car, read both heights and riding angles.",
    "body-height": "Read both ride heights again, twice.",
    "riding-angle": "Read both riding angles, with the body reading.",
    "hanging-angle": "Read both hanging angles while the arms are free.",
    "settling": "Roll and bounce the car once more, then read both ride heights and riding angles again.",
    "arm-length": "Tape the arm: middle of the bar to middle of the wheel, seen from the side.",
    "bar-size": "Measure the bar: diameter with a caliper, length between the splines.",
    "tooth-count": "Count the teeth at both ends once the bar is open.",
    "bump-gap": "Measure the gap to the bump stop.",
}

ASSUMED = {
    "car.bar": "Bar not measured: %(value)s per degree, give or take %(percent).0f in 100.",
    "car.arm_mm": "Arm not measured: %(value)s ± %(range)s.",
    "car.load_kg": "Loads not known: %(value)s ± %(range)s on each rear spring.",
    "hanging": "%(side)s hanging angle not read: %(value)s ± %(range)s.",
    "teeth": "Teeth not counted: steps of %(value)s, wherever they fall.",
    "bump": "%(side)s bump travel not measured: %(value)s ± %(range)s.",
    "droop": "%(side)s droop not measured: %(value)s ± %(range)s.",
    "stop": "%(side)s arm stop not measured: %(value)s ± %(range)s, the arm at full droop.",
}
