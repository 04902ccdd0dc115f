"""The car of a request in SI, with what is believed where a fact was left out: nothing about a car is required."""

import math

from . import bar, beliefs
from .adjuster import Adjuster
from .beliefs import (
    ARM_MM,
    ARM_SD_MM,
    ARM_TAPED_SD_MM,
    ARM_TAPED_SWING_SD_MM,
    LOAD_GIVEN_SD,
    LOAD_KG,
    LOAD_SD_KG,
    RATE_NM_PER_DEG,
    RATE_SD,
)
from .field import choice, flag, needed, part, take, take_whole
from .fields import AXLES, ENDS, FRONT, OF_CAR, OTHER, REAR, RENEWED, SIDES, field
from .problem import ModelProblem
from .units import DEG, GRAVITY, MM

__all__ = ["Car"]


class Car:
    """Bar, arm, loads, bush, roll support, tyres, axle and limits; ``*_sd`` are standard deviations.

    A fact that is not known is None (``diameter``, ``bore``, ``length``, ``inner_teeth``, ``outer_teeth``, limits)
    or believed (``rate`` [N m/rad] with ``rate_sd`` as a logarithm, ``arm``, ``load``), and ``bar_given``,
    ``arm_given``, ``load_given`` say which; ``arm_taped``: given without a spread. ``held`` ((inner, outer) left,
    right): ends that must not be turned. ``sprung`` the axle it is; ``anti`` [N/m] and ``anti_sd`` its own
    anti-roll bar, both 0 where it has none that counts; ``adjuster`` an Adjuster, which may be of no kind.
    ``track`` [m] or None; ``other`` the Car of the other axle, None where nothing is said of it.
    """

    def __init__(self, source: dict) -> None:
        car = part(source, "car", "$")
        self._bar(part(car, "bar", "$.car"))
        self.axle = choice(car, "axle", "$.car", AXLES, "trailing")
        self.sprung = choice(car, "sprung", "$.car", OF_CAR, REAR)
        self.adjuster = Adjuster(car)
        said = car.get("renewed")
        self.renewed = None if said is None else choice(car, "renewed", "$.car", RENEWED)
        # Both sides together after hand-over: (mean, spread), [m].
        self.settling = tuple([mm * MM for mm in beliefs.SETTLING_MM[self.renewed or "not-known"]])
        arm = take(car, "car.arm_mm")
        self.arm_given = arm is not None
        self.arm = (ARM_MM if arm is None else arm) * MM
        sd = take(car, "car.arm_sd_mm")
        # A taped arm of which nothing else is said may belong to a longer lever (see `lever`).
        self.arm_taped = arm is not None and sd is None
        if sd is None:
            taped = ARM_TAPED_SWING_SD_MM if self.axle == "swing" else ARM_TAPED_SD_MM
            sd = ARM_SD_MM if arm is None else taped
        self.arm_sd = sd * MM
        if self.axle == "wishbone" and arm is not None:
            self._wishbone()
        if self.axle == "beam" and not self.bar_given and self.arm_given:
            # Packs carry about the same wheel on a shorter arm: what is usual is the rate at the wheel.
            self.rate = beliefs.BEAM_N_PER_MM / MM * self.arm**2
        self._loads(car)
        self._limits(part(car, "limits", "$.car"))
        bush = part(car, "bush", "$.car")
        self.bush = needed(bush, "car.bush.ratio")
        self.bush_sd = needed(bush, "car.bush.ratio_sd")
        rest = take(bush, "car.bush.rest_deg")
        self.rest = (self.stop or 0.0) if rest is None else rest * DEG
        self.rest_sd = needed(bush, "car.bush.rest_sd_deg") * DEG
        self._rest_of_car(car)
        self.tyre = needed(car, "car.tyre_n_per_mm") / MM
        self.tyre_sd = needed(car, "car.tyre_sd_n_per_mm") / MM
        self.half_axle = needed(car, "car.half_axle_mm") * MM
        self.half_axle_angle = needed(car, "car.half_axle_deg") * DEG
        self.sweep = needed(car, "car.sweep_deg") * DEG
        self.known = car.get("known")
        if self.known is not None and not isinstance(self.known, dict):
            raise ModelProblem("out-of-range", "$.car.known", "known must be an object")
        self.held = _held(part(car, "held", "$.car"))
        track = take(car, "car.track_mm")
        self.track = None if track is None else track * MM
        self.other = self._other(car)

    def _other(self, car: dict) -> "Car | None":
        """The other axle, of which the same can be said; None where nothing was."""
        if car.get("other") is None:
            return None
        said = dict(part(car, "other", "$.car"))
        said["sprung"] = REAR if self.sprung == FRONT else FRONT
        said["other"] = None
        try:
            return Car({"car": said})
        except ModelProblem as problem:
            there = "$." + OTHER + problem.path[len("$.car") :]
            raise ModelProblem(problem.code, there, problem.detail) from None

    @property
    def onto(self) -> float:
        """What load onto the left wheel does to cross-weight (RF + LR): 1 at the rear, -1 at the front."""
        return -1.0 if self.sprung == FRONT else 1.0

    @property
    def counted(self) -> bool:
        """Whether the teeth of both ends are known, so that a plan can be in teeth."""
        return self.inner_teeth is not None and self.outer_teeth is not None

    def _bar(self, source: dict) -> None:
        diameter = take(source, "car.bar.diameter_mm")
        bore = needed(source, "car.bar.bore_mm")
        if diameter is not None and bore >= diameter:
            raise ModelProblem(
                "out-of-range",
                "$.car.bar.bore_mm",
                "bore must be less than the bar's diameter of %g mm, got %g mm; a solid bar has bore 0"
                % (diameter, bore),
            )
        length = take(source, "car.bar.length_mm")
        self.inner_teeth = take_whole(source, "car.bar.inner_teeth")
        self.outer_teeth = take_whole(source, "car.bar.outer_teeth")
        self.modulus = needed(source, "car.bar.shear_modulus_gpa") * 1e9
        self.diameter = None if diameter is None else diameter * MM
        self.bore = bore * MM
        self.length = None if length is None else length * MM
        self.bar_given = self.diameter is not None and self.length is not None
        if self.diameter is not None and self.length is not None:
            self.rate = bar.rate_nm_per_rad(
                diameter_m=self.diameter,
                bore_m=self.bore,
                length_m=self.length,
                shear_modulus_pa=self.modulus,
            )
            self.rate_sd = needed(source, "car.bar.rate_sd_percent") * 0.01
        else:
            self.rate = RATE_NM_PER_DEG / DEG
            self.rate_sd = RATE_SD

    def _loads(self, car: dict) -> None:
        loads = part(car, "load_kg", "$.car")
        given = [take(loads, "car.load_kg." + side) for side in SIDES]
        known = [kg for kg in given if kg is not None]
        self.load_given = len(known) > 0
        # One wheel weighed: the best guess for the other is the same.
        kg = [known[0] if kg is None else kg for kg in given] if known else [LOAD_KG, LOAD_KG]
        sd = take(car, "car.load_sd_kg")
        if sd is None:
            usual = LOAD_GIVEN_SD * 0.5 * (kg[0] + kg[1])
            sd = max(usual, field("car.load_sd_kg").low) if known else LOAD_SD_KG
        self.load = [k * GRAVITY for k in kg]
        self.load_sd = sd * GRAVITY
        self.unsprung = needed(car, "car.unsprung_kg") * GRAVITY
        self.unsprung_sd = needed(car, "car.unsprung_sd_kg") * GRAVITY

    def _wishbone(self) -> None:
        """The lever of a wishbone, which is longer than its arm by a share that differs from car to car."""
        self.arm_sd = math.sqrt(self.arm_sd**2 + (self.arm * beliefs.WISHBONE_SD) ** 2)
        self.arm *= beliefs.WISHBONE
        self.arm_taped = False

    def _rest_of_car(self, car: dict) -> None:
        """What resists lean: the other axle, and this one's own anti-roll bar."""
        front = self.sprung == FRONT
        said = dict(car)
        if front:
            for path in beliefs.AT_FRONT:
                name = path.split(".")[-1]
                if said.get(name) is None:
                    said[name] = beliefs.AT_FRONT[path]
        self.roll_given = car.get("roll_support_n_per_mm") is not None
        self.roll = needed(said, "car.roll_support_n_per_mm") / MM
        self.roll_sd = needed(said, "car.roll_support_sd_n_per_mm") / MM
        self.uneven = needed(said, "car.unevenness_mm") * MM
        self.uneven_sd = needed(said, "car.unevenness_sd_mm") * MM
        self.uneven_pose = beliefs.FRONT_UNEVEN_POSE_MM * MM if front else 0.0
        anti = needed(said, "car.anti_roll_n_per_mm")
        sd = take(car, "car.anti_roll_sd_n_per_mm")
        self.anti_given = car.get("anti_roll_n_per_mm") is not None
        if sd is None:
            believed = front and not self.anti_given
            sd = beliefs.FRONT_ANTI_ROLL_SD if believed else beliefs.ANTI_ROLL_GIVEN_SD * anti
        self.anti_off = flag(car, "anti_roll_off", "$.car")
        self.anti = 0.0 if self.anti_off else anti / MM
        self.anti_sd = 0.0 if self.anti_off else sd / MM
        self.span = self._or_believed(car, "point_span_mm", beliefs.SPAN_GIVEN_SD_MM, MM)
        self.bump_ratio = self._or_believed(car, "bump_ratio", beliefs.RATIO_GIVEN_SD, 1.0)
        self.damper_ratio = self._or_believed(car, "damper_ratio", beliefs.RATIO_GIVEN_SD, 1.0)

    @staticmethod
    def _or_believed(car: dict, name: str, given: float, unit: float) -> tuple:
        """(mean, spread) of a fact: as given, with the spread that then goes with it, or as believed."""
        value = take(car, "car." + name)
        if value is not None:
            return value * unit, given * unit
        mean, sd = beliefs.BELIEVED["car." + name]
        return (mean or 0.0) * unit, sd * unit

    def _limits(self, limits: dict) -> None:
        def given(name: str, unit: float) -> float | None:
            value = take(limits, "car.limits." + name)
            return None if value is None else value * unit

        self.stop = given("stop_deg", DEG)
        self.bump = given("bump_mm", MM)
        self.droop = given("droop_mm", MM)
        self.stress = given("permissible_stress_mpa", 1e6)
        self.joint = given("joint_deg", DEG)


def _held(source: dict) -> tuple:
    """Ends that cannot or must not be turned: ((inner, outer) left, right), each a bool."""
    out = []
    for side in SIDES:
        ends = source.get(side)
        if ends is None:
            ends = []
        if not isinstance(ends, (list, tuple)) or [end for end in ends if end not in ENDS]:
            raise ModelProblem(
                "out-of-range",
                "$.car.held." + side,
                'held lists ends: "inner", "outer" or both; got %s' % repr(ends),
            )
        out.append(("inner" in ends, "outer" in ends))
    return tuple(out)
