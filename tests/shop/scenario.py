"""The scenarios: what the planner is given, what is read, and what the true car adds.

Owns the one table of them, by name, and the mixes that draw among them. Does not own how a car comes to be
so (``awkward``) nor how it is read (``mechanic``).

``plain`` and ``boards`` are the season as it was first judged: all facts, limits too, boards read once.
Every other scenario reads everything twice, boards too, gives no limits, and takes the arm as by tape,
without a standard deviation, so that the documented default holds.
"""

from dataclasses import dataclass, replace

from shop.car import stream

__all__ = [
    "ARM",
    "ARM_SD",
    "AXLE",
    "BAR",
    "LIMITS",
    "LOAD",
    "MIXES",
    "PAPERS",
    "SCENARIOS",
    "Scenario",
    "names",
    "of",
]

BAR, ARM, ARM_SD, LOAD, AXLE, LIMITS = "bar", "arm", "arm-sd", "load", "axle", "limits"
PAPERS = (BAR, ARM, ARM_SD, LOAD, AXLE, LIMITS)
KNOWN = (BAR, ARM, LOAD)
ALL_READ = ("hanging-angle", "riding-angle", "body-height")
WHEELS_READ = ("riding-angle", "body-height")


@dataclass(frozen=True)
class Scenario:
    """One scenario. Lengths in mm, masses in kg."""

    name: str
    given: tuple[str, ...] = KNOWN
    """Facts in the request's car. Without the bar no tooth is counted before the first teardown."""
    wish: str = "heights"
    reads: tuple[str, ...] = ALL_READ
    """Kinds read on the first visit; once the arms are free their hanging angle is read whatever this says."""
    rounds: int = 2
    board_rounds: int = 0
    hang_test: bool | None = None
    """None: as this mechanic's habit is; otherwise all do or none does."""
    settles_again: bool | None = None
    """Whether the car is rolled between rounds; None: habit."""
    marks: bool = True
    """Whether readings say ``resettled``."""
    last_look: bool = False
    """Whether teeth are counted and the plan is asked again with the arms free, before a tooth is turned."""
    longer: float = 0.0
    """The lever is longer than the taped arm by nothing to this share of it, uniformly."""
    stiffens: float = 1.0
    """Torque of the bush 12 degrees from its clamp over the linear one's."""
    band_mm: float | None = None
    """Friction holds a side anywhere within ± this; None: the usual 1 to 2."""
    twist_sd_mm: float = 0.0
    floor: str = ""
    """"same": read and judged on one spot; "named" and "unnamed": on two, which the log names or not."""
    driver_kg: tuple[float, float] = (0.0, 0.0)
    driver: str = ""
    """"read": sits in the car when it is read, not when it is judged; "judged": the reverse."""
    entered: bool = True
    tails: bool = False
    """Readings with heavy tails."""
    far_share: float = 0.0
    """Share of cars to be raised by 80-110, with the true droop for it."""


GIVEN = Scenario("given")
BOARDS = replace(GIVEN, name="given-boards", board_rounds=2)
CLOSED = Scenario("closed", given=(ARM,), reads=WHEELS_READ, hang_test=False)
NOTHING = Scenario(
    "nothing-rise", given=(), wish="rise", reads=("body-height",), rounds=1, hang_test=False,
    settles_again=False, far_share=0.2,
)  # fmt: skip


def _table() -> dict[str, Scenario]:
    rows = [
        Scenario("plain", given=PAPERS, marks=False),
        Scenario("boards", given=PAPERS, board_rounds=1, marks=False),
        GIVEN,
        BOARDS,
        CLOSED,
        replace(CLOSED, name="closed-boards", board_rounds=2),
        replace(CLOSED, name="closed-counted", last_look=True),
        replace(CLOSED, name="closed-counted-boards", last_look=True, board_rounds=2),
        NOTHING,
        replace(NOTHING, name="nothing-level", wish="level"),
        replace(NOTHING, name="nothing-empty", reads=()),
        replace(BOARDS, name="lever", reads=WHEELS_READ, hang_test=True, longer=0.15),
        replace(BOARDS, name="bush", stiffens=1.5),
        replace(BOARDS, name="tails", tails=True),
    ]
    for band in range(5):
        row = replace(BOARDS, band_mm=float(band), settles_again=True)
        rows.append(replace(row, name=f"friction-{band}"))
        rows.append(replace(row, name=f"friction-{band}-unmarked", settles_again=False, marks=False))
    for twist in (3, 5):
        for floor in ("named", "unnamed", "same"):
            name = f"floor-{twist}-{floor}"
            rows.append(replace(BOARDS, name=name, twist_sd_mm=float(twist), floor=floor))
    for driver in ((60.0, 20.0), (75.0, 25.0)):
        for when in ("read", "judged"):
            row = replace(BOARDS, name=f"driver-{driver[0]:.0f}-{when}", driver_kg=driver, driver=when)
            rows += [row, replace(row, name=row.name + "-untold", entered=False)]
    return {row.name: row for row in rows}


SCENARIOS = _table()
MIXES: dict[str, dict[str, float]] = {
    "nothing": {"nothing-rise": 0.5, "nothing-level": 0.5},
    # What a garage may meet: every awkwardness as often as another, the closed car oftener. Common practice,
    # no source.
    "mixed": {
        "given": 0.10,
        "given-boards": 0.10,
        "closed": 0.10,
        "closed-boards": 0.10,
        "closed-counted": 0.05,
        "closed-counted-boards": 0.05,
        "lever": 0.10,
        "friction-1": 0.03,
        "friction-2": 0.03,
        "friction-3": 0.03,
        "friction-1-unmarked": 0.01,
        "friction-2-unmarked": 0.01,
        "friction-3-unmarked": 0.01,
        "floor-3-named": 0.03,
        "floor-3-unnamed": 0.02,
        "floor-5-named": 0.02,
        "floor-5-same": 0.01,
        "driver-60-read": 0.025,
        "driver-60-judged": 0.025,
        "driver-75-read": 0.025,
        "driver-75-judged": 0.025,
        "bush": 0.05,
        "tails": 0.05,
    },
}


def names() -> list[str]:
    """Every name that ``of`` knows."""
    return [*SCENARIOS, *MIXES]


def of(name: str, seed: int) -> Scenario:
    """The scenario of that name; of a mix, the one that this seed draws."""
    if name in SCENARIOS:
        return SCENARIOS[name]
    if name not in MIXES:
        raise ValueError(f"no scenario is called {name!r}; there are {', '.join(names())}")
    shares = MIXES[name]
    return SCENARIOS[str(stream(seed, 8).choice(list(shares), p=list(shares.values())))]
