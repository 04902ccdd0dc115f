"""What one look of ``doctor`` found."""

import msgspec

__all__ = ["Finding"]


class Finding(msgspec.Struct, frozen=True):
    """One look: ``state`` is ok, note or wrong."""

    about: str
    state: str
    text: str
    remedy: str = ""
