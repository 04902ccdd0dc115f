"""Bothends: rear ride height of cars sprung by splined torsion bars."""

__version__ = "0.1.0"
