"""The headline of an answer as a struct."""

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

__all__ = ["Headline"]


class Headline(msgspec.Struct, kw_only=True):
    """The best attempt in one sentence with the one reason that matters."""

    code: Annotated[
        Literal["as-wished", "turn", "turn-degrees", "read-first", "forbidden", "out-of-reach"],
        Meta(
            description="as-wished: nothing to turn. turn: whole teeth. turn-degrees: the teeth are not counted"
            " yet. read-first: a doubt must be resolved first. forbidden: a given limit stops every way."
            " out-of-reach: no way comes near the target."
        ),
    ]
    words: Annotated[str, Meta(description="The same on screen, in print and on the command line.")]
