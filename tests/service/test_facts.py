"""One table of facts: both edges, the solver's and the logbook's, say what the table says, no more and no less."""

import json
import subprocess
import sys

import msgspec
import pytest
from msgspec import inspect
from service.contract import DOCUMENT

from bothends.book import bodies
from bothends.book.facts import fields_of, reading_of
from bothends.model import fields, wish
from bothends.model.beliefs import AT_FRONT
from bothends.service.wire import bench, request

LOGBOOKS_OWN = {"log.corrects", "log.method"}
"""Fields of an entry's body that no request has."""
HANDS_OVER = {"target.as", "target.other.as", "log.what"}
"""Fields that tell forms apart: each form has its own word."""


def table() -> dict:
    """Path, and what the table says of it, of every field that a solve request may have."""
    said = {
        f.path: (*f.widest, f.whole, None if f.path in AT_FRONT else f.default, None) for f in fields.FIELDS
    }
    said = {path: row for path, row in said.items() if not path.startswith("change.")}
    for word in fields.WORDS:
        longest = None if word.choices else word.longest
        said[word.path] = (None, longest, False, word.default, word.choices)
    return said


def walk(kind, path="", *, patch=False) -> dict:
    """The same read off a struct and the structs in it."""
    said = {}
    for item in flat(inspect.type_info(kind) if not isinstance(kind, inspect.Type) else kind):
        for field in item.fields:
            name = f"{path}{field.encode_name}"
            if name in ("car.known", "target", "target.other", "car", "log", *LOGBOOKS_OWN):
                continue
            inner = flat(field.type)
            if isinstance(inner[0], inspect.StructType):
                said |= walk(field.type, f"{name}.", patch=patch)
                continue
            if name in ("log.value", "log.sd"):
                continue
            (one,) = inner
            said[name] = facts_of(one, field)
            if patch and not field.required:
                assert field.default in (None, 0), name
    return said


def facts_of(one, field):
    """Bounds, whether whole, default and choices of a field."""
    default = None if field.default is inspect.NODEFAULT else field.default
    if field.default_factory is list:
        default = ()
    if isinstance(one, inspect.FloatType):
        return (one.ge, one.le, one.multiple_of == 1, default, None)
    if isinstance(one, inspect.BoolType):
        return (None, None, False, default, (False, True))
    if isinstance(one, inspect.ListType):
        return (None, None, False, default, tuple(one.item_type.values))
    if isinstance(one, inspect.LiteralType):
        return (None, None, False, default, tuple(one.values))
    return (None, one.max_length, False, default, ())


def flat(info):
    """Members of a union but null, annotations taken off."""
    if isinstance(info, inspect.Metadata):
        return flat(info.type)
    if isinstance(info, inspect.UnionType):
        return [inner for member in info.types for inner in flat(member)]
    return [] if isinstance(info, inspect.NoneType) else [info]


def in_order(said: dict) -> dict:
    """The same with choices in one order, since a struct keeps none."""
    return {
        path: (*row[:4], tuple(sorted(row[4])) if row[4] and len(row[4]) > 1 else row[4])
        for path, row in said.items()
    }


def of_the_solver() -> dict:
    said = walk(request.SolveRequest) | walk(request.Car, "car.")
    for kind in request.TARGETS.values():
        said |= walk(kind, "target.")
    for kind in request.OTHER_TARGETS.values():
        said |= walk(kind, "target.other.")
    said |= walk(request.Reading, "log.") | walk(request.Ends, "log.left.") | walk(request.Ends, "log.right.")
    return said


def of_the_logbook() -> dict:
    said = walk(bodies.CarBody, "car.", patch=True) | walk(bodies.TargetBody, "target.", patch=True)
    for kind in bodies.READINGS:
        said |= walk(kind, "log.", patch=True)
    ends = {f"log.{side}.": bodies.TeethBody for side in fields.SIDES}
    for path, kind in ends.items():
        said |= walk(kind, path)
    return said


def test_the_solvers_edge_has_every_field_of_the_table_and_no_other():
    here = in_order(of_the_solver())
    there = in_order(
        {path: row for path, row in table().items() if not path.startswith(("log.value", "log.sd"))}
    )
    assert set(here) == set(there)
    for path in set(there) - HANDS_OVER:
        assert here[path] == there[path], path


def test_the_schema_says_what_is_believed_of_either_axle_where_they_differ():
    for path, front in AT_FRONT.items():
        said = DOCUMENT["components"]["schemas"]["Car"]["properties"][path.removeprefix("car.")]
        assert said["default"] is None
        rear = fields.field(path).default
        assert f"Left out: {rear:g} at the rear, {front:g} at the front." in said["anyOf"][0]["description"]


def test_the_logbooks_edge_has_the_same_fields_with_the_same_bounds_and_no_default():
    here = in_order(of_the_logbook())
    # The log keeps no target of the other axle.
    without = ("log.value", "log.sd", fields.AIM + ".")
    there = in_order({path: row for path, row in table().items() if not path.startswith(without)})
    assert set(here) == set(there) - {"units", "log.what"}
    for path in set(here) - HANDS_OVER:
        assert here[path][:3] == there[path][:3], path
        assert here[path][4] == there[path][4], path


def test_the_models_own_check_of_a_target_has_the_forms_of_the_table():
    there = {form.name: {"as", *form.needs, *form.may} for form in fields.FORMS}
    assert {name: set(taken) for name, taken in wish.FORMS.items()} == there


def test_both_edges_take_a_reading_of_every_kind_within_its_bounds():
    assert [kind.__struct_config__.tag for kind in bodies.READINGS] == [kind.name for kind in fields.KINDS]
    for kind, ours, logs in zip(fields.KINDS, request.ALTERNATIVES["Reading"], bodies.READINGS, strict=True):
        for struct in (ours, logs):
            rows = {f.encode_name: f for f in inspect.type_info(struct).fields}
            value, spread = (flat(rows[name].type)[0] for name in ("value", "sd"))
            assert (value.ge, value.le) == kind.value.limits
            assert (spread.ge, spread.le) == kind.spread.limits
            assert ("datum" in rows) == ("reference" in rows) == kind.angle


def test_a_trial_names_nothing_that_the_table_does_not_have():
    rows = walk(bench.BarChange, "car.bar.") | walk(bench.TargetChange, "target.")
    rows["car.limits.permissible_stress_mpa"] = rows.pop("car.bar.permissible_stress_mpa")
    known = in_order(table())
    for path, row in in_order(rows).items():
        assert (row[:3], row[4]) == (known[path][:3], known[path][4])
    more = walk(bench.LoadChange, "change.load_kg.")
    assert {p: r[:2] for p, r in more.items()} == {f.path: f.limits for f in fields.inside("change.load_kg")}


CHANGED = """
from bothends.model import fields, wish
from bothends.model.beliefs import AT_FRONT
fields.field("car.arm_mm").high = 1234.0
fields.field("target.tolerance_mm").default = 6.0
fields.field("log.value.wheel-load").high = 4321.0
from bothends.service.app import create_app
from bothends.service.api.document import render
print(render(create_app()).decode())
"""


@pytest.mark.slow
def test_a_bound_or_default_changed_in_the_table_changes_the_schema_at_both_edges():
    run = subprocess.run([sys.executable, "-c", CHANGED], capture_output=True, text=True, check=True)
    schemas = json.loads(run.stdout)["components"]["schemas"]
    for car in ("Car", "CarBody"):
        assert schemas[car]["properties"]["arm_mm"]["anyOf"][0]["maximum"] == 1234
    assert schemas["HeightsTarget"]["properties"]["tolerance_mm"]["default"] == 6
    for reading in ("WheelLoad", "WheelLoadReading"):
        assert schemas[reading]["properties"]["value"]["maximum"] == 4321


def test_a_kind_of_reading_added_to_the_table_has_its_bounds_and_no_datum(monkeypatch):
    class Log(msgspec.Struct, kw_only=True, forbid_unknown_fields=True):
        """A body of the test's own."""

    monkeypatch.setitem(
        fields._BY_PATH, "log.value.toe", fields.Field("log.value.toe", "mm", -9.0, 9.0, None, "Toe.")
    )
    monkeypatch.setitem(
        fields._BY_PATH, "log.sd.toe", fields.Field("log.sd.toe", "mm", 0.1, 5.0, None, "Spread.")
    )
    toe = fields.Kind("toe", "mm", 0.5, 0.1, "toe", "toe_mm", "toe_{}_mm")
    kind = reading_of([toe])(Log)
    read = {"what": "toe", "side": "left", "value": 9.0}
    assert msgspec.convert(read, kind).value == 9.0
    for wrong in ({"value": 9.5}, {"sd": 6.0}, {"datum": 1.0}, {"what": "heel"}):
        with pytest.raises(msgspec.ValidationError):
            msgspec.convert({**read, **wrong}, kind)


def test_a_patch_may_leave_out_or_take_back_every_field():
    class Empty(msgspec.Struct, kw_only=True):
        """A body of the test's own."""

    for part in ("car", "car.bar", "target", "log.pose"):
        kind = fields_of(part, patch=True)(Empty)
        names = [f.encode_name for f in inspect.type_info(kind).fields]
        assert names
        assert msgspec.convert({}, kind) == msgspec.convert(dict.fromkeys(names), kind)
