"""What people read keeps to the words of DEVELOPERS.md: none of those that stand there as not to be used."""

import re
from collections.abc import Callable, Iterator
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


def where(found: Callable[[str], object], *but: str) -> list[tuple[str, str]]:
    """Texts of the page of which something is found, each with its module; those of some left out."""
    return [(name, text) for name, texts in PAGE.items() if name not in but for text in texts if found(text)]


def test_the_modules_of_the_page_use_the_words_that_were_agreed():
    assert len(PAGE) > 300
    assert where(AVOIDED.search) == []


@pytest.mark.parametrize("module", [doubt_words, safety, sentences])
def test_the_sentences_of_the_model_use_them_too(module):
    tables = [getattr(module, name) for name in module.__all__]
    wrong = [text for table in tables for text in sentences_of(table) if AVOIDED.search(GAP.sub("", text))]
    assert not wrong


def test_no_text_says_phone_or_pc_of_the_device_it_is_shown_on():
    names = "work/this-device.js"
    # "This PC" stands where a text is about a link or an address of the shop's PC, shown there alone.
    about = ("work/link-ways.js", "parts/shop/public-copy.js")
    assert where(re.compile(r"\bthis phone\b", re.IGNORECASE).search, names) == []
    assert where(re.compile(r"\bthis PC\b", re.IGNORECASE).search, names, *about) == []
