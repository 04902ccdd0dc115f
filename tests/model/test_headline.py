"""The answer in one sentence: its code, the one reason that matters, the way out; and when a car is left alone."""

import functools
import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize

from bothends.model.choose import LEAST_AS_IT_IS
from bothends.model.sentences import HEADLINES, WHERE
from bothends.model.solve import solve
from model.cars import SIDES, Sheet, Truth, drawn, steady
from model.cases import EVERY, WIDE, rise, stood, tossed, wished
from model.cases import HEADLINES as CASES
from model.test_option import stress_mpa

CODES = {
    "as-wished": "as-wished",
    "as-wished-then": "as-wished",
    "turn": "turn",
    "turn-coarse": "turn",
    "turn-held": "turn",
    "turn-degrees": "turn-degrees",
    "turn-degrees-left": "turn-degrees",
    "turn-degrees-right": "turn-degrees",
    "turn-degrees-held": "turn-degrees",
    "read-first": "read-first",
    "read-first-move": "read-first",
    "read-first-loads": "read-first",
    "forbidden-lower": "forbidden",
    "forbidden-higher": "forbidden",
    "forbidden-stop": "forbidden",
    "forbidden-bars": "forbidden",
    "forbidden-joint": "forbidden",
    "forbidden-steep": "forbidden",
    "forbidden-slack": "forbidden",
    "out-of-reach": "out-of-reach",
    "nothing-better": "out-of-reach",
    "held": "out-of-reach",
    "adjust": "turn",
    "adjust-teeth": "turn",
    "adjust-short": "turn",
    "adjust-shared": "turn",
    "adjust-shared-short": "turn",
    "adjusted-out": "out-of-reach",
    "read-first-turns": "read-first",
}
MOST_WORDS = 14
"""What is read at a glance; degrees with both their ways and what to do next may take three more, turns beside
teeth five."""


FEWER = len(EVERY) + 60
"""How many of the requests that are asked the tests look at whose subject is the words."""


@functools.cache
def asked() -> list[dict]:
    """Every case of the tests, and what cars and mechanics drawn at random ask."""
    return [*EVERY.values(), *[tossed(seed) for seed in range(100)]]


@functools.cache
def answered(number: int) -> dict:
    """The answer to one of them, worked out once for the tests of this file, none of which changes it."""
    return solve(asked()[number])


def pattern(template: str) -> str:
    """A sentence's template as a pattern of what it may say."""
    parts = re.split(r"%\(\w+\)[.\d]*[sdf]", template)
    return ".+".join(re.escape(part) for part in parts)


def named(words: str) -> set:
    """Which templates a headline may have been written by, the most particular first."""
    return {name for name, text in HEADLINES.items() if re.fullmatch(pattern(text), words)}


def ends(side: dict) -> str:
    """Which ends of a side are turned, as `sentences.WHERE` names them."""
    turned = [end for end in ("inner", "outer") if side[end]]
    return "both" if len(turned) == 2 else turned[0] if turned else "none"


def test_there_is_a_case_for_every_headline():
    assert set(CODES) == set(CASES) == set(HEADLINES)


@pytest.mark.parametrize("name", CODES)
def test_every_headline_is_reached_and_has_its_code(name):
    found = solve(CASES[name])["headline"]
    assert found["code"] == CODES[name]
    # A plain one also matches those with more to say: the other way round none does.
    assert name in named(found["words"])
    fuller = [other for other in named(found["words"]) if len(HEADLINES[other]) > len(HEADLINES[name])]
    assert fuller == []


@pytest.mark.slow
@pytest.mark.parametrize("units", ["metric", "inch"])
def test_a_headline_is_read_at_a_glance_and_leaves_the_chance_to_what_stands_beside_it(units):
    for number, request in enumerate(asked()[:FEWER]):
        known = request.get("units", "metric") == units
        found = (answered(number) if known else solve({**request, "units": units}))["headline"]
        more = 3 if found["code"] == "turn-degrees" else 5 if re.search("[Ss]et the", found["words"]) else 0
        assert len(found["words"].split()) <= MOST_WORDS + more, found["words"]
        assert "chance" not in found["words"]
        assert "in 100" not in found["words"]


def test_a_headline_says_which_ends_are_turned_and_what_comes_of_it():
    said = 0
    for number in range(FEWER):
        answer = answered(number)
        first = answer["options"][0]
        words = answer["headline"]["words"]
        if words.startswith("Set the"):
            assert first["ends_disturbed"] == 0
            said += 1
        elif answer["headline"]["code"] == "turn" and "; set the" in words:
            assert words.startswith(f"Turn {WHERE[ends(first['left']) + '-' + ends(first['right'])]}; ")
        elif answer["headline"]["code"] == "turn":
            assert words.startswith(f"Turn {WHERE[ends(first['left']) + '-' + ends(first['right'])]}: ")
            if named(words) == {"turn"} and answer["target"]["as"] != "hanging-angle":
                heights = [first[side]["body_height_mm"] for side in SIDES]
                for side, height in zip(SIDES, heights, strict=True):
                    if None not in heights:
                        assert f"{side} {height['value']:.0f} mm" in words
                        said += 1
                    else:
                        rise = first[side]["rise_mm"]["value"]
                        way = f"{'up' if rise > 0 else 'down'} {abs(rise):.0f} mm"
                        assert f"{side} {way}" in words or (abs(rise) < 0.5 and f"{side} no change" in words)
        if answer["headline"]["code"] == "turn-degrees":
            for side in SIDES:
                turn = first[side]["turn_deg"]
                assert (f"{abs(turn):.1f}°" in words) == (turn != 0.0)
                assert (f"arm {'down' if turn > 0 else 'up'}" in words) or turn == 0.0
    assert said


def test_arms_that_turn_opposite_ways_are_each_told_theirs():
    words = solve({**CASES["turn-degrees"], "target": rise(30.0, -30.0, tolerance_mm=14.0)})["headline"][
        "words"
    ]
    assert re.fullmatch(
        r"Left: turn \S+° arm down, right: \S+° arm up\. Count the teeth when the arm is free\.", words
    )


def test_a_thousand_and_fifty_six_megapascal_against_a_thousand_given_are_forbidden_and_said_with_the_way_out():
    request = wished(stood(), rise(105.0), limits={**WIDE})
    turned = solve(request)["options"][0]["left"]["hanging_deg"]
    bump = optimize.brentq(lambda mm: stress_mpa(turned, mm) - 1056.0, 1.0, 200.0)
    request["car"]["limits"] = {"bump_mm": bump, "droop_mm": 300.0, "permissible_stress_mpa": 1000.0}
    answer = solve(request)
    first = answer["options"][0]
    assert first["left"]["stress_at_bump_mpa"] == pytest.approx(1056.0, abs=0.01)
    left = first["obstacles"][0]
    assert (left["what"], left["side"], left["given"]) == ("stress", "left", True)
    assert left["by_mpa"] == pytest.approx(56.0, abs=0.01)
    assert "1,056 MPa in the bar at full bump, above the 1,000 MPa given" in left["words"]
    assert not first["recommended"]
    assert answer["headline"] == {
        "code": "forbidden",
        "words": "Try other bars: the left bar would carry 56 MPa too much.",
    }


@pytest.mark.parametrize(("name", "what"), [("forbidden-lower", "droop"), ("forbidden-higher", "bump")])
def test_the_way_out_that_a_headline_names_is_one(name, what):
    # So many millimetres less are asked for: then that limit stops nothing.
    request = CASES[name]
    answer = solve(request)
    by = max(o["by_mm"] for o in answer["options"][0]["obstacles"] if o["what"] == what)
    way = "Lower" if what == "droop" else "Raise"
    assert answer["headline"]["words"].startswith(f"{way} the target by {math.ceil(by)} mm: ")
    less = by if what == "droop" else -by
    eased = {**request["target"]}
    # Half a fine step of either side may still stand over it: that is 3 mm.
    for side in SIDES:
        eased[f"{side}_rise_mm"] -= less + (3.0 if what == "droop" else -3.0)
    again = solve({**request, "target": eased})
    assert again["headline"]["code"] == "turn"
    assert again["options"][0]["stopped_by"] == []


@pytest.mark.parametrize("limit", [100.0, 400.0, 600.0])
def test_the_stress_of_the_car_as_found_is_never_flagged(limit):
    # As found it is above all of these already.
    request = wished(stood(), rise(-40.0), limits={**WIDE, "permissible_stress_mpa": limit})
    answer = solve(request)
    assert all(o["left"]["stress_at_bump_mpa"] > limit for o in answer["options"])
    for option in answer["options"]:
        lowered = [side for side in SIDES if option[side]["turn_deg"] <= 0.0]
        assert not [o for o in option["obstacles"] if o["what"] == "stress" and o["side"] in lowered]
    assert answer["headline"]["code"] == "turn"
    # Raised, the plan brings more of it.
    request["target"] = rise(40.0)
    assert solve(request)["headline"]["code"] == "forbidden"


@given(st.integers(0, 400))
@steady(80)
def test_leaving_it_is_never_flagged_on_a_car_that_nobody_touched(seed):
    request = tossed(seed)
    request["car"]["limits"] = {"bump_mm": 0.0, "droop_mm": 0.0, "stop_deg": -30.0, "joint_deg": 0.1,
                                "permissible_stress_mpa": 50.0}  # fmt: skip
    leave = [o for o in solve(request)["options"] if o["label"] == "leave it"]
    assert [o["stopped_by"] for o in leave] == [[]]


def steps_off(answer: dict) -> bool:
    """Whether the car as it is lies outside the target."""
    target = answer["target"]
    off = [answer["now"][s]["body_height_mm"]["value"] - target[s + "_mm"] for s in SIDES]
    return not (
        max(abs(x) for x in off) <= target["tolerance_mm"] and abs(off[0] - off[1]) <= target["lean_mm"]
    )


@pytest.mark.slow(seconds=2)
@given(
    st.integers(0, 300),
    st.floats(-15.0, 15.0),
    st.floats(-8.0, 8.0),
    st.sampled_from([None, (20, 20), (12, 13)]),
)
@steady(80)
def test_leaving_it_leads_only_where_the_car_is_as_wished_or_nothing_turned_does_better(
    seed, up, apart, teeth
):
    sheet = Sheet(drawn(seed), np.random.default_rng(seed)).plain(2)
    answer = solve(wished(sheet, rise(up, up + apart), teeth=teeth))
    first, *rest = answer["options"]
    if first["ends_disturbed"]:
        assert rest[-1]["label"] == "leave it"
        return
    if answer["headline"]["code"] == "as-wished":
        assert not steps_off(answer)
        # Five points of odds are not worth a teardown.
        assert first["odds"] >= max([o["odds"] for o in rest if not o["stopped_by"]], default=0.0) - 0.05
    else:
        assert answer["headline"]["code"] == "out-of-reach"
        assert first["odds"] >= LEAST_AS_IT_IS
        assert all(o["odds"] <= first["odds"] for o in rest)


def test_what_is_forbidden_comes_after_what_is_not_even_where_its_odds_are_better():
    # The left side may not drop at all; the right side may do what it likes.
    truth = Truth(hanging_deg=(10.0, 10.0))
    sheet = Sheet(truth).plain(2).read("riding-angle", 0, hung_deg=-5.0)
    answer = solve(wished(sheet, rise(55.0, 20.0)))
    stops = [bool(o["stopped_by"]) for o in answer["options"] if o["ends_disturbed"]]
    assert stops == sorted(stops)
    assert any(stops)
    better = max(answer["options"], key=lambda o: o["odds"])
    assert better["stopped_by"]
    # Where what is permitted cannot land, the headline says what stops the way that would.
    assert answer["headline"]["code"] == "forbidden"
    stop = next(o for o in better["obstacles"] if o["given"])
    assert stop["what"] == "droop"
    assert f"the {stop['side']} wheel would pass full droop" in answer["headline"]["words"]


@pytest.mark.slow(seconds=2)
def test_nothing_is_recommended_that_is_forbidden_doubted_or_hopeless():
    for number in range(len(asked())):
        answer = answered(number)
        first = answer["options"][0]
        if first["recommended"]:
            assert first["odds"] >= 0.005
            assert not first["stopped_by"]
            assert answer["headline"]["code"] in ("turn", "turn-degrees", "as-wished", "out-of-reach")
        if answer["headline"]["code"] in ("forbidden", "read-first"):
            assert not first["recommended"]


@pytest.mark.parametrize(
    ("target", "withheld"),
    [
        # As found hangs on the doubted height; a target of hanging angles does not.
        (rise(30.0), True),
        ({"left_mm": 230.0, "right_mm": 230.0}, True),
        ({"as": "hanging-angle", "left_deg": 15.0, "right_deg": 15.0}, False),
    ],
    ids=["rise", "heights", "hanging-angle"],
)
def test_a_doubt_withholds_the_plan_only_where_the_teeth_hang_on_it(target, withheld):
    answer = solve({**CASES["read-first"], "target": target})
    (doubt,) = answer["doubts"]
    assert doubt["guess"] == "inches for millimetres"
    assert (answer["withheld"], doubt["changes_plan"]) == (withheld, withheld)
    assert (answer["headline"]["code"] == "read-first") == withheld
    assert answer["options"][0]["recommended"] != withheld
    if withheld:
        assert answer["headline"]["words"] == "Turn nothing yet: check the ride height on the left first."
