"""A check of ours for schemathesis: where a body fits the schema and is refused all the same, it is refused by a
rule that spans fields, which a schema cannot say. Stands in for the 400 that its own check is told to accept.

And a choice among its ten thousand cases at and beyond every bound, for the form of the attack that every run has.
"""

import os
import re
from collections import Counter

import schemathesis

CODES = {"bad-log", "missing-reading", "no-equilibrium", "not-converged", "too-deep", "wrong-id"}
CODES |= {
    "bad-parameter"
}  # a following request takes parameters from an earlier answer; it may fit no schema
PLACES = re.compile(
    r"\$\.car\.bar\.bore_mm|\$\.car\.known|\$\.log\[\d+\]\.(value|sd)|\$\.target\.(other\.)?(left|right)_mm|\$\.target\.other"
    r"|at|\$\.change\.bar\.(bore|diameter)_mm|\$\.change\.load_kg\.(left|right)|\$\.change\.target\.\w+"
)
"""Fields whose bounds depend on another field: the bore on the diameter, a value on what was read, a height wanted
on which mark is meant, the other axle's target on whether that axle is known, where a part of a photo begins on its
size, what is taken off on what is carried, another target's fields on the form it takes."""


@schemathesis.check
def valid_bodies_are_refused_across_fields_only(ctx, response, case):
    """Fail on a 400 to a schema-valid body unless the reason is one that spans fields."""
    if response.status_code == 400 and case.meta is not None and case.meta.generation.mode.is_positive:
        problem = response.json()
        fair = problem["code"] in CODES or bool(PLACES.fullmatch(problem.get("path", "")))
        assert fair, f"a body that fits the schema was refused: {problem}"


FIRST, THEN = 1, 60
"""Of each kind of case of an operation the first so many are tried, then every so manieth."""
tried: Counter[tuple[str, ...]] = Counter()


if "BOTHENDS_ATTACK_SHORT" in os.environ:

    @schemathesis.hook
    def filter_case(context, case):
        """Keep of each kind (too long, beyond a bound, of another type ...) the first ones and some of the rest.

        The kinds are those of each operation and place, so no operation, place or kind is left out.
        """
        about = case.meta and case.meta.phase.data
        mode = case.meta and case.meta.generation.mode
        said = (mode, getattr(about, "scenario", None), getattr(about, "parameter_location", None))
        kind = (case.operation.label, *map(str, said))
        tried[kind] += 1
        return tried[kind] <= FIRST or tried[kind] % THEN == 0
