"""The table of facts as a module of the page: ``python -m bothends.service.precache`` writes web/model/facts.js.

Owns what of `model.fields`, `model.beliefs` and a few other numbers of model and book the page is told, and in
which words a belief is shown.
JavaScript cannot import the table, so it is written out; a test fails while the file differs from the table.
"""

import json
from typing import Any

from bothends.book.cars import SAME
from bothends.book.entries import SAW
from bothends.book.lasting import PASSING
from bothends.book.log import PER_JOB
from bothends.book.photos import BYTES, PART
from bothends.book.photos import KINDS as IMAGES
from bothends.book.photos import WORDS as PHOTO_WORDS
from bothends.book.sheet.kinds import CARDS
from bothends.book.sheet.order import LAST_MS
from bothends.book.sheet.writers import MOST as NAME
from bothends.model import bands, beliefs, fields, misread, travel
from bothends.model.adjuster import PARTS
from bothends.model.fields import Field
from bothends.model.units import MM

__all__ = ["PATH", "assumed", "text"]

PATH = "model/facts.js"
OWN = [field for field in fields.FIELDS if not field.path.startswith((fields.OTHER + ".", fields.AIM + "."))]
"""The other axle's have the bounds of the job's."""
SHOWN = (
    "ARM_MM",
    "LOAD_GIVEN_SD",
    "LOAD_SD_KG",
    "PRESET_MPA",
    "SETTLING_KM",
    "SETTLING_SIDE_MM",
)
"""Beliefs that the screens name in sentences of their own, judge a recheck by, or hold what is typed against."""


def _unit(unit: str) -> str:
    """A unit as it stands behind a figure."""
    return unit if unit in ("", "°") else f" {unit}"


def _spread_of(field: Field) -> float | None:
    """The default of the field that says how sure this one is: ``tyre_sd_n_per_mm`` of ``tyre_n_per_mm``."""
    part = field.path.rsplit(".", 1)[0]
    return next(
        (f.default for f in fields.inside(part) if "_sd" in f.name and _subject(f) == field.name), None
    )


def _subject(field: Field) -> str:
    return field.name.replace("_sd", "")


def assumed(field: Field) -> str | None:
    """What is taken where nobody gives a field, in words with its spread; None where nothing is.

    >>> assumed(fields.field("car.limits.droop_mm")), assumed(fields.field("car.tyre_n_per_mm"))
    ('90 ± 25 mm', '180 ± 35 N/mm')
    >>> assumed(fields.field("car.arm_sd_mm")), assumed(fields.field("car.limits.joint_deg"))
    ('± 10 mm', None)
    """
    mean, sd = beliefs.BELIEVED.get(field.path, (field.default, _spread_of(field)))
    if "_sd" in field.name:
        # Itself a spread.
        mean, sd = None, field.default if sd is None else sd
    elif mean is None:
        return None
    words = [f"{mean:g}"] if mean is not None else []
    words += [f"± {sd:g}"] if sd is not None else []
    return " ".join(words) + _unit(field.unit) if words else None


def _fact(field: Field) -> dict[str, Any]:
    said = {"unit": _unit(field.unit), "low": field.low, "high": field.high, "whole": field.whole}
    said |= {"default": field.default, "assumed": assumed(field)}
    return {name: value for name, value in said.items() if value is not None and value is not False}


def text() -> str:
    """The module as it should be, a line for every fact."""

    def table(name: str, words: str, rows: dict[str, Any]) -> str:
        of = f"{{import('../types/facts.d.ts').{name.capitalize()}}}"
        lines = [
            f"  {json.dumps(key)}: {json.dumps(row, ensure_ascii=False)},\n" for key, row in rows.items()
        ]
        return f"/**\n * {words}\n * @type {of}\n */\nexport const {name} = {{\n{''.join(lines)}}};\n"

    kinds = {
        kind.name: {
            "unit": _unit(kind.unit),
            "signed": kind.angle,
            "sd": kind.sd,
            "error": kind.error,
            "words": kind.words,
            "pose": kind.pose,
            "since": kind.since,
        }
        for kind in fields.KINDS
    }
    forms = {form.name: [*form.needs, *form.may] for form in fields.FORMS}
    return "\n".join(
        (
            "/* The model's table of facts, for the screens. Written by python -m bothends.service.precache from"
            "\n   api/bothends/model/fields.py and beliefs.py; change it there. */\n",
            table(
                "FACTS",
                "Numbers by their path in a request: unit, bounds (both allowed), default, what is assumed.",
                {field.path: _fact(field) for field in OWN},
            ),
            table("KINDS", "Kinds of reading: unit, whether a sign counts, spread of one reading.", kinds),
            table("FORMS", "Fields of each form of a target, besides the one that tells them apart.", forms),
            table(
                "BELIEFS",
                "What is believed of a car, where a screen names it or goes by it.",
                {name: getattr(beliefs, name) for name in SHOWN},
            ),
            "/** How both sides together settle after hand-over by what was renewed: mean, spread, mm. */\n"
            f"export const SETTLING_MM = {json.dumps(beliefs.SETTLING_MM)};\n"
            "/** What tells one car from another, and how many characters it may have. */\n"
            f"export const MARKS = {{ {', '.join(f'{m.name}: {m.longest}' for m in fields.MARKS)} }};\n"
            f"export const ANGLE_SD_WITH_DATUM = {fields.ANGLE_SD_WITH_DATUM};\n"
            "/** How far friction holds a settled height off, before any reading: standard deviation, mm. */\n"
            f"export const FRICTION_SD_MM = {bands.Bands().typical / MM:.2f};\n"
            "/** How many standard deviations hold 90 in 100 cases either side of a normal mean: what ± says. */\n"
            f"export const NINETY = {travel.CERTAIN};\n"
            "/** Heights of a mark over the ground that need no explaining, mm: least and most. */\n"
            f"export const USUAL_HEIGHT_MM = {[round(metres / MM, 1) for metres in misread.USUAL_HEIGHT]};\n"
            "/** The latest stamp of an id that is taken in, ms since 1970. */\n"
            f"export const LAST_STAMP_MS = {LAST_MS};\n"
            "/** Kinds whose entries add to one card and say what they saw of it; how many they name at most. */\n"
            f"export const CARDS = {json.dumps(CARDS)};\n"
            f"export const MOST_SEEN = {SAW};\n"
            "/** What a job's card says of the car and not of the visit; fields of the car's own card that are as"
            "\n * one visit found them. */\n"
            f"export const SAME = {json.dumps(SAME)};\n"
            f"export const PASSING = {json.dumps(PASSING)};\n"
            "/** What the job's axle has of the rest of the car, which the other axle's part has not. */\n"
            f"export const SEEN_FROM = {json.dumps(fields.SEEN_FROM)};\n"
            f"/** Longest name of a writer, in characters. */\nexport const MOST_NAME = {NAME};\n"
            "/** Entries that one job may have. */\n"
            f"export const PER_JOB = {PER_JOB};\n"
            "/** Most bytes of a photo and of a part of it on its way; its kinds; most characters on it. */\n"
            f"export const PHOTO_BYTES = {BYTES};\n"
            f"export const PHOTO_PART = {PART};\n"
            f"export const PHOTO_KINDS = {json.dumps(IMAGES)};\n"
            f"export const PHOTO_WORDS = {PHOTO_WORDS};\n"
            "/** Positions to a turn that a plan of an adjuster goes by, by its kind. */\n"
            f"export const POSITIONS = {json.dumps(PARTS)};\n",
        )
    )
