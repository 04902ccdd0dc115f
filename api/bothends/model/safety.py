"""What can hurt somebody, and how not to be hurt: signal word, hazard, consequence, avoidance.

The pattern is that of ANSI Z535 and ISO 3864 (from memory): WARNING can kill or maim, NOTICE is damage. The hazards
are common practice of the trade, no source; they do not replace the car's own manual, local rules or a licensed
mechanic. The one home of these texts: an answer closes with STANDING, and the phone has all of them as
web/work/safety.js, which is written from here.
"""

__all__ = ["NOTICE", "STANDING", "STEPS", "WARNING", "spoken"]

WARNING = "WARNING"
NOTICE = "NOTICE"

LOADED = (
    "A loaded torsion bar can throw the arm and break bones. Stay out of the arm's path; keep others away."
    " Hold, lower and lift the arm with a tool that cannot slip, never by hand."
)
FALLING = (
    "A falling car can kill. Level, hard floor; wheels chocked; body on axle stands rated for the car."
    " Never go under a car on a jack. If jacking the arm lifts the body, stop and lower it."
)
STEADY = FALLING + " Push the body sideways. If it moves on the stands, reset them."
EYES = "Rust and parts can fly and injure eyes. Wear eye protection."
DAMAGED = "A damaged bar can break under load. Do not file, weld, clamp or nick it, or chip its paint."
WRONG_SIDE = (
    "A bar on the wrong side can fail. Check left and right marks and blind splines before you pull it."
)
LOOSE = (
    "Loose suspension parts can cause a crash. Use the torques, locks and new fasteners in the car's manual."
)
ROAD = (
    "Wrong brakes or alignment can cause a crash. Have brakes, alignment and headlamps checked by a qualified"
    " person before road use. Check local ride-height rules."
)
ESTIMATES = "Figures are estimates. If car and screen disagree, trust the car and measure again."

STANDING = (
    (WARNING, LOADED),
    (WARNING, FALLING),
    (WARNING, EYES),
    (WARNING, DAMAGED),
    (WARNING, WRONG_SIDE),
    (WARNING, LOOSE),
    (WARNING, ROAD),
    (NOTICE, ESTIMATES),
)
"""Signal word and text of what holds for every job; shown with every answer."""

STRETCH = "Do not stretch brake hose or drive-joint boot."
ROLLING = "The car can roll off and crush you. Chock it before you reach in."
CENTRED = (
    "On one block the car can tip off and kill. A block that cannot roll away, under a place that the car's manual"
    " names; an axle stand under the body on each side, just clear of it. Nobody beneath. Rock it gently, by hand."
)
UNBRAKED = (
    "A handbrake may hold the lifted axle alone: the car can roll and crush you. Chock both other wheels."
)
OFF_THE_STOP = "Ease it off the stop, lower it slowly"
LET_DOWN = "Lower it slowly"
"""Of arms that go across the car: no stop holds them, the ball joint did."""
ONTO_THE_STOP = " If the tool slips, the arm strikes down. Stay out of its path. If the body lifts, stop."

WOUND = (
    " Undone to free the lever, it throws it and breaks bones. Never undo a wound screw for that: take the load off"
    " with an unloading tool first."
)
OVERWOUND = (
    "A lever wound too far bends its bolt and takes the damper out of its travel. Stop at the turns planned, or"
    " where it goes hard. End with a raising movement, which takes up the play."
)
TOO_FAR = (
    "Set too far, it takes the damper out of its travel. Stop at what is planned, or where it goes hard."
)
CREEPS = "A loose clamp creeps and the car sinks. Tighten it to the car's manual before the car stands on it."
BEAM = (
    "A beam that comes loose turns by its leaves. Keep one clamped while the other is loose; look at welds, and at"
    " the dampers' length once it stands."
)
AFTERWARDS = (
    "Height moves alignment, headlamps, brake regulator and drive joints. Have them checked; tighten pivot rubbers"
    " at the final height."
)


def _let_down(how: str) -> tuple:
    """The cautions where a loaded arm is let down."""
    slips = (
        " If it slips it breaks bones. %s with the tool; everyone out of its path. If the body lifts, stop."
        % how
    )
    return (
        (
            WARNING,
            {
                "text": "Arm loaded: {low} to {high} {unit}." + slips,
                "exact": "Arm loaded: {force} {unit}." + slips,
                "nothing": "No load is expected on the arm. If there is one," + slips[len(" If it slips") :],
                "unknown": "Arm loaded." + slips,
            },
        ),
    )


STEPS = {
    "stands": ((WARNING, STEADY),),
    "eyes": ((WARNING, EYES + " Keep it on until the car is down."),),
    "bolts-out": (
        (WARNING, "The arm can drop as bolts come out and crush fingers. Support it first."),
        (NOTICE, STRETCH),
    ),
    # With the tool already on the arm, before the arm leaves its stop.
    "cover-off": (
        (WARNING, "The bar is loaded and can throw the arm. Keep the tool on it until it hangs free."),
        (WARNING, DAMAGED),
    ),
    # Off the stop. Arm down and arm up are directions of turning: no step is called so where people read it.
    "arm-down": _let_down(OFF_THE_STOP),
    "arm-down-across": _let_down(LET_DOWN),
    "turn": (
        (
            WARNING,
            WRONG_SIDE
            + " Keep fingers from between arm and housing. Do not pull so hard that the car rocks.",
        ),
    ),
    # Onto the stop.
    "arm-up": (
        (
            WARNING,
            {
                "text": "Lifting loads the bar: {low} to {high} {unit}." + ONTO_THE_STOP,
                "exact": "Lifting loads the bar: {force} {unit}." + ONTO_THE_STOP,
                "nothing": "No load is expected on the arm. If there is one and the tool slips, the arm strikes"
                " down. Stay out of its path. If the body lifts, stop.",
                "unknown": "Lifting loads the bar." + ONTO_THE_STOP,
            },
        ),
    ),
    "cover-on": (
        (
            WARNING,
            "Until the cover is tight the arm can slip off its stop and break bones. Stay out of its path.",
        ),
    ),
    "cover-on-across": (
        (
            WARNING,
            "Until the cover is tight the bar can slip out of its anchor and throw the arm. Stay out of its path.",
        ),
    ),
    "bolts-in": ((NOTICE, STRETCH),),
    "down": (
        (
            WARNING,
            "The car can drop or roll on you. Nobody under or beside it. Lower slowly; chocks out last.",
        ),
    ),
    # An adjustment: no end is drawn.
    "wheels-hang": ((WARNING, STEADY),),
    "thread-clean": (
        (
            WARNING,
            {
                "text": "The screw's lever is loaded, wheels hanging: up to {torque}, {energy}." + WOUND,
                "nothing": "No load is expected on the screw's lever. There may be one." + WOUND,
                "unknown": "The screw's lever is loaded." + WOUND,
            },
        ),
        (NOTICE, "An impact wrench ruins a loaded thread. Clean it, oil it, turn it by hand."),
    ),
    "scribe": (
        (
            WARNING,
            "Loose clamp bolts let the arm drop and crush fingers. Weight off the wheel; support the arm.",
        ),
    ),
    "unclamp": ((WARNING, BEAM),),
    # A screw; what has no lever and no bolt is told what holds for it.
    "adjust": ((NOTICE, OVERWOUND),),
    "adjust-eccentric": ((NOTICE, TOO_FAR),),
    "adjust-notch": ((NOTICE, TOO_FAR),),
    "clamp": ((WARNING, CREEPS),),
    "drive": ((WARNING, AFTERWARDS),),
    "droop-test": ((WARNING, FALLING),),
    "board": ((WARNING, ROLLING),),
    "ballast": ((WARNING, ROLLING),),
    "centre-jack": ((WARNING, CENTRED), (WARNING, UNBRAKED)),
    "scales": ((WARNING, ROLLING),),
    "owner-sheet": ((WARNING, "Loaded springs can break bones. Do not undo anything there."),),
}
"""Signal word and text by the stored key of a step, or by where else it is shown. ``turn`` is for either end.

A text that names what is still wound up comes in three: its torque and energy, none to be expected, and not known.
A text that names forces comes in four: a range, one figure, none to be expected (only where the high end of the
lift's range is nothing), and not known.
"""


def spoken(caution: tuple) -> str:
    """A caution on one line.

    >>> spoken((NOTICE, STRETCH))
    'NOTICE. Do not stretch brake hose or drive-joint boot.'
    """
    return "%s. %s" % caution
