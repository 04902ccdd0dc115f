"""The plan as text, and quantities in words."""

import copy
import json
import re
from pathlib import Path

import msgspec
import pytest
import scipy.stats
from hypothesis import given
from hypothesis import strategies as st

import bothends
from bothends.model.fields import AIMS
from bothends.model.figures import turns_text
from bothends.model.sentences import TESTS
from bothends.service.plan_text.adding import OPEN, example
from bothends.service.plan_text.measure import IN_90, Measures, chance
from bothends.service.plan_text.plan import brief, full
from bothends.service.plan_text.turns import turns
from bothends.service.site.demo import jobs
from bothends.service.wire.answer import Doubt, SecondGuess, answer_of, plan
from bothends.service.wire.option import Estimate, Force

REQUESTS = {job["name"]: job["request"] for job in jobs()}
PLAIN = {
    "car": {},
    "target": {"as": "level", "at": "higher", "rise_mm": 100},
    "log": [
        {"kind": "reading", "what": "body-height", "side": "left", "value": 152, "teardown": 0},
        {"kind": "reading", "what": "body-height", "side": "right", "value": 171, "teardown": 0},
    ],
}
"""Two heights of a car of which nothing else is known."""


def an(value, sd):
    return {"value": value, "sd": sd}


def force(newton):
    return {"torque_nm": 0.42 * newton, "energy_j": 0.05 * newton, "force_n": newton}


def a_side(height, rise, turn, **more):
    return {
        "inner": None,
        "outer": None,
        "steps": None,
        "turns": None,
        "raise_turns_left": None,
        "lower_turns_left": None,
        "screw": None,
        "turn_deg": turn,
        "hanging_deg": 12.0 + turn,
        "riding_deg": 0.4,
        "body_height_mm": None if height is None else an(height, 9.2),
        "hub_to_body_mm": None,
        "rise_mm": an(rise, 9.1),
        "lift": {**force(600.0), "low": force(300.0), "high": force(900.0), "assumed": True},
        "stress_at_bump_mpa": None,
        "bump_left_mm": 140.0,
        "droop_left_mm": -9.0,
        "camber_change_deg": 0.0,
        **more,
    }


def an_option(left, right, **more):
    return {
        "label": "both sides",
        "recommended": True,
        "odds": 0.23,
        "ends_disturbed": 4,
        "left": left,
        "right": right,
        "lean_mm": an(0.4, 4.0),
        "cross_weight_kg": 4.0,
        "cross_weight": None,
        "ride_hz": 1.4,
        "mm_per_deg": 7.0,
        "mm_per_turn": None,
        "obstacles": [],
        "stopped_by": [],
        "cautions": [],
        **more,
    }


def by_hand():
    """An answer to PLAIN with every new part in it, its figures made up."""
    droop = {
        "what": "droop",
        "side": "left",
        "by_mm": 9.0,
        "by_deg": None,
        "by_mpa": None,
        "given": False,
        "words": "Left: the arm may hang 9 mm past full droop, which nobody has measured.",
    }
    side_now = {
        "hanging_deg": an(12.0, 15.0),
        "riding_deg": an(-14.0, 6.0),
        "body_height_mm": an(152.0, 1.5),
        "hub_to_body_mm": None,
        "load_kg": an(240.0, 60.0),
    }
    return {
        "headline": {
            "code": "turn-degrees",
            "words": "Turn the left arm 17.0° and the right arm 14.3° down (raises); count the teeth first.",
        },
        "target": {
            "as": "level",
            "at": "higher",
            "rise_mm": 100.0,
            "left_mm": 271.0,
            "right_mm": 271.0,
            "measured": "body-height",
            "tolerance_mm": 5.0,
            "lean_mm": 5.0,
            "ballast_left_kg": 0.0,
            "ballast_right_kg": 0.0,
            "spot": None,
        },
        "withheld": False,
        "now": {"left": side_now, "right": {**side_now, "body_height_mm": None}},
        "learned": {
            name: an(1.0, 0.1)
            for name in (
                "bar_nm_per_deg",
                "arm_mm",
                "roll_support_n_per_mm",
                "mm_per_deg",
                "bush_ratio",
                "tyre_n_per_mm",
            )
        },
        "step_deg": {"fine": None, "inner": None, "outer": None, "turn": None},
        "cross_weight": None,
        "options": [
            an_option(a_side(271.2, 119.2, 17.0), a_side(270.8, 99.8, 14.3), obstacles=[droop]),
            an_option(
                a_side(271.2, 119.2, 17.0),
                a_side(None, -2.0, 0.0),
                label="left side only",
                odds=0.002,
                ends_disturbed=2,
                recommended=False,
            ),
        ],
        "assumed": [
            {
                "field": "car.limits.droop_mm",
                "side": "left",
                "value": 90.0,
                "sd": 25.0,
                "unit": "mm",
                "measure": "hang-test",
                "minutes": 3.0,
                "odds_after": None,
                "words": "Droop travel, left, is taken as 90 mm.",
            },
            {
                "field": "car.bar.inner_teeth",
                "side": None,
                "value": None,
                "sd": None,
                "unit": "",
                "measure": "tooth-count",
                "minutes": 10.0,
                "odds_after": 0.31,
                "words": "The teeth are not counted.",
            },
        ],
        "measure_next": [
            {
                "what": "settling",
                "side": "both",
                "odds_after": 0.35,
                "minutes": 4.0,
                "text": "Settle and read again.",
            }
        ],
        "doubts": [],
        "cautions": ["Keep clear of the arm."],
        "posterior": {"names": [], "mean": [], "covariance": []},
        "fit": {"iterations": 4, "readings": 2, "misfit_rms": 0.1},
    }


def printed(plain, request=PLAIN, **options):
    return full(answer_of(plain), request, **options)


def unwrapped(text):
    return " ".join(text.split())


@pytest.fixture(scope="module")
def answer():
    """The plan for the Gannet; copied before it is changed."""
    return plan(REQUESTS["gannet"])


@pytest.mark.parametrize(
    ("inner", "outer", "turn", "words"),
    [
        (-3, 4, 5.7, "inner end 3 teeth arm up (lowers), outer end 4 teeth arm down (raises)"),
        (1, -1, 0.8, "inner end 1 tooth arm down (raises), outer end 1 tooth arm up (lowers)"),
        (0, 2, 16.4, "inner end stays, outer end 2 teeth arm down (raises)"),
        (0, 0, 0.0, "no change"),
        (None, None, 14.52, "14.5° arm down (raises)"),
        (None, 3, -8.0, "8.0° arm up (lowers)"),
        (None, None, 0.01, "no change"),
    ],
)
def test_a_turn_is_told_by_teeth_or_by_degrees_and_which_way_it_goes(inner, outer, turn, words):
    assert turns(inner, outer, turn) == words


@given(st.floats(0.0, 1.0))
def test_a_chance_never_reads_as_certain_or_as_none(odds):
    assert chance(odds) not in ("100 in 100", "0 in 100")


def test_a_range_holds_ninety_in_a_hundred():
    assert pytest.approx(scipy.stats.norm.ppf(0.95), abs=5e-4) == IN_90
    assert Measures().length(Estimate(value=250.0, sd=1.0)) == "250.0 ± 1.6 mm"
    assert Measures().length(Estimate(value=250.4, sd=10.0)) == "250 ± 16 mm"


@pytest.mark.parametrize("name", sorted(REQUESTS))
def test_a_sheet_has_all_that_is_needed_under_the_car(name):
    answer = plan(REQUESTS[name])
    text = full(answer, REQUESTS[name])
    best = answer.options[0]
    m = Measures()
    whole = unwrapped(text)
    for side in (best.left, best.right):
        assert turns(side.inner, side.outer, side.turn_deg) in whole
        assert side.body_height_mm is None or m.length(side.body_height_mm) in whole
    for words in (*answer.cautions, *best.cautions, *(item.text for item in answer.measure_next)):
        assert unwrapped(words) in whole
    assert max(len(line) for line in text.splitlines()) <= 100


def test_inches_and_pounds_stand_beside_the_metric_figure():
    # 25.4 mm and 0.45359237 kg exactly (definitions of the inch and the pound); N and J by g 9.80665.
    m = Measures(inches=True)
    assert m.length(Estimate(value=254.0, sd=2.54 / IN_90)) == "254.0 ± 2.5 mm (10.00 ± 0.10 in)"
    assert m.mass(Estimate(value=45.359237, sd=4.5359237 / IN_90)) == "45 ± 5 kg (100 ± 10 lb)"
    assert m.rise(Estimate(value=-25.4, sd=0.0)) == "sinks 25.4 ± 0.0 mm (1.00 ± 0.00 in)"
    assert m.force(444.8221615) == "445 N (100 lbf)"
    assert m.torque(135.5817948) == "136 N·m (100 lbf·ft)"
    assert m.energy(13.55817948) == "14 J (10 ft·lbf)"
    low, high = (Force(torque_nm=0.0, energy_j=13.55817948 * n, force_n=444.8221615 * n) for n in (1, 2))
    assert m.lift_range(low, high) == (
        "between 445 and 890 N (100 to 200 lbf) at the wheel end, 14 to 27 J (10 to 20 ft·lbf) stored"
    )


def test_metric_sheets_name_no_inch(answer):
    assert " in)" not in full(answer, REQUESTS["gannet"])


def test_the_headline_stands_first_and_the_one_next_step_last():
    plain = by_hand()
    # Under an even chance the test that goes first stands before it; above, among what to do now.
    assert plain["options"][0]["odds"] < 0.5
    assert printed(plain).startswith(
        "Measure before you turn (step 1): the chance is 23 in 100 as it is, 35 in"
    )
    plain["options"][0]["odds"] = 0.5
    text = printed(plain)
    assert text.startswith("Turn the left arm 17.0°")
    assert "\n\n± is the range that holds 90 in 100" in text
    last = " ".join(text[text.rindex("Next: ") :].split())
    assert last == (
        "Next: Settle and read again. It takes 4 min. Add what you read to the file. Then run this again."
    )


def test_who_has_read_two_heights_is_told_how_to_do_the_first_test():
    text = full(plan(copy.deepcopy(PLAIN)), PLAIN)
    last = " ".join(text[text.rindex("Next: ") :].split())
    assert last.startswith("Next: Board test: a board of 50 mm under the left tyre.")
    assert "Ride height: a tape from the floor" in last
    assert last.endswith("Add what you read to the file. Then run this again.")


SCREWED = {
    "car": {
        "sprung": "front",
        "axle": "wishbone",
        "adjuster": {
            "kind": "screw",
            "lever_mm": 108,
            "pitch_mm": 1.5,
            "across": True,
            "raise_turns": {"left": 8, "right": 9},
            "lower_turns": {"left": 12, "right": 11},
        },
    },
    "target": {"as": "level", "at": "higher", "rise_mm": 10},
    "log": [
        {"kind": "reading", "what": "body-height", "side": "left", "value": 652, "teardown": 0},
        {"kind": "reading", "what": "body-height", "side": "right", "value": 661, "teardown": 0},
    ],
}


def test_screws_are_told_in_turns_with_what_is_left_what_they_take_and_in_which_order():
    answer = plan(copy.deepcopy(SCREWED))
    best = answer.options[0]
    assert best.ends_disturbed == 0
    text = " ".join(full(answer, SCREWED).split())
    for name, side in (("left", best.left), ("right", best.right)):
        assert f"{name}: raise {turns_text(side.turns, 'screw')} at the screw" in text
        assert f"{turns_text(side.raise_turns_left, 'screw')} to raise" in text
    order = (
        "take one link off",
        "wheels hanging",
        "oil the thread",
        '"turns":',
        "Lower the car",
        "anti-roll link on",
    )
    places = [text.index(words, text.index("What to do now")) for words in order]
    assert places == sorted(places)
    assert "Never undo the screw" in text
    assert "left wheel's sits on the right" in text
    assert "no change" not in text[text.index("Plan:") : text.index("Measure next")]
    assert "at the screw" in brief(answer, SCREWED)


def test_the_move_that_a_plan_of_screws_writes_is_one_that_can_be_solved():
    answer = plan(copy.deepcopy(SCREWED))
    text = " ".join(full(answer, SCREWED).split())
    begin = text.index('{"kind": "move"')
    move, _ = json.JSONDecoder().raw_decode(text[begin:])
    after = {**SCREWED, "log": [*SCREWED["log"], move]}
    assert plan(copy.deepcopy(after)).options


@pytest.mark.parametrize(
    ("kind", "more", "words"),
    [
        ("eccentric", {}, ("Scribe a line across eccentric", "clamp bolts to the car's manual")),
        ("notch", {"step_deg": 3.0, "shared": True}, ("One beam at a time", "Leaves rub")),
    ],
)
def test_an_eccentric_and_a_notch_have_their_own_order(kind, more, words):
    request = {**copy.deepcopy(SCREWED), "car": {"adjuster": {"kind": kind, **more}}}
    if kind == "eccentric":
        # It reaches no further.
        request["target"] = {"as": "level", "at": "mean", "tolerance_mm": 8.0, "rise_mm": 4.0}
    answer = plan(copy.deepcopy(request))
    assert any(side.turns for side in (answer.options[0].left, answer.options[0].right))
    text = " ".join(full(answer, request).split())
    for each in words:
        assert each in text
    assert f"at the {kind}" in text


def test_a_plan_from_two_heights_says_what_to_turn_what_comes_of_it_and_what_was_assumed():
    text = unwrapped(printed(by_hand()))
    for words in (
        "both sides level, at the higher side as found plus 100 mm; that comes to left 271 mm, right 271 mm",
        "Plan: both sides, chance 23 in 100 that it ends on target",
        "left: 17.0° arm down (raises) rises 119 ± 15 mm, ride height 271 ± 15 mm",
        "to lift the arm onto its stop: between 300 and 900 N at the wheel end, 15 to 45 J stored",
        "Caution: Left: the arm may hang 9 mm past full droop",
        "Droop travel, left, is taken as 90 mm. To know it: a droop test (3 min)",
        f"The teeth are not counted. {TESTS['tooth-count']} (10 min, chance then 31 in 100)",
        "35 in 100 after 4 min: Settle and read again.",
        "left side only, chance under 1 in 100",
        "no change; sinks 2 ± 15 mm, its ride height was not read",
        "open the bar and count the teeth at both ends, before anything is turned",
        "Run this again: the degrees become whole teeth.",
        "right: ride height not read; arm to body: hanging angle 12 ± 25°",
    ):
        assert words in text
    assert "NOT POSSIBLE" not in text
    assert "None" not in text


@pytest.mark.parametrize(("low", "high", "slack"), [(-200.0, -10.0, True), (-200.0, 90.0, False)])
def test_only_a_high_end_of_nothing_is_called_slack(low, high, slack):
    plain = by_hand()
    for side in ("left", "right"):
        lift = plain["options"][0][side]["lift"]
        lift.update(force(-50.0), low=force(low), high=force(high))
    text = unwrapped(printed(plain))
    assert ("slack at its stop" in text) is slack
    assert ("between 0 and 90 N" in text) is not slack


def test_what_is_left_alone_stays_where_it_is():
    plain = by_hand()
    plain["options"][1]["right"]["rise_mm"] = an(0.0, 0.0)
    assert "right: no change; stays where it is, its ride height was not read" in unwrapped(printed(plain))


def test_teeth_that_are_counted_are_given_as_the_move_to_add():
    plain = by_hand()
    for side in ("left", "right"):
        plain["options"][0][side].update(inner=-3, outer=4, steps=7)
    log = [*PLAIN["log"], {"kind": "move", "teardown": 1, "left": {"inner": 1}}]
    text = unwrapped(printed(plain, {**PLAIN, "log": log}))
    teeth = '{"inner": -3, "outer": 4}'
    assert f'By the plan: {{"kind": "move", "teardown": 2, "left": {teeth}, "right": {teeth}}}' in text
    assert 'with "teardown": 2' in text


def test_a_given_limit_forbids_and_nothing_is_to_be_turned():
    plain = by_hand()
    best = plain["options"][0]
    best["obstacles"] = [{**best["obstacles"][0], "given": True}]
    best["stopped_by"] = [best["obstacles"][0]["words"]]
    best["recommended"] = False
    text = unwrapped(printed(plain))
    assert text.count("NOT POSSIBLE: Left: the arm may hang") == 1
    assert "Turn nothing by this plan: a limit that you gave forbids it." in text
    assert "Add the teeth you turned" not in text


def test_doubts_that_change_the_plan_come_before_it_and_the_others_are_told_apart(answer):
    changed = copy.deepcopy(answer)
    changed.options[0].recommended = False
    changed.withheld = True
    doubt = Doubt(
        log_index=2,
        misfit=6.2,
        guess="sign flipped",
        repaired_value=-5.0,
        text="Read it again.",
        side="left",
    )
    changed.doubts = [doubt]
    text = unwrapped(full(changed, REQUESTS["gannet"]))
    value = REQUESTS["gannet"]["log"][2]["value"]
    told = f"record 3 of the log (riding angle, left, {value:g}): Read it again."
    assert text.index(told) < text.index("Plan:")
    assert "resolve the doubts first" in text
    assert "1. Turn nothing yet." in text
    changed.withheld = False
    also = SecondGuess(guess="gauge turned round", text="Turn the gauge.", repaired_value=None)
    changed.doubts = [msgspec.structs.replace(doubt, changes_plan=False, also=also)]
    text = unwrapped(full(changed, REQUESTS["gannet"]))
    assert f"Doubts that change nothing in the plan {told} Or: Turn the gauge." in text
    assert "Turn nothing yet" not in text


def test_a_doubted_move_is_named_by_its_teardown(answer):
    request = copy.deepcopy(REQUESTS["gannet"])
    request["log"].append({"kind": "move", "teardown": 1})
    changed = copy.deepcopy(answer)
    changed.doubts = [
        Doubt(
            log_index=8,
            misfit=9.0,
            guess="one tooth more at the inner end",
            repaired_value=4,
            text="Count again.",
        )
    ]
    text = unwrapped(full(changed, request))
    assert "record 9 of the log (move of teardown 1): Count again." in text


@pytest.mark.parametrize(
    ("target", "words"),
    [
        (
            {"as": "heights", "left_mm": 250.0, "right_mm": 240.5, "measured": "hub-to-body"},
            "Target: left 250 mm, right 240.5 mm from hub to body; each within 5 mm",
        ),
        (
            {"as": "rise", "left_rise_mm": 100.0, "right_rise_mm": -20.0, "left_mm": 252.0, "right_mm": None},
            "Target: left up 100 mm, right down 20 mm against as found; that comes to left 252 mm; each within",
        ),
        (
            {"as": "level", "at": "mean", "rise_mm": 0.0, "ballast_left_kg": 60.0, "spot": "bay 2"},
            "at the mean of both sides as found; that comes to left 271 mm, right 271 mm; each within 5 mm,"
            " lean within 5 mm; with 60 kg over the left wheel and 0 kg over the right wheel; at the place bay 2",
        ),
        (
            {"as": "hanging-angle", "left_deg": 22.0, "right_deg": 21.5, "tolerance_deg": 0.8},
            "Target: hanging angle left 22°, right 21.5°, each within 0.8°; that comes to left 271 mm",
        ),
    ],
    ids=lambda value: value["as"] if isinstance(value, dict) else "",
)
def test_every_form_of_target_is_told_as_it_was_asked_for(target, words):
    plain = by_hand()
    shared = ("left_mm", "right_mm", "ballast_left_kg", "ballast_right_kg", "spot")
    if target["as"] != "hanging-angle":
        shared += ("measured", "tolerance_mm", "lean_mm")
    plain["target"] = {**{name: plain["target"][name] for name in shared}, **target}
    for side in ("left", "right"):
        plain["options"][0][side].update(inner=-3, outer=4, steps=7)
    text = unwrapped(printed(plain))
    assert words in text
    assert ("Read both hanging angles" in text) is (target["as"] == "hanging-angle")
    assert target["as"] in AIMS


def test_an_answer_by_hand_survives_the_way_through_json(answer):
    for whole in (answer, answer_of(by_hand())):
        assert msgspec.json.decode(msgspec.json.encode(whole), type=type(whole)) == whole


def test_every_line_fits_a_hundred_columns():
    for inches in (False, True):
        assert max(len(line) for line in printed(by_hand(), inches=inches).splitlines()) <= 100


FIGURES = {"body-height": 160, "hub-to-body": 190, "wheel-load": 250, "riding-angle": -3, "hanging-angle": 9}
"""Something that could be read of each kind."""


def test_what_an_advised_test_adds_to_the_file_is_said_as_it_stands_there_and_the_solver_takes_it():
    found = set()
    for request in (PLAIN, *REQUESTS.values()):
        answer = plan(copy.deepcopy(request))
        for test in answer.measure_next:
            found.add(test.what)
            text = example(test, request["log"])
            if test.what == "arm-length":
                given = json.loads("{" + text.replace(OPEN, "410") + "}")
                more = {**request, "car": {**request["car"], **given["car"]}}
            else:
                entry = json.loads(text.replace(OPEN, "0"))
                entry["value"] = FIGURES[entry["what"]]
                more = {**request, "log": [*request["log"], entry]}
            assert plan(copy.deepcopy(more)).options
    assert {"board-test", "ballast-test", "settling", "arm-length"} <= found


def test_what_to_do_begins_with_the_test_that_brings_most_for_its_minutes():
    answer = plan(copy.deepcopy(PLAIN))
    text = " ".join(full(answer, PLAIN).split())
    first = answer.measure_next[0]
    before, then = chance(answer.options[0].odds), chance(first.odds_after)
    # The chance as it is and the test stand before what to turn, and again where the test is said.
    assert text.startswith(
        f"Measure before you turn (step 1): the chance is {before} as it is, {then} after {first.minutes:g} min."
        f" {answer.headline.words}"
    )
    assert (
        f"1. For a better chance, {then} instead of {before} after {first.minutes:g} min: {first.text}"
        in text
    )
    assert example(first, PLAIN["log"]) in text
    places = [text.index(words) for words in ("What to do now", "Target:", "Plan:", "Measure next")]
    assert places == sorted(places)


def test_cross_weight_now_and_after_is_told_where_four_wheels_were_weighed():
    request = json.loads(
        (Path(bothends.__file__).parent / "demo" / "first-open.json").read_text(encoding="utf-8")
    )
    for axle, loads in (("rear", (243.0, 236.0)), ("front", (300.0, 310.0))):
        for side, value in zip(("left", "right"), loads, strict=True):
            entry = {"kind": "reading", "what": "wheel-load", "side": side, "value": value}
            request["log"].append({**entry, "axle": axle})
    answer = plan(request)
    text = " ".join(full(answer, request).split())
    now, after = answer.cross_weight.now.percent, answer.options[0].cross_weight.percent
    assert f"Cross-weight (RF + LR) {now.value:.1f} % now, {after.value:.1f} % after (± " in text
    assert answer.cross_weight.words in text


def of_both(**more):
    """A job with bars at both ends and a target for each."""
    target = {
        "as": "level",
        "rise_mm": 20.0,
        "other": {"as": "rise", "left_rise_mm": -30, "right_rise_mm": -30},
    }
    target["other"].update(more)
    bar = {"inner_teeth": 40, "outer_teeth": 44}
    log = [
        {"kind": "reading", "what": what, "axle": axle, "side": side, "value": value, "teardown": 0}
        for what, axle, side, value in (
            ("body-height", "rear", "left", 231.0),
            ("body-height", "rear", "right", 236.0),
            ("body-height", "front", "left", 301.0),
            ("body-height", "front", "right", 302.0),
            ("wheel-load", "rear", "left", 251.0),
            ("wheel-load", "rear", "right", 255.0),
            ("wheel-load", "front", "left", 311.0),
            ("wheel-load", "front", "right", 290.0),
        )
    ]
    return {"car": {"bar": bar, "other": {"bar": bar}}, "target": target, "log": log}


def flowing(text):
    return " ".join(text.split())


def test_both_axles_are_told_with_the_chance_of_both_and_one_axle_is_turned_at_a_time():
    request = of_both(cross_percent=50.0)
    answer = plan(request)
    text = full(answer, request)
    both = answer.both
    assert both is not None
    words = flowing(text)
    # The front is set first here, and a test goes before it.
    assert text.startswith("Measure before you turn at the front (step 1): the chance is ")
    assert f" {answer.headline.words} At the front: {both.headline.words}" in words
    assert f"Chance {chance(both.odds)} that both axles end on target and cross-weight at 50 %." in words
    assert "Target at the front: left down 30 mm, right down 30 mm against as found" in words
    assert "cross-weight 50 % (RF + LR), within 0.5 %" in words
    assert "Plan of the rear axle: " in words
    assert "Plan of the front axle: " in words
    assert "alone set heights or cross-weight" not in words
    for sentence in both.words:
        assert sentence in words
    written = re.search(r"By the plan: (\{.*?\}\})", words)
    assert written is not None
    move = json.loads(written[1])
    assert move["axle"] == both.first
    turned = both.options[0] if both.first == "front" else answer.options[0]
    assert move["left"]["outer"] == turned.left.outer
    request["log"].append(move)
    assert plan(request).both is not None
    assert max(len(line) for line in text.splitlines()) <= 100


def test_a_plan_of_both_in_brief_has_the_teeth_of_both():
    request = of_both()
    answer = plan(request)
    text = brief(answer, request)
    assert text.count("  left:") == 2
    assert "that both axles end on target." in flowing(text)


def test_bars_whose_teeth_nobody_counted_are_counted_at_the_axle_that_comes_first():
    request = of_both()
    request["car"] = {"other": {}}
    answer = plan(request)
    assert answer.both is not None
    where = {"rear": "car.bar.inner_teeth", "front": "car.other.bar.inner_teeth"}
    assert where[answer.both.first] in flowing(full(answer, request))


def test_a_limit_given_at_the_other_axle_lets_nothing_be_turned():
    request = of_both()
    request["car"]["other"]["limits"] = {"bump_mm": 1.0}
    answer = plan(request)
    words = flowing(full(answer, request))
    assert "NOT POSSIBLE" in words
    assert "Turn nothing by this plan" in words
