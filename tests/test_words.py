"""What people read keeps to the words of DEVELOPERS.md: none of those that stand there as not to be used."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from bothends.book.sheet.fold import STATES
from bothends.model import doubt_words, safety, sentences
from bothends.model.slip import GUESSES

WEB = Path(__file__).resolve().parents[1] / "web"
COMMENT = re.compile(r"/\*.*?\*/|(?<![:\"'`\w])//[^\n]*", re.DOTALL)
STRING = re.compile(r"\"(?:[^\"\\\n]|\\.)*\"|`(?:[^`\\]|\\.)*`")
CLASS = re.compile(r"\b(?:class|cls): (?:\"[^\"]*\"|`[^`]*`)")
GAP = re.compile(r"\$\{(?:[^{}]|\{[^{}]*\})*\}|%\(\w+\)")
AVOIDED = re.compile(
    r"\b(?:datums?|odds|promised?|struck|strike|told|landed|tail|wound up|torn down|hang test|roll support"
    r"|diagonal load|(?<!hub-to-)body heights?|jack stands?|rated stands|cannot be had|all the same|per cent"
    r"|entry|entries|logbook|take in|take out)\b",
    re.IGNORECASE,
)
"""Words that have another one in the table there. "Log" is the name of a screen, and stays."""
NAMES = {*GUESSES, *STATES}
"""Names of the API, which are matched and never shown."""


def sentences_of(table: object) -> Iterator[str]:
    """Every text of a table, however deep."""
    if isinstance(table, str):
        yield table
    elif isinstance(table, dict):
        for inner in table.values():
            yield from sentences_of(inner)
    elif isinstance(table, tuple | list):
        for inner in table:
            yield from sentences_of(inner)


def strings(module: str) -> list[str]:
    """Texts of a module of the page: those with a capital or with several words, classes of style left out."""
    found = [text[1:-1] for text in STRING.findall(CLASS.sub("", COMMENT.sub("", module)))]
    shown = [GAP.sub("", text) for text in found if text not in NAMES]
    return [text for text in shown if re.match(r"[A-Z]|.*[a-z’,.] [a-z]", text) and "\n" not in text]


PAGE = {
    path.relative_to(WEB).as_posix(): strings(path.read_text(encoding="utf-8"))
    for path in sorted(WEB.rglob("*.js"))
    if "vendor" not in path.parts and path.name not in ("assets.js", "facts.js")
}


@pytest.mark.parametrize("name", PAGE)
def test_a_module_of_the_page_uses_the_words_that_were_agreed(name):
    assert not [text for text in PAGE[name] if AVOIDED.search(text)]


@pytest.mark.parametrize("module", [doubt_words, safety, sentences])
def test_the_sentences_of_the_model_use_them_too(module):
    tables = [getattr(module, name) for name in module.__all__]
    wrong = [text for table in tables for text in sentences_of(table) if AVOIDED.search(GAP.sub("", text))]
    assert not wrong


@pytest.mark.parametrize("name", [name for name in PAGE if name != "work/this-device.js"])
def test_no_text_says_phone_or_pc_of_the_device_it_is_shown_on(name):
    # "This PC" stands where a text is about a link or an address of the shop's PC, shown there alone.
    about = {"work/link-ways.js", "parts/shop/public-copy.js"}
    assert not [text for text in PAGE[name] if re.search(r"\bthis phone\b", text, re.IGNORECASE)]
    if name not in about:
        assert not [text for text in PAGE[name] if re.search(r"\bthis PC\b", text, re.IGNORECASE)]
