"""Every sentence of an answer: said somewhere, whole, in the units asked for, and of one source for its figures."""

import importlib
import itertools
import json
import math
import pkgutil
import re

import pytest

from bothends import model
from bothends.model import beliefs, obstacle, sentences, travel
from bothends.model.fields import field
from bothends.model.problem import ModelProblem
from bothends.model.solve import solve
from bothends.model.trial import MINUTES
from bothends.model.what_if import what_if
from model.cases import EVERY, WIDE, rise, stood, tossed, wished

TABLES = [name for name in sentences.__all__ if name != "STANDING"]
UNSAID = {
    ("TESTS", name)
    for name in ("adjuster-lever", "bar-size", "bump-gap", "notch-angle", "tooth-count", "turns-left")
}
"""How to measure what only ``assumed`` names, which has no place for it yet."""
BENCH = [
    (EVERY["forbidden-bars"], {"bar": {"diameter_mm": 24.0}}),
    (EVERY["advised"], {"bar": {"diameter_mm": 10.0}}),
    (EVERY["advised"], {"bar": {"diameter_mm": 24.0}, "load_kg": {"left": 40.0}}),
    (EVERY["nothing known"], {"bar": {"diameter_mm": 24.0, "length_mm": 600.0}}),
]


class Noted(dict):
    """A table that notes which of its sentences were asked for."""

    def __init__(self, name: str, table: dict, seen: set):
        super().__init__(table)
        self.name = name
        self.seen = seen

    def __getitem__(self, key):
        self.seen.add((self.name, key))
        return super().__getitem__(key)


@pytest.fixture
def seen(monkeypatch):
    """Sentences asked for so far, as (table, name)."""
    found = set()
    for module in pkgutil.iter_modules(model.__path__):
        loaded = importlib.import_module(f"bothends.model.{module.name}")
        if loaded is not sentences:
            for name in TABLES:
                if hasattr(loaded, name):
                    monkeypatch.setattr(loaded, name, Noted(name, getattr(sentences, name), found))
    return found


def texts(found, at="") -> list:
    """Every text of an answer with where it stands, but for words that programs read."""
    if isinstance(found, dict):
        return [pair for name, inner in found.items() for pair in texts(inner, f"{at}.{name}")]
    if isinstance(found, list):
        return [pair for i, inner in enumerate(found) for pair in texts(inner, f"{at}[{i}]")]
    return [(at, found)] if isinstance(found, str) and " " in found else []


@pytest.mark.slow(seconds=2)
def test_every_sentence_is_said_somewhere_and_has_its_gaps_filled(seen):
    every = {(name, key) for name in TABLES if name != "WHERE" for key in getattr(sentences, name)}
    answers = [solve(request) for request in EVERY.values()]
    answers += [what_if(request, change) for request, change in BENCH]
    for seed in itertools.count():
        if every - seen <= UNSAID or seed == 600:
            break
        answers.append(solve(tossed(seed)))
    assert every - seen == UNSAID
    for answer in answers:
        for at, text in texts(answer):
            assert "%(" not in text, at
            assert "%%" not in text, at
            assert "None" not in text, at
            assert "nan" not in text.split(), at


def test_whatever_ends_are_turned_there_are_words_for_where():
    ends = ("none", "inner", "outer", "both")
    assert set(sentences.WHERE) == {f"{a}-{b}" for a in ends for b in ends} - {"none-none"}


def test_a_measure_that_is_named_has_minutes_and_a_sentence():
    for request in EVERY.values():
        answer = solve(request)
        for row in answer["assumed"]:
            assert row["minutes"] == MINUTES[row["measure"]]
            assert row["measure"] in sentences.TESTS
        for test in answer["measure_next"]:
            assert test["text"]


def test_no_sentence_stands_twice():
    for name in TABLES:
        said = list(getattr(sentences, name).values())
        assert len(set(said)) == len(said)
    assert len(set(sentences.STANDING)) == len(sentences.STANDING)


def test_words_are_plain_and_no_sentence_shouts():
    whole = [*sentences.STANDING]
    for name in ("CAUTIONS", "BENCH", "TESTS", "ASSUMED"):
        whole += getattr(sentences, name).values()
    for text in whole:
        assert text.endswith(".")
    for name in TABLES:
        for text in getattr(sentences, name).values():
            assert "!" not in text
            assert "  " not in text
            # Odds are chances in 100, and teeth go arm down or arm up.
            assert "tail" not in text
            assert "probab" not in text


# -- units ---------------------------------------------------------------------------------------------------------

METRIC = re.compile(r"\d\s?(mm|kg|MPa|N·m|N|J)(?![\w·/])")
INCH = re.compile(r"\d\s?(in|lb|ksi|lbf·ft|lbf|ft·lbf)(?![\w·/])(?! 100)")
ASKED = {**EVERY, **{f"tossed {seed}": tossed(seed) for seed in range(25)}}


def without_texts(found):
    if isinstance(found, dict):
        return {name: without_texts(inner) for name, inner in found.items()}
    if isinstance(found, list):
        return [without_texts(inner) for inner in found]
    return "..." if isinstance(found, str) and " " in found and found != "leave it" else found


@pytest.mark.parametrize("name", ASKED)
def test_inches_change_the_figures_of_sentences_and_nothing_else(name):
    request = ASKED[name]
    metric, inch = solve(request), solve({**request, "units": "inch"})
    assert without_texts(metric) == without_texts(inch)
    assert metric == solve({**request, "units": "metric"})
    for (at, one), (other, two) in zip(texts(metric), texts(inch), strict=True):
        assert at == other
        figures = METRIC.findall(one)
        assert not INCH.findall(one), one
        assert not METRIC.findall(two), two
        # As many lengths, loads and stresses, each in the other unit; a sentence without any stays as it is.
        assert len(INCH.findall(two)) == len(figures), (one, two)
        assert (one == two) == (not figures), (one, two)


def test_figures_in_inches_are_those_in_millimetres():
    metric, inch = [solve({**EVERY["forbidden-lower"], "units": units}) for units in ("metric", "inch")]
    over = metric["options"][0]["obstacles"][0]["by_mm"]
    assert f"by {math.ceil(over)} mm:" in metric["headline"]["words"]
    assert f"by {math.ceil(over) / 25.4:.2f} in:" in inch["headline"]["words"]
    metric, inch = [answer["options"][0]["obstacles"][0]["words"] for answer in (metric, inch)]
    assert f"{over:.0f} mm beyond" in metric
    assert f"{over / 25.4:.2f} in beyond" in inch
    assert "given as 0.39 in" in inch


def test_units_that_nobody_knows_are_refused():
    with pytest.raises(ModelProblem) as caught:
        solve({**EVERY["advised"], "units": "furlong"})
    assert (caught.value.code, caught.value.path) == ("out-of-range", "$.units")


# -- one source for every figure -----------------------------------------------------------------------------------


def test_what_is_believed_shows_in_every_sentence_that_says_it(monkeypatch):
    # Were a figure written down a second time, in a sentence or elsewhere, the old one would still be said.
    for place, name, value in (
        (travel, "BUMP_MM", 47.0),
        (travel, "BUMP_SD_MM", 9.0),
        (travel, "DROOP_MM", 83.0),
        (travel, "DROOP_SD_MM", 11.0),
        (obstacle, "PRESET_MPA", 913.0),
    ):
        assert getattr(place, name) == getattr(beliefs, name)
        monkeypatch.setattr(place, name, value)
    said = ""
    for up in (120.0, -90.0):
        for limits in ({}, WIDE):
            said += json.dumps(solve(wished(stood(), rise(up), limits=limits)), ensure_ascii=False)
    for figure in ("47 mm ± 15 mm is assumed", "83 mm ± 18 mm is assumed", "usually carry 913 MPa",
                   "droop not measured: 83 mm", "bump travel not measured: 47 mm"):  # fmt: skip
        assert figure in said
    for figure in ("60 mm ±", "90 mm ±", "1,000 MPa"):
        assert figure not in said


def test_no_sentence_has_a_figure_of_its_own():
    for name in TABLES:
        for key, text in getattr(sentences, name).items():
            bare = re.sub(r"%\(\w+\)[.\d]*[a-z]", "", text).replace("in 100", "").replace("Z535", "")
            said = re.findall(r"\d+", bare)
            # One tooth is a word.
            assert said == (["1"] if key in ("tooth-down", "tooth-up") else []), (name, key)


def test_teeth_not_counted_are_said_by_what_is_believed_of_a_step():
    (row,) = [r for r in solve(EVERY["nothing known"])["assumed"] if r["measure"] == "tooth-count"]
    assert row["value"] == beliefs.FINE_STEP_DEG
    assert f"{beliefs.FINE_STEP_DEG:.1f}°" in row["words"]
    assert row["field"] == field("car.bar.inner_teeth").path
