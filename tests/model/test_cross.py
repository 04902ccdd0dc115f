"""Loads of four wheels: they say the absolute cross-weight, and front loads say nothing else."""

import pytest

from bothends.model.beliefs import PAD_MM
from bothends.model.problem import ModelProblem
from bothends.model.request import read
from bothends.model.solve import solve
from bothends.model.what_if import what_if
from model.cars import Sheet, Truth

FRONT = (300.0, 310.0)


def front(sheet, loads=FRONT, **fields):
    for side, value in zip(("left", "right"), loads, strict=True):
        entry = {"kind": "reading", "what": "wheel-load", "axle": "front", "side": side, "value": value}
        sheet.log.append({**entry, "teardown": sheet.teardown, **fields})
    return sheet


def sheet():
    return Sheet(Truth()).plain(2).boards()


def four(**fields):
    return front(sheet().both("wheel-load"), **fields).request()


def loads_of(request):
    rows = [e for e in request["log"] if e.get("what") == "wheel-load"]
    return {(e.get("axle", "rear"), e["side"]): e["value"] for e in rows}


def test_front_loads_change_nothing_but_cross_weight():
    without = solve(sheet().both("wheel-load").request())
    answer = solve(four())
    for option in answer["options"] + without["options"]:
        option.pop("cross_weight")
    assert answer.pop("cross_weight") is not None
    assert without.pop("cross_weight") is None
    assert answer == without


def test_front_loads_alone_leave_the_rear_as_if_nothing_was_weighed():
    without, answer = solve(sheet().request()), solve(front(sheet()).request())
    assert answer == without
    assert answer["cross_weight"] is None


def test_a_front_load_that_makes_no_sense_raises_no_doubt():
    request = four()
    request["log"][-1]["value"] = 4000.0
    answer = solve(request)
    assert answer["doubts"] == []
    assert not answer["withheld"]


def test_cross_weight_now_is_what_the_scales_show():
    request = four()
    loads = loads_of(request)
    found = solve(request)["cross_weight"]
    part = loads["front", "right"] + loads["rear", "left"]
    whole = sum(loads.values())
    assert found["now"]["percent"]["value"] == pytest.approx(100.0 * part / whole)
    assert found["now"]["diagonals_kg"]["value"] == pytest.approx(2.0 * part - whole)
    assert found["now"]["loads_kg"]["front"] == pytest.approx({"left": 300.0, "right": 310.0})
    assert (found["teardown"], found["after_km"], found["carried"]) == (0, None, False)


def test_each_option_says_now_and_its_change():
    answer = solve(four())
    now = answer["cross_weight"]["now"]
    whole = sum(loads_of(four()).values())
    for option in answer["options"]:
        change = option["cross_weight_kg"]
        after = option["cross_weight"]
        assert after["percent"]["value"] - now["percent"]["value"] == pytest.approx(100.0 * change / whole)
        assert after["diagonals_kg"]["value"] - now["diagonals_kg"]["value"] == pytest.approx(2.0 * change)
        assert after["percent"]["sd"] >= now["percent"]["sd"]
        totals = [sum(after["loads_kg"][axle].values()) for axle in ("front", "rear")]
        assert totals == pytest.approx([sum(now["loads_kg"][axle].values()) for axle in ("front", "rear")])


def test_the_spread_is_that_of_the_scales_and_of_a_pad_off_level():
    spreads = []
    for sd in (0.01, 3.0):
        request = four()
        for entry in request["log"]:
            if entry.get("what") == "wheel-load":
                entry["sd"] = sd
        spreads.append(solve(request)["cross_weight"]["now"]["diagonals_kg"]["sd"])
    pad, both = spreads
    # Four scales of 3 kg each, beside a pad that lies off level however good the scales are.
    assert both**2 - pad**2 == pytest.approx(4 * 3.0**2, rel=0.02)
    assert 3.0 < pad < 4.0 * PAD_MM


def test_repeats_and_pairs_are_one_weighing():
    request = four()
    again = [dict(e, value=e["value"] + 2.0) for e in request["log"] if e.get("what") == "wheel-load"]
    request["log"] += again
    found = solve(request)["cross_weight"]["now"]
    assert found["loads_kg"]["front"] == pytest.approx({"left": 301.0, "right": 311.0})


@pytest.mark.parametrize(
    "part",
    [
        {"teardown": 1},
        {"after_km": 300},
        {"pose": {"board_left_mm": 50.0}},
        {"pose": {"ballast_left_kg": 70.0}},
    ],
)
def test_loads_of_two_stages_or_poses_make_no_four(part):
    weighed = sheet().both("wheel-load")
    weighed.move((0, 1), (0, 1))
    request = front(weighed, **{"teardown": 0, **part}).request()
    assert solve(request)["cross_weight"] is None


def test_blocks_of_one_height_under_both_wheels_do_not_warp_the_car():
    pose = {"board_left_mm": 60.0, "board_right_mm": 60.0}
    assert solve(four(pose=pose))["cross_weight"] is not None


def test_loads_of_before_a_teardown_are_carried_over_it():
    truth = Truth()
    weighed = front(Sheet(truth).plain(2).boards().both("wheel-load"))
    weighed.move((0, 2), (0, 0))
    weighed.plain(2)
    carried = solve(weighed.request())["cross_weight"]
    assert carried["carried"]
    rear = [weighed.true("wheel-load", side) for side in (0, 1)]
    assert carried["now"]["loads_kg"]["rear"]["left"] == pytest.approx(rear[0], abs=0.5)
    assert carried["now"]["loads_kg"]["rear"]["right"] == pytest.approx(rear[1], abs=0.5)
    # What was weighed again goes before what was carried.
    last = solve(front(weighed.both("wheel-load"), (290.0, 320.0)).request())["cross_weight"]
    assert (last["carried"], last["teardown"]) == (False, 1)
    assert last["now"]["percent"]["sd"] < carried["now"]["percent"]["sd"]


@pytest.mark.parametrize("side", [0, 1])
def test_ballast_that_the_target_wants_is_carried_to_with_all_totals(side):
    ballast = tuple(70.0 if s == side else 0.0 for s in (0, 1))
    request = four()
    request["target"][f"ballast_{('left', 'right')[side]}_kg"] = 70.0
    found = solve(request)["cross_weight"]
    assert found["carried"]
    loads = found["now"]["loads_kg"]
    assert sum(loads["front"].values()) == pytest.approx(sum(FRONT))
    true = sheet()
    for s, name in enumerate(("left", "right")):
        assert loads["rear"][name] == pytest.approx(true.true("wheel-load", s, ballast_kg=ballast), abs=0.5)
        before = loads_of(four())
        whole = before["front", name] + before["rear", name] + ballast[s]
        assert loads["front"][name] + loads["rear"][name] == pytest.approx(whole, abs=1e-6)


def test_what_cannot_be_had_together_is_said_with_the_lean_that_fifty_percent_needs():
    found = solve(four(loads=(280.0, 330.0)))
    words = found["cross_weight"]["words"]
    first = found["options"][0]
    lean = found["cross_weight"]["even_lean_mm"]
    roll = found["learned"]["roll_support_n_per_mm"]["value"]
    off = first["cross_weight"]["diagonals_kg"]["value"] / 2.0
    assert lean["value"] == pytest.approx(first["lean_mm"]["value"] - off * 9.80665 / roll, abs=0.2)
    assert "not both" in words
    assert f"{first['cross_weight']['percent']['value']:.1f} % (RF + LR)" in words
    assert f"right side {-lean['value']:.0f} mm higher than the left" in words


def test_where_the_scales_cannot_tell_it_from_fifty_percent_that_is_said():
    assert "as far as the scales can tell" in solve(four(loads=(304.0, 306.0)))["cross_weight"]["words"]


def test_a_target_without_heights_says_no_lean():
    request = front(
        Sheet(Truth()).both("riding-angle", "hanging-angle", "wheel-load"), (250.0, 360.0)
    ).request()
    request["target"] = {"as": "rise", "left_rise_mm": 20.0, "right_rise_mm": 20.0}
    found = solve(request)["cross_weight"]
    assert found["even_lean_mm"] is None
    assert found["words"].endswith("% (RF + LR).")


def test_another_target_has_its_own_cross_weight_and_the_bench_stays_as_it_was():
    assert what_if(four(), {"load_kg": {"left": 30.0}})["trial"]["lean_mm"] is not None


def test_only_wheel_loads_are_read_at_the_front():
    for what, value in (("body-height", 200.0), ("riding-angle", 3.0)):
        request = four()
        request["log"].append(
            {"kind": "reading", "what": what, "side": "left", "axle": "front", "value": value, "teardown": 0}
        )
        with pytest.raises(ModelProblem, match="leave axle out") as problem:
            read(request)
        assert problem.value.path == f"$.log[{len(request['log']) - 1}].axle"
    request = four()
    request["log"][-1]["axle"] = "middle"
    with pytest.raises(ModelProblem, match="rear, front"):
        read(request)
