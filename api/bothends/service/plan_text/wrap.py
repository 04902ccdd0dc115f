"""Lines of text for a terminal, at most a hundred columns wide."""

import textwrap

__all__ = ["wrapped"]

_WIDTH = 96


def wrapped(text: str, first: str = "  ", then: str = "  ") -> list[str]:
    """Lines of a sentence: the first after ``first``, all others as far in, and ``then``."""
    return textwrap.wrap(text, _WIDTH, initial_indent=first, subsequent_indent=" " * len(first) + then)
