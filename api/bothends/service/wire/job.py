"""A job as it is sent: a line of the list, its sheet and what follows from it, its history."""

from typing import Annotated, Any

import msgspec
from msgspec import Meta

from bothends.book import bodies

from .request import Posterior, SolveRequest
from .sheet import Event, FoldedSheet, Stage, State, Stop

__all__ = ["JobHistory", "JobLine", "JobPage", "JobSheet", "Unread", "Visit", "visit"]


Unread = Annotated[
    int,
    Meta(
        description="Jobs that an import brought and that are still being read: this answer lacks them, or has them"
        " as they were; 0 where it is whole."
    ),
]


NUMBER = Meta(description="What people at this shop call the job by; never given to another.")


class JobLine(msgspec.Struct, kw_only=True):
    """One job in a list."""

    job: str
    number: Annotated[int, NUMBER]
    title: str
    owner: str
    wish: str
    car: str
    car_key: Annotated[
        str, Meta(description="The same for every visit of one car; empty where nothing says which it is.")
    ]
    car_by: Annotated[
        str,
        Meta(
            description=(
                "What makes it a visit of its car: said (by a person), chassis or plate (as at another visit), name"
                " (name and owner alone, a job of an older app), own (by itself)."
            )
        ),
    ]
    chassis: Annotated[str, Meta(description="Chassis number as it is compared: letters and digits only.")]
    plate: Annotated[str, Meta(description="Number plate as it is compared.")]
    hidden: Annotated[bool, Meta(description="Whether it was hidden, as made by mistake.")]
    state: State
    teardowns: int
    entries: int
    conflicts: Annotated[int, Meta(description="Conflicts that a person has to resolve.")]
    puzzles: Annotated[int, Meta(description="Records that this version does not understand.")]
    left_mm: Annotated[float | None, Meta(description="Ride height last read, left, [mm].")]
    right_mm: Annotated[float | None, Meta(description="Ride height last read, right, [mm].")]
    target_left_mm: Annotated[
        float | None, Meta(description="Height that the target comes to, left, [mm]; null where to none yet.")
    ]
    target_right_mm: Annotated[float | None, Meta(description="The same, right, [mm].")]
    tolerance_mm: Annotated[float | None, Meta(description="How far off either height may be, [mm].")]
    odds: Annotated[float | None, Meta(description="Last predicted chance, 0 to 1.")]
    first_at: str | None
    last_at: str | None
    seq: Annotated[int, Meta(description="Number of its latest record.")]


class JobPage(msgspec.Struct, kw_only=True):
    """Jobs, by default those with the latest arrivals first."""

    jobs: list[JobLine]
    next: Annotated[
        int | None,
        Meta(
            description="To be given as after; null on the last page, and where pages turn by skip: in another"
            " order than that of arrival, or upwards."
        ),
    ]
    total: Annotated[int, Meta(description="How many jobs there are on all pages.")]
    unread: Unread
    by_state: Annotated[
        dict[str, int],
        Meta(
            description=(
                "How many stand where, by the names of the states, were the list not narrowed to one; and how many"
                " are hidden."
            )
        ),
    ]


class Visit(msgspec.Struct, kw_only=True):
    """What a car's earlier visit taught; to be kept in a job as an entry of kind known, or to be refused."""

    job: str
    title: str
    at: str
    bar: Annotated[bodies.BarBody | None, Meta(description="The bar it had; with another one, refuse.")]
    posterior: Annotated[Posterior, Meta(description="To be given as car.known.")]
    learned: dict[str, Any] | None


class JobSheet(msgspec.Struct, kw_only=True):
    """A job: the sheet its records come to, and what follows from it."""

    number: Annotated[int, NUMBER]
    sheet: FoldedSheet
    request: Annotated[
        SolveRequest | None,
        Meta(
            description="The solve request, as POST /api/solve takes it; null while stops say what it lacks."
        ),
    ]
    draft: Annotated[
        dict[str, Any] | None,
        Meta(description="What there is of the request while it lacks something; null once it is whole."),
    ]
    ids: Annotated[list[str], Meta(description="The record at each place of the request's log.")]
    stops: Annotated[
        list[Stop], Meta(description="What has to be resolved or entered before a plan can be trusted.")
    ]
    stages: Annotated[
        list[Stage],
        Meta(description="As found, after each teardown, and at each recheck (after_km)."),
    ]
    visit: Annotated[Visit | None, Meta(description="What was learned at the car's last visit.")]
    seq: Annotated[int, Meta(description="Number of its latest record.")]


class JobHistory(msgspec.Struct, kw_only=True):
    """Every reading, move and plan of a job in the order of the work."""

    job: str
    events: list[Event]
    next: Annotated[int | None, Meta(description="To be given as after; null on the last page.")]


def visit(row: dict[str, Any] | None) -> Visit | None:
    """A visit as the book has it, for the wire."""
    found: Any = row
    return None if row is None else Visit(**found)
