"""/api/cars: the cars that have been here, one car over all its visits, and what its last visit taught."""

from typing import Annotated, Any, Literal

import msgspec
from litestar import Request, Response, get
from litestar.params import QueryParameter
from msgspec import Meta
from sqlite_utils import Database

from bothends.book import bodies, jobs, visits
from bothends.book import cars as book_cars

from ..http.problems import Refusal, documented
from ..wire.job import JobLine, Unread, Visit, visit
from ..wire.table import Teardown
from . import access
from .headers import LINK, next_page
from .open_book import book_of
from .parameters import Limit, Words

__all__ = ["alike", "cars", "known", "one"]

Without = Annotated[
    str,
    QueryParameter(max_length=64, description="A job that is left out: for what its car had been before."),
]


class CarLine(msgspec.Struct, kw_only=True):
    """One car in a list."""

    car_key: str
    car: str
    owner: str
    visits: int
    last_at: str
    taught: Annotated[bool, Meta(description="Whether some visit left constants to start from.")]
    by_name: Annotated[
        bool,
        Meta(
            description="Whether visits are joined by name and owner alone, as older apps did: confirm or split."
        ),
    ]


class CarPage(msgspec.Struct, kw_only=True):
    """Cars in order of their keys."""

    cars: list[CarLine]
    unread: Unread
    next: Annotated[str | None, Meta(description="To be given as after; null on the last page.")]


class Known(msgspec.Struct, kw_only=True):
    """What is known of a car."""

    car_key: str
    visit: Visit | None
    unread: Unread


class CarSaid(msgspec.Struct, kw_only=True):
    """The record by which a person said which car a job is of; a strike of it takes that back."""

    job: str
    entry: str
    at: str
    device: str
    writer: str | None


class OtherCar(msgspec.Struct, kw_only=True):
    """A car that may be the same: a person is asked."""

    car_key: str
    car: str
    owner: str
    visits: int
    last_at: str | None
    why: Annotated[
        Literal["chassis", "plate", "name"], Meta(description="What both have; name: name and owner.")
    ]


class ShownCar(msgspec.Struct, kw_only=True):
    """A car as its latest visit names it."""

    car_key: str
    car: str
    owner: str
    visits: int
    last_at: str | None


class Alike(msgspec.Struct, kw_only=True):
    """Two cars that may be one."""

    car: Annotated[ShownCar, Meta(description="The one that was here last.")]
    other: OtherCar


class AlikePage(msgspec.Struct, kw_only=True):
    """Pairs of cars that a person is asked about."""

    pairs: Annotated[list[Alike], Meta(description=f"At most {visits.PAIRS}.")]
    unread: Unread


class ApartCar(msgspec.Struct, kw_only=True):
    """A car that somebody said is another one."""

    car_key: str
    car: str
    owner: str
    visits: int
    last_at: str | None
    said: list[CarSaid]


class CarVisit(JobLine, kw_only=True):
    """One visit of a car."""

    began_from: Annotated[
        str | None,
        Meta(
            description="The visit whose constants it began with; empty where it does not say, null for none."
        ),
    ]
    taught: Annotated[bool, Meta(description="Whether it left constants to start from.")]
    said: Annotated[CarSaid | None, Meta(description="Null where nobody has said which car it is.")]


class Constant(msgspec.Struct, kw_only=True):
    """One constant of a car as known now, and the visit that told most about it."""

    name: Annotated[
        str,
        Meta(description=f"One of {', '.join(outside for outside, _, _ in book_cars.CONSTANTS.values())}."),
    ]
    value: float
    sd: Annotated[float, Meta(description="Standard deviation, in the unit of the value.")]
    assumed_sd: Annotated[
        float | None, Meta(description="What it was before any visit; null where it is not known.")
    ]
    from_job: Annotated[
        str | None, Meta(description="The visit that narrowed it most; null where it is still assumed.")
    ]
    from_title: str | None
    from_at: str | None


class Again(msgspec.Struct, kw_only=True):
    """Bodies of the entries that a new job for this car can begin with."""

    job: Annotated[bodies.JobBody, Meta(description="Car, owner, the car's own id.")]
    car: Annotated[bodies.CarBody, Meta(description="Sizes that are the same at every visit.")]
    known: Annotated[
        bodies.KnownBody | None,
        Meta(description="What was learned at the last visit; null with another bar since."),
    ]


class CarHistory(msgspec.Struct, kw_only=True):
    """One car over all its visits."""

    unread: Unread
    car_key: str
    car: str
    owner: str
    plate: Annotated[str, Meta(description="Number plate as typed last.")]
    chassis: Annotated[str, Meta(description="Chassis number as typed last.")]
    others: Annotated[
        list[OtherCar],
        Meta(
            description=(
                "Cars that may be the same. Yes: a record of kind job with this car's key as car_id in each of"
                " their visits. No: one with their key in other_than."
            )
        ),
    ]
    apart: list[ApartCar]
    visits: Annotated[list[CarVisit], Meta(description="The one begun last first; at most 100.")]
    visit_count: int
    teardowns: Annotated[
        list[Teardown], Meta(description="As found and after each teardown, in order of time; at most 1000.")
    ]
    constants: Annotated[list[Constant], Meta(description="Empty where nothing was learned at any visit.")]
    again: Again


@get(
    "/api/cars",
    operation_id="cars",
    summary="Cars that have been here",
    description="Their visits are at /api/jobs?car=, their heights over time at /api/history?car=.",
    responses=documented(*access.ENDS, "bad-parameter", "no-room"),
    response_headers=[LINK],
    guards=[access.needs_key],
    security=access.KEY,
)
async def cars(
    request: Request[Any, Any, Any],
    words: Words = "",
    after: Annotated[str, QueryParameter(max_length=420, description="The next of the page before.")] = "",
    without: Without = "",
    limit: Limit = 50,
) -> Response[CarPage]:
    """One page of cars."""
    book = book_of(request)
    await book.fresh()
    found, unread = await book.read(
        lambda db: (
            jobs.cars(db, query=words, after=after, without=without, limit=limit + 1),
            book.unread(db),
        )
    )
    lines = [CarLine(**row) for row in found[:limit]]
    page = CarPage(cars=lines, next=lines[-1].car_key if len(found) > limit else None, unread=unread)
    return Response(page, headers=next_page(request, after=page.next) if page.next else {})


@get(
    "/api/cars/alike",
    operation_id="alike",
    summary="Cars that may be one",
    description=(
        "Cars of one chassis number, number plate, or name and owner: a person is asked. How that is answered is"
        " said of others at /api/cars/page."
    ),
    responses=documented(*access.ENDS, "no-room"),
    guards=[access.needs_key],
    security=access.KEY,
)
async def alike(request: Request[Any, Any, Any]) -> AlikePage:
    """Pairs of the whole book."""
    book = book_of(request)
    await book.fresh()

    def look(db: Database) -> AlikePage:
        pairs: Any = visits.alike(db)
        lines = [Alike(car=ShownCar(**p["car"]), other=OtherCar(**p["other"])) for p in pairs]
        return AlikePage(pairs=lines, unread=book.unread(db))

    return await book.read(look)


@get(
    "/api/cars/known",
    operation_id="known",
    summary="What was learned at a car's last visit",
    description=(
        "For a new job: the constants its last visit left, to be kept in the job as a record of kind known and"
        " shown as known from its last visit, or to be refused."
    ),
    responses=documented(*access.ENDS, "bad-parameter", "no-room"),
    guards=[access.needs_key],
    security=access.KEY,
)
async def known(
    request: Request[Any, Any, Any],
    car: Annotated[str, QueryParameter(max_length=200, description="The car's name.")] = "",
    owner: Annotated[str, QueryParameter(max_length=200)] = "",
    car_id: Annotated[
        str, QueryParameter(max_length=420, description="Its car_key, where that is known.")
    ] = "",
) -> Known:
    """Look the car up by its key, else the only one of that name and owner; of two nobody can tell which."""
    book = book_of(request)
    await book.fresh()

    def look(db: Database) -> Known:
        key = jobs.key_of(db, car=car, owner=owner, car_id=car_id)
        return Known(car_key=key, visit=visit(jobs.last_visit(db, key=key)), unread=book.unread(db))

    return await book.read(look)


@get(
    "/api/cars/page",
    operation_id="car",
    summary="One car over all its visits",
    responses=documented(*access.ENDS, "bad-parameter", "not-found", "no-room"),
    guards=[access.needs_key],
    security=access.KEY,
)
async def one(
    request: Request[Any, Any, Any],
    key: Annotated[str, QueryParameter(max_length=420, description="Its car_key.")] = "",
    job: Annotated[
        str, QueryParameter(max_length=64, description="Where no car has that key: the car of this job.")
    ] = "",
    without: Without = "",
) -> CarHistory:
    """Visits, heights and angles over time, constants and where they come from."""
    book = book_of(request)
    await book.fresh()

    def look(db: Database) -> tuple[dict[str, Any] | None, int]:
        found = book_cars.page(db, key, without=without)
        if found is None and job and (said := visits.facts_of(db, job)) is not None:
            found = book_cars.page(db, said["car_key"], without=without)
        return found, book.unread(db)

    found, unread = await book.read(look)
    if found is None:
        raise Refusal("not-found", "no car of that key has been here", remedy="GET /api/cars lists the keys.")
    page: Any = found
    return CarHistory(**page, unread=unread)
