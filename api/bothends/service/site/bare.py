"""Source without what only people read, for the phone: a third of a file is comments and docstrings.

Owns how they are taken out. Every line keeps its number, so that an error on a phone names the line of the file
in the repository.
"""

import io
import re
import tokenize

__all__ = ["bare", "bare_page"]

_STARTS = (tokenize.ENCODING, tokenize.NEWLINE, tokenize.INDENT, tokenize.DEDENT)
"""After one of these a statement begins."""


def bare(source: str) -> str:
    """The same program without comments, words that are statements, types of what is returned; a space to a level.

    Parameters
    ----------
    source : str
        A module that compiles.

    Returns
    -------
    str
        As many lines as before. It does the same; docstrings and types of what is returned are missing.

    Examples
    --------
    >>> bare('def two():  # why\\n    "Says two."\\n    return "# 2"\\n')
    'def two():\\n\\n return "# 2"\\n'
    >>> bare('def two(a: int) -> int:\\n    return 2\\n')
    'def two(a: int):\\n return 2\\n'
    >>> bare('class Odd(Exception):\\n    "No more to it."\\n')
    'class Odd(Exception):\\n pass\\n'
    """
    lines = io.StringIO(source).readlines()
    tokens = list(tokenize.generate_tokens(iter(lines).__next__))
    # Backwards, so that what is cut does not move what is still to be looked at.
    for place, filler in reversed(_cuts(tokens)):
        (first, start), (last, end) = place
        rest = lines[last - 1][end:].rstrip()
        lines[first - 1] = (lines[first - 1][:start] + filler).rstrip() + rest + "\n"
        for number in range(first, last):
            lines[number] = "\n"
    return _shallow(lines)


def _shallow(lines: list[str]) -> str:
    """The same program with as little before each line as its block needs; inside strings nothing changes."""
    depth = row = 0
    for token in list(tokenize.generate_tokens(iter(lines).__next__)):
        if token.type in (tokenize.INDENT, tokenize.DEDENT):
            depth += 1 if token.type == tokenize.INDENT else -1
        # The first token of a line; a line that begins inside a string has none of its own.
        elif token.start[0] > row and token.string.strip():
            at = token.start[0] - 1
            lines[at] = " " * depth + lines[at][token.start[1] :]
        row = max(row, token.end[0] if token.string.strip() else row)
    return "".join(lines)


_BLOCK = re.compile(r"^[ \t]*/\*(?:(?!\*/).)*\*/[ \t]*(?=\n|\Z)", re.DOTALL | re.MULTILINE)
_LINE = re.compile(r"^[ \t]*//.*$", re.MULTILINE)
_TYPE = re.compile(r"/\*\* @type (?:(?!\*/).)*\*/ ?", re.DOTALL)


def bare_page(source: str) -> str:
    """A script or a style sheet without types inside expressions and comments that have lines to themselves.

    Parameters
    ----------
    source : str
        As the formatter leaves it.

    Returns
    -------
    str
        As many lines as before. What looks like a comment inside a template stays: an odd number of backticks
        stands before it.

    Examples
    --------
    >>> bare_page("/* Two.\\n   More. */\\nexport const two = 2; // why\\n  // one\\n")
    '\\n\\nexport const two = 2; // why\\n\\n'
    >>> bare_page("const one = /** @type {any} */ (two);\\n")
    'const one = (two);\\n'
    >>> bare_page("const text = `\\n// no comment\\n`;\\n")
    'const text = `\\n// no comment\\n`;\\n'
    """
    for pattern in (_BLOCK, _LINE, _TYPE):
        kept, end = [], 0
        inside = False
        for found in pattern.finditer(source):
            before = source[end : found.start()]
            inside ^= before.count("`") % 2 == 1
            kept += [before, found.group() if inside else "\n" * found.group().count("\n")]
            end = found.end()
        source = "".join(kept) + source[end:]
    return source


def _cuts(tokens: list[tokenize.TokenInfo]) -> list[tuple[tuple[tuple[int, int], tuple[int, int]], str]]:
    """What to take out, in order: start and end as (line, column), and what stands there instead."""
    found = []
    said = [token for token in tokens if token.type not in (tokenize.NL, tokenize.COMMENT)]
    following = {id(token): said[i + 1 : i + 3] for i, token in enumerate(said)}
    before = tokenize.ENCODING
    # Whether the block has had nothing but words so far.
    empty = False
    arrow: tokenize.TokenInfo | None = None
    for token in tokens:
        if token.type == tokenize.COMMENT:
            found.append(((token.start, token.end), ""))
        if id(token) not in following:
            continue
        if token.string == "->":
            arrow = token
        # A type in a subscript may have colons of its own, but none of ours has; over two lines it stays.
        if arrow is not None and token.string == ":":
            if token.start[0] == arrow.start[0]:
                found.append(((arrow.start, token.start), ""))
            arrow = None
        ends, *then = following[id(token)] or [token]
        if token.type == tokenize.STRING and before in _STARTS and ends.type == tokenize.NEWLINE:
            last = any(one.type == tokenize.DEDENT for one in then)
            found.append(((token.start, token.end), "pass" if empty and last else ""))
        elif token.type != tokenize.NEWLINE:
            empty = token.type == tokenize.INDENT
        before = token.type
    return found
