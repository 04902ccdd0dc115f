"""From the sheet to the solve request, and back to the entry a problem is about."""

import json

import pytest

from book.pages import JOB, Page
from bothends.book.sheet.fold import fold
from bothends.book.sheet.request import entry_at, request, with_entries
from bothends.model.fields import FORMS, inside
from bothends.model.problem import ModelProblem
from bothends.model.solve import solve
from bothends.service.http.strict_json import decode
from bothends.service.wire.request import SolveRequest

BAR = {"diameter_mm": 22.0, "length_mm": 600.0, "inner_teeth": 40, "outer_teeth": 44}


def measured(page=None):
    page = page or Page()
    page.write("job", {"title": "Level the rear", "owner": "Maren", "car": "Gannet roadster"})
    page.write("car", {"bar": BAR, "arm_mm": 415.0, "paint": "sea green"})
    page.write("target", {"left_mm": 230.0, "right_mm": 230.0})
    for side, hanging, height in (("left", 3.1, 214.0), ("right", 2.4, 209.0)):
        page.reading(hanging, what="hanging-angle", side=side)
        page.reading(-9.6, what="riding-angle", side=side)
        page.reading(height, side=side)
    return page


def test_the_solver_takes_the_request_of_a_measured_job():
    made = request(fold(JOB, measured().entries))
    assert made["stops"] == []
    answer = solve(made["request"])
    assert 0.0 <= answer["options"][0]["odds"] <= 1.0


def test_fields_the_solver_does_not_know_stay_in_the_book():
    page = measured()
    page.reading(215.0, colour="red", pose={"hanging": False, "moon": "full"})
    made = request(fold(JOB, page.entries))["request"]
    assert "paint" not in made["car"]
    assert made["log"][-1] == {
        "kind": "reading",
        "what": "body-height",
        "side": "left",
        "value": 215.0,
        "teardown": 0,
        "pose": {"hanging": False},
    }


def test_spot_follow_up_settling_and_held_ends_go_to_the_solver():
    page = measured()
    page.write("car", {"held": {"left": ["inner"], "right": []}})
    page.reading(214.0, spot="lift bay", after_km=120, resettled=1)
    made = request(fold(JOB, page.entries))["request"]
    assert made["car"]["held"] == {"left": ["inner"], "right": []}
    (last,) = [entry for entry in made["log"] if entry.get("spot")]
    assert (last["spot"], last["after_km"], last["resettled"]) == ("lift bay", 120, 1)


@pytest.mark.parametrize("form", FORMS, ids=lambda form: form.name)
def test_a_target_goes_to_the_solver_in_its_own_form_and_no_other(form):
    every = {f.name: min(max(20.0, f.low), f.high) for f in inside("target")} | {
        "measured": "body-height",
        "at": "mean",
        "spot": "bay",
    }
    page = measured()
    page.write("target", {**every, "as": form.name})
    made = request(fold(JOB, page.entries))["request"]
    assert set(made["target"]) == {"as", *form.needs, *form.may}
    assert decode(json.dumps(made).encode(), SolveRequest)


def test_one_weighed_wheel_stands_for_both():
    page = measured()
    page.write("car", {"load_kg": {"left": 230.0}})
    assert request(fold(JOB, page.entries))["request"]["car"]["load_kg"] == {"left": 230.0, "right": 230.0}


def test_a_problem_leads_back_to_the_entry_that_caused_it():
    page = measured()
    wrong = page.reading(88.0, what="body-height", side="left")
    wrong["body"]["value"] = 99999.0
    made = request(fold(JOB, page.entries))
    with pytest.raises(ModelProblem) as caught:
        solve(made["request"])
    assert entry_at(caught.value.path, made["ids"]) == wrong["id"]
    assert entry_at("$.car.arm_mm", made["ids"]) is None
    assert entry_at("$.log[999].value", made["ids"]) is None


def test_a_doubt_names_its_entry():
    page = measured()
    flipped = page.reading(9.6, what="riding-angle", side="left")
    made = request(fold(JOB, page.entries))
    answer = with_entries({"doubts": [{"log_index": made["ids"].index(flipped["id"])}]}, made["ids"])
    assert answer["doubts"][0]["entry"] == flipped["id"]


def test_a_move_in_dispute_stops_the_plan_until_it_is_settled():
    page = measured()
    one = page.move(1, left=(-3, 4))
    other = page.move(1, left=(3, -4))
    stops = request(fold(JOB, page.entries))["stops"]
    assert [s["code"] for s in stops] == ["unsettled-move"]
    assert stops[0]["entries"] == [one["id"], other["id"]]
    page.write("settle", {"keeps": one["id"], "drops": [other["id"]]})
    assert request(fold(JOB, page.entries))["stops"] == []


def test_a_teardown_that_has_not_arrived_is_named():
    page = measured()
    page.move(2)
    assert [s["code"] for s in request(fold(JOB, page.entries))["stops"]] == ["missing-move"]
    page = measured()
    page.heights(230.0, 230.0, teardown=1)
    assert [s["code"] for s in request(fold(JOB, page.entries))["stops"]] == ["missing-move"]


def test_a_job_without_a_target_says_so_and_nothing_about_the_car_is_asked_for():
    assert [s["code"] for s in request(fold(JOB, []))["stops"]] == ["missing-target"]


def test_what_was_learned_last_time_goes_into_the_request_unless_refused():
    first = request(fold(JOB, measured().entries))["request"]
    posterior = solve(first)["posterior"]
    page = measured()
    page.write("known", {"job": JOB, "posterior": posterior})
    known = request(fold(JOB, page.entries))["request"]
    assert known["car"]["known"] == posterior
    solve(known)
    page.write("known", {"use": False})
    assert "known" not in request(fold(JOB, page.entries))["request"]["car"]
