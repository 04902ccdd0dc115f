"""A small program on a client that was generated from the schema: type-checked strictly, then run by the tests.

Plans every job of a shop from its sheet, and adds up what was read. Arguments: the server's address, a device key.
"""

import json
import sys

from bothends_client import AuthenticatedClient, Client
from bothends_client.api.export import export_table
from bothends_client.api.jobs import job, job_history, jobs
from bothends_client.api.plans import solve
from bothends_client.models import (
    JobHistory,
    JobPage,
    JobSheet,
    MoveDone,
    ReadingRead,
    SolveAnswer,
    TeardownTable,
)


def heights_mm(history: JobHistory) -> tuple[float, int]:
    """The sum of the ride heights of a job, [mm], and the teeth turned at outer ends, arm down positive."""
    total, teeth = 0.0, 0
    for event in history.events:
        if isinstance(event, ReadingRead):
            if event.row.what == "body-height":
                total += event.row.value
        elif isinstance(event, MoveDone):
            for side in (event.row.left, event.row.right):
                teeth += (side.outer or 0) if side else 0
    return total, teeth


def main(address: str, key: str) -> None:
    """Print one line of JSON: chance, sum of ride heights and outer teeth of every job that can be planned."""
    found: dict[str, tuple[float, float, int]] = {}
    with AuthenticatedClient(base_url=address, token=key) as shop, Client(base_url=address) as anybody:
        page = jobs.sync(client=shop)
        assert isinstance(page, JobPage)
        for line in page.jobs:
            sheet = job.sync(line.job, client=shop)
            history = job_history.sync(line.job, client=shop)
            assert isinstance(sheet, JobSheet)
            assert isinstance(history, JobHistory)
            if sheet.request is None:
                continue
            plan = solve.sync(client=anybody, body=sheet.request)
            assert isinstance(plan, SolveAnswer)
            total, teeth = heights_mm(history)
            found[line.job] = (plan.options[0].odds, total, teeth)
        table = export_table.sync("teardowns", client=shop)
        assert isinstance(table, TeardownTable)
        measured = [row.body_height_left_mm for row in table.rows if row.body_height_left_mm is not None]
    print(json.dumps({"jobs": found, "measured": measured}))


if __name__ == "__main__":
    main(*sys.argv[1:])
