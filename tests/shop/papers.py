"""What the car's papers, a tape and a count tell the planner: the request's ``car``."""

from shop.car import Car
from shop.judge import wished
from shop.scenario import ARM, ARM_SD, AXLE, BAR, LIMITS, LOAD, PAPERS
from shop.stand import LEVEL

__all__ = ["counted", "facts", "usual_request"]

ARM_SD_MM = 3.0


def facts(car: Car, given) -> dict:
    """The facts named, in the request's words."""
    out: dict = {}
    if BAR in given:
        out["bar"] = {
            "diameter_mm": car.diameter_mm,
            "bore_mm": 0.0,
            "length_mm": float(car.length_mm),
            **counted(car),
        }
    if ARM in given:
        out["arm_mm"] = float(car.arm_mm)
    if ARM_SD in given:
        out["arm_sd_mm"] = ARM_SD_MM
    if LOAD in given:
        out["load_kg"] = {"left": car.load_kg, "right": car.load_kg}
    if AXLE in given:
        out["axle"] = "trailing"
    if LIMITS in given:
        out["limits"] = {"stop_deg": car.stop_deg, "bump_mm": car.bump_mm, "droop_mm": car.droop_mm}
    return out


def counted(car: Car) -> dict:
    """The teeth of both ends, as counted once the bar is open."""
    return {"inner_teeth": car.teeth[0], "outer_teeth": car.teeth[1]}


def usual_request(car: Car, log: list[dict]) -> dict:
    """All facts, the car's own target as heights, and the log."""
    target, _ = wished(car, "heights", log, (), LEVEL)
    return {"car": facts(car, PAPERS), "target": target, "log": log}
