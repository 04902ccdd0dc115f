"""Gauge readings against a datum on the body.

The reversal of a gauge turned end for end is the phone's: tests/browser/test_gauge.py checks it. Not checked,
because the product has no such arithmetic: the second-order errors of a gauge held askew.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bothends.model.request import read


def as_read(**fields):
    """The first reading of a request whose first entry carries these fields, [deg]."""
    bar = {"diameter_mm": 22.0, "length_mm": 600.0, "inner_teeth": 40, "outer_teeth": 44}
    log = [{"kind": "reading", "what": "hanging-angle", "side": "left", **fields}]
    for side in ("left", "right"):
        log.append({"kind": "reading", "what": "hanging-angle", "side": side, "value": 17.5})
        log.append({"kind": "reading", "what": "body-height", "side": side, "value": 220.0})
    case = read(
        {
            "car": {"bar": bar, "arm_mm": 415.0},
            "target": {"left_mm": 250.0, "right_mm": 250.0},
            "log": log,
        }
    )
    return case.readings[0]


DEG = 0.017453292519943295


def test_the_sill_is_subtracted_from_the_arm():
    # Source: an owner's article on a rear-engined van (lift the arm lightly to take up spline play; floor level or
    # the tilt allowed for): body -1.3, arm 16.2, so 17.5. The order of readings, sill first and then the arm, is
    # in the manufacturer's service data of a rear-engined sports car, 1984, steps 1-5, figs. 6 and 7.
    assert as_read(value=16.2, datum=-1.3).value / DEG == pytest.approx(17.5, abs=1e-12)


@given(st.floats(-40.0, 40.0), st.floats(-20.0, 20.0), st.floats(-20.0, 20.0))
@settings(max_examples=60, deadline=None, database=None, derandomize=True)
def test_tilt_and_zero_error_cancel(arm, sill, constant):
    # Source: geometry, derived: body tilt and zero error both cancel in the difference when the gauge faces the
    # same way for both readings.
    one = as_read(value=arm, datum=sill)
    two = as_read(value=arm + constant, datum=sill + constant)
    assert two.value == pytest.approx(one.value, abs=1e-12)
    assert one.sd == two.sd


def test_a_difference_of_two_readings_is_less_sure_than_one():
    # Source: GUM, a difference of two readings of the same spread has the root of two times it.
    assert as_read(value=3.0).sd / DEG == pytest.approx(0.2)
    assert as_read(value=3.0, datum=1.0).sd / DEG == pytest.approx(0.2 * 2**0.5, rel=0.02)
