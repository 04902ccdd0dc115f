"""What a running copy of the service may be told. Reads no files, no environment."""

from pathlib import Path

import msgspec

__all__ = ["Settings"]


class Settings(msgspec.Struct, frozen=True, kw_only=True):
    """Settings of one application.

    Attributes
    ----------
    data : directory of the logbook, or None to keep none
    copies : folder of the daily copies; None means one in the data folder
    address : where phones and guests reach this server, ending in a slash; None means as each request did
    local : where this PC's own browser opens it, ending in a slash, or None where that is not known
    help : where the page is that says how to trust this server, or None
    tries : tries to pair or to open a link that one address may make in a minute
    demo : offer Slipway Garage's jobs at /api/demo
    hosts : host names answered to besides the loopback ones, lower case, without port
    web : directory of the front end; None means the one that came with the package
    solvers : solves that may run at once
    waiting : solves that may wait for their turn; one more is refused as busy
    body_seconds : time a request's body may take to arrive, [s]
    solve_seconds : time one solve may take, and may wait, [s]
    listeners : devices that may wait for news at a time, each on a stream of its own
    listeners_each : the same from one network
    """

    data: Path | None = None
    copies: Path | None = None
    address: str | None = None
    local: str | None = None
    help: str | None = None
    tries: float = 30.0
    demo: bool = False
    hosts: frozenset[str] = frozenset()
    web: Path | None = None
    solvers: int = 2
    waiting: int = 32
    body_seconds: float = 60.0
    solve_seconds: float = 10.0
    listeners: int = 80
    listeners_each: int = 16
