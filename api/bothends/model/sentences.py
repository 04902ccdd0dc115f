"""Every sentence of an answer, whole, with named gaps: nothing is glued together elsewhere.

What can hurt somebody stands in `safety`; doubts have their own sentences (`doubt_words`).
"""

from . import safety
from .safety import spoken

__all__ = [
    "ASSUMED",
    "BENCH",
    "CAUTIONS",
    "CROSS",
    "HEADLINES",
    "MOVES",
    "OBSTACLES",
    "OTHER",
    "STANDING",
    "TESTS",
    "TOGETHER",
    "WHERE",
]

STANDING = tuple([spoken(caution) for caution in safety.STANDING])
"""Shown with every answer."""

CAUTIONS = {
    "doubts": "Readings disagree. Check the doubted ones before you turn anything.",
    "repaired": "Readings contradict each other. Results assume the suggested corrections.",
    "loads-pounds": "Check the loads given, left %(left)s and right %(right)s: taken as pounds they are"
    " %(left_meant)s and %(right_meant)s, which fits the readings.",
    "other-unused": "The readings of the other axle contradict each other and are not used. Check signs, units and"
    " sides there.",
    "same-teeth": "Both ends have %(teeth)d teeth, so there is no fine step: every tooth turns the arm by"
    " %(step)s.",
    "dividing-teeth": "One tooth count divides the other, so both ends together give no finer step than one end.",
    "held": "Every end of both bars is held, so nothing can be turned.",
    "bump-little": "%(side)s side: %(travel)s of bump travel remaining.",
    "droop-little": "%(side)s side: %(travel)s of droop remaining.",
    "stress-near": "%(side)s side: %(stress)s in the bar at full bump, close to the limit given.",
    "slack": "%(side)s side: the free arm hangs above its stop, so the bar is slack at full droop.",
    "second": "A second teardown is likely. Do the suggested test first.",
    "ride": "A ride frequency of %(hz).1f Hz is outside the usual %(low).1f to %(high).1f Hz.",
    "again": "A second adjustment is likely. Settle the car, read the heights and plan again.",
    "shared": "One adjuster serves both wheels: it sets the mean height and cannot cure a lean. For a lean look at"
    " bushes, packs and the other axle.",
    "left-unknown": "%(side)s side: nobody said how far the adjuster still goes; %(left)s are assumed and this uses"
    " %(turns)s. Look before you turn.",
    "left-beyond": "%(side)s side: this uses %(turns)s, more than the %(left)s that are assumed to be left. Look"
    " before you turn.",
    "left-little": "%(side)s side: %(left)s of the adjuster remain after %(turns)s. Keep as much thread in as the"
    " screw is thick.",
    "two-thirds": "What a turn gives is not known well yet. Turn about two thirds, settle the car, read the heights"
    " and plan again.",
    "runs-out": "The adjuster ends before the target is reached.",
    "count-ends": "The adjusters alone may not reach. Count the teeth at the ends of the bars; a plan of teeth and"
    " turns follows.",
    "re-clock": "Teeth beside a screw change what is left of the screw and nothing else: stiffness, ride and travel"
    " depend on the height alone.",
    "last-raising": "Lower a little too far, then end with a raising turn, so that play in the thread is taken up.",
    "front-axle": "After any change of height check alignment, headlamps, brake regulator, bump rubbers and drive"
    " joints; tighten pivot rubbers at the final height only.",
    "link": "Take off one link of the anti-roll bar before heights are read and adjusted; put it back without"
    " strain.",
    "settles": "About %(by)s lower is usual after some hundred kilometres, ± %(range)s (common practice, no"
    " source). The plan is of hand-over day and leaves it out.",
    "loose-clamp": "A loose clamp creeps: tighten the eccentric's clamp to the car's manual before the car stands"
    " on it. Toe and camber move with it.",
    "across": "The left wheel's adjuster sits on the right, the right wheel's on the left. Left and right here are"
    " the wheels'.",
    "uncounted": "The plan is in degrees. Count the teeth of both ends once the bar is open; the plan in whole"
    " teeth"
    " follows before anything is turned.",
}

CROSS = {
    "asked": "The %(axle)s bars alone set heights or cross-weight, not both: at %(percent)s %% (RF + LR)"
    " the %(side)s side stands %(by)s higher than the %(other)s.",
    "even": "The %(axle)s bars alone set heights or cross-weight, not both. This plan: %(percent)s %% (RF + LR),"
    " even as far as the scales can tell.",
    "apart": "The %(axle)s bars alone set heights or cross-weight, not both. This plan: %(percent)s %% (RF + LR).",
    "apart-lean": "The %(axle)s bars alone set heights or cross-weight, not both. This plan: %(percent)s %%"
    " (RF + LR); equal diagonals would need the %(side)s side %(by)s higher than the %(other)s.",
}
"""What cannot be had together, where four wheels were weighed."""

OTHER = {
    "still": "This plan leaves the %(other)s axle as it stands.",
    "still-lean": "This plan leaves the %(other)s axle as it stands: the %(side)s side %(lean)s higher than the"
    " %(low)s.",
    "moves": "Until the %(other)s axle is set too, this plan raises its %(up)s side by %(by)s and lowers its"
    " %(down)s side as much; its mean height stays.",
    "moves-lean": "Until the %(other)s axle is set too, this plan raises its %(up)s side by %(by)s and lowers its"
    " %(down)s side as much; its mean height stays. Its %(side)s side then stands %(lean)s higher than the"
    " %(low)s.",
    "together": "The %(axle)s bars alone cannot set the %(other)s axle's mean height, nor lean and cross-weight"
    " together. Where both axles are turned, both mean heights, lean and cross-weight can be had together.",
    "order": "Where both axles are turned, set the %(first)s first: a lean of %(made)s made there comes to"
    " %(comes)s at the %(then)s, one made at the %(then)s to %(back)s at the %(first)s.",
}
"""What is said of the other axle, where the car says of it too."""

TOGETHER = {
    "order": "Set the %(first)s axle first, roll and bounce the car, read all four heights and plan again; then set"
    " the %(then)s axle.",
    "meanwhile": "In between, the %(first)s reads %(first_left)s on the left and %(first_right)s on the right, the"
    " %(then)s %(then_left)s and %(then_right)s.",
    "one": "Only the %(turned)s axle is turned; the %(left)s then stands within its target.",
    "one-off": "Only the %(turned)s axle is turned; nothing that can be turned at the %(left)s brings it on"
    " target.",
    "apart": "A stiff body has one lean, and the two targets ask for leans that are %(by)s apart at the %(axle)s:"
    " not possible together, so this plan lies between them.",
    "kept": "Both mean heights and one lean can be had together, a lean of its own at each axle cannot; no"
    " cross-weight is asked for, and it stays as near to what it is as the teeth allow.",
    "share": "Both mean heights, one lean and the cross-weight can be had together; a lean of its own at each axle"
    " cannot.",
}
"""What is said of a plan of both axles."""

OBSTACLES = {
    "droop-given": "%(side)s side: the wheel would hang %(by)s beyond full droop, given as %(limit)s; the damper or"
    " strap would be stretched",
    "droop-measured": "%(side)s side: the wheel would hang %(by)s beyond full droop, measured as %(limit)s ±"
    " %(range)s;"
    " the damper or strap would be stretched",
    "droop-assumed": "%(side)s side: this uses %(used)s of droop; %(limit)s ± %(range)s is assumed, not measured."
    " Do a droop test first",
    "bump-given": "%(side)s side: the arm would rest on its bump stop, %(by)s too far up; bump travel given as"
    " %(limit)s",
    "bump-assumed": "%(side)s side: this uses %(used)s of bump travel; %(limit)s ± %(range)s is assumed, not"
    " measured. Measure the gap to the bump stop first",
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
    "unwound": "%(side)s side: the car's weight would not load the bar",
    "joint": "%(side)s side: the drive joint would run at %(angle)s, above the %(limit)s given",
    "reach": "The arms cannot give this target: they come no nearer than %(left)s on the left and %(right)s on the"
    " right of it",
    "reach-cross": "The arms cannot give this target: they come no nearer than %(height)s of mean height and"
    " %(share)s %% of cross-weight",
    "reach-bars": "No hanging angle of these bars gives this target",
}

BENCH = {
    "fit": "Check with the car's manual and the maker of the bars whether they may be fitted, and with which"
    " anchors, covers and dampers. They must be made for this direction of twist.",
    "new": "Bars not yet fitted are known by their dimensions only. Read everything again once they are fitted."
    " New bars settle: read the heights once more after some driving.",
    "old-limit": "The stress limit was given for the bars now fitted. Ask what the other bars may carry.",
}

HEADLINES = {
    "as-wished": "Leave both sides: the car is on target.",
    "as-wished-then": "Leave both sides: on target once the %(axle)s axle is set.",
    "turn": "Turn %(where)s: left %(left)s, right %(right)s.",
    "turn-coarse": "Turn %(where)s: nearest possible in steps of %(step)s.",
    "turn-held": "Turn %(where)s: nearest possible with the held ends.",
    "adjust": "Set the %(what)s: left %(left)s, right %(right)s.",
    "adjust-teeth": "Turn %(where)s; set the %(what)s: left %(left)s, right %(right)s.",
    "adjust-short": "Set the %(what)s: left %(left)s, right %(right)s; nearest possible.",
    "adjust-shared": "Set the one adjuster of both wheels: %(left)s.",
    "adjust-shared-short": "Set the one adjuster of both wheels: %(left)s; nearest possible.",
    "turn-degrees": "Left: turn %(left)s, right: %(right)s. Count the teeth when the arm is free.",
    "turn-degrees-left": "Left only: turn %(left)s. Count the teeth when the arm is free.",
    "turn-degrees-right": "Right only: turn %(right)s. Count the teeth when the arm is free.",
    "turn-degrees-held": "Turn arms: left %(left)s, right %(right)s; nearest possible with held ends.",
    "read-first": "Turn nothing yet: check the %(reading)s first.",
    "read-first-loads": "Turn nothing yet: check the loads first; they look like pounds.",
    "read-first-move": "Turn nothing yet: check the teeth of teardown %(teardown)d first.",
    "read-first-turns": "Turn nothing yet: check the turns of adjustment %(teardown)d first.",
    "forbidden-lower": "Lower the target by %(by)s: the %(side)s wheel would pass full droop.",
    "forbidden-higher": "Raise the target by %(by)s: the %(side)s arm would hit its bump stop.",
    "forbidden-stop": "Lower the target: the %(side)s arm would ride %(by)s past its stop.",
    "forbidden-bars": "Try other bars: the %(side)s bar would carry %(by)s too much.",
    "forbidden-joint": "Change the target: the %(side)s drive joint would bend %(by)s too far.",
    "forbidden-steep": "Change the target: the %(side)s arm would hang %(by)s too steep.",
    "forbidden-slack": "Change the target: the car's weight would not load the %(side)s bar.",
    "out-of-reach": "Choose another target: these arms end %(by)s away from it.",
    "adjusted-out": "Leave both sides: no turn of the adjusters comes nearer to the target.",
    "nothing-better": "Leave both sides: no whole teeth come nearer to the target.",
    "held": "Nothing can be turned: every end of both bars is held.",
}
"""The answer in a few words: verb, where, result. The chance stands beside it and never in it."""

WHERE = {
    "both-both": "both ends on both sides",
    "inner-inner": "inner ends on both sides",
    "outer-outer": "outer ends on both sides",
    "both-none": "both ends on the left",
    "inner-none": "the inner end on the left",
    "outer-none": "the outer end on the left",
    "none-both": "both ends on the right",
    "none-inner": "the inner end on the right",
    "none-outer": "the outer end on the right",
    "both-inner": "both left ends, right inner",
    "both-outer": "both left ends, right outer",
    "inner-both": "left inner, both right ends",
    "outer-both": "left outer, both right ends",
    "inner-outer": "left inner, right outer end",
    "outer-inner": "left outer, right inner end",
}
"""Where a headline says that something is turned, by the ends of the left and of the right side."""

MOVES = {
    "degrees-down": "%(angle)s arm down",
    "degrees-up": "%(angle)s arm up",
    "none": "no change",
    "raise": "raise %(turns)s",
    "lower": "lower %(turns)s",
    "up": "up %(by)s",
    "down": "down %(by)s",
}
"""What a headline says of one side: how far its arm is turned; how far a height that was not read moves."""

TESTS = {
    "board-test-one": "Board test: a board of %(board)s under the %(side)s tyre. Settle the car in place, read both"
    " heights and riding angles.",
    "board-test-both": "Board test: a board of %(board)s under one tyre, then under the other. Settle the car in"
    " place each"
    " time, read both heights and riding angles.",
    "centre-jack": "Centre-jack test: the other axle on one round block amidships, its wheels clear of the floor."
    " Settle the car, read both heights and riding angles: what lean is left is this axle's own.",
    "hang-test": "Droop test: body on axle stands, wheels hanging. Read arm and hub to body; again on the wheels.",
    "scales": "Weigh both rear wheels on scales.",
    "scales-front": "Weigh both front wheels on scales.",
    "adjuster-lever": "Measure the adjuster's lever: middle of the bar to the screw or eccentric, square to it.",
    "notch-angle": "Measure what one notch turns, with the gauge on the arm over several notches.",
    "turns-left": "Look how far each adjuster still goes, up and down; count the turns that its thread allows.",
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
    "car.bar": "Bar not measured: %(value)s ± %(range)s per degree.",
    "car.arm_mm": "Arm not measured: %(value)s ± %(range)s.",
    "car.load_kg": "Loads not known: %(value)s ± %(range)s on each rear spring.",
    "car.load_kg-front": "Loads not known: %(value)s ± %(range)s on each front spring.",
    "adjuster": "What %(by)s gives not measured: %(value)s ± %(range)s of height.",
    "notch": "What a notch gives not measured: %(value)s ± %(range)s of height.",
    "turns-left": "%(side)s adjuster: what is left not looked at; %(value)s either way are assumed.",
    "hanging": "%(side)s hanging angle not read: %(value)s ± %(range)s.",
    "teeth": "Teeth not counted: steps of %(value)s, wherever they fall.",
    "bump": "%(side)s bump travel not measured: %(value)s ± %(range)s.",
    "droop": "%(side)s droop not measured: %(value)s ± %(range)s.",
    "stop": "%(side)s arm stop not measured: %(value)s ± %(range)s, the arm at full droop.",
}
