"""Checks against the outside: figures from books, standards, service data and workshops.

Each check names its source beside it, with its standing: a named source was read (or a faithful excerpt was);
"from memory, not checked" was recalled only; "derived" follows by arithmetic from inputs given here; "common
practice, no source" is what the trade says. Owns no reference implementation: what is compared is always the
project's own code.
"""
