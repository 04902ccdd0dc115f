"""The application factory: wires settings, routes and the layers round them, and does nothing else.

A further route module is one more line in ``route_handlers`` below, and one in ``lifespan`` where it keeps
something open.
"""

from litestar import Litestar
from litestar.datastructures import State
from litestar.exceptions import NotFoundException

from .api import (
    access,
    backup,
    cars,
    devices,
    entries,
    erasures,
    export,
    history,
    info,
    jobs,
    letterhead,
    links,
    listening,
    news,
    open_book,
    photos,
    solving,
)
from .http.guard import Guard
from .http.problems import HANDLERS
from .http.strict_json import StrictRequest, check_body
from .settings import Settings
from .site.front import Files

__all__ = ["create_app"]


def create_app(settings: Settings | None = None) -> Litestar:
    """The ASGI application.

    Everything shared is here: one shape of failure, strict bodies of one media type, a body limit, the guard
    with its host list and headers. Handlers only say their types and the codes they may end in.
    """
    settings = settings or Settings()
    app = Litestar(
        route_handlers=[
            solving.solve,
            solving.what_if,
            info.health,
            info.demo_jobs,
            info.openapi,
            entries.put_entry,
            entries.get_entry,
            entries.post_entries,
            entries.feed,
            news.news,
            jobs.listed,
            jobs.job,
            jobs.job_history,
            cars.cars,
            cars.alike,
            cars.known,
            cars.one,
            history.across,
            history.calibrated,
            erasures.make,
            erasures.done,
            erasures.look,
            backup.copied,
            backup.make,
            photos.photo,
            photos.held,
            photos.put_part,
            export.book,
            export.one_table,
            devices.new_code,
            devices.pair,
            devices.devices_page,
            devices.one_device,
            devices.revoke,
            letterhead.kept,
            letterhead.enter,
            links.copy,
            links.make,
            links.links_page,
            links.opened,
            links.revoke,
        ],
        lifespan=[solving.solvers, open_book.opened, backup.opened, listening.opened],
        state=State(
            {
                "settings": settings,
                "tries": access.Bounded(settings.tries),
                "openings": access.Bounded(settings.tries),
            }
        ),
        exception_handlers={**HANDLERS, NotFoundException: Files(settings)},
        request_class=StrictRequest,
        before_request=check_body,
        request_max_body_size=solving.BODY_BYTES,
        # The document is our own (`document`), and so is the log.
        openapi_config=None,
        logging_config=None,
    )
    app.asgi_handler = Guard(app.asgi_handler, app, settings.hosts, body_seconds=settings.body_seconds)
    return app
