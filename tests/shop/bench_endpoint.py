"""Time of POST /api/solve against the model alone, over one kept-alive connection; run on demand.

    uv run python tests/shop/bench_endpoint.py

Prints, for each demo job, the model's time in this process, the endpoint's time at a real server, and their
ratio: medians of interleaved rounds, so that whatever else the machine does falls on both alike.
"""

import http.client
import json
import re
import statistics
import subprocess
import sys
import tempfile
import time

from bothends.model.solve import solve
from bothends.service.demo import jobs

ROUNDS = 60


def timed(work) -> float:
    """Seconds that a call takes."""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def ratio(connection: http.client.HTTPConnection, request: dict) -> tuple[float, float]:
    """Median seconds of the model and of the endpoint."""
    body = json.dumps(request)

    def ask() -> None:
        connection.request("POST", "/api/solve", body, {"Content-Type": "application/json"})
        reply = connection.getresponse()
        assert reply.status == 200, reply.status
        reply.read()

    for _ in range(5):
        solve(request)
        ask()
    pairs = [(timed(lambda: solve(request)), timed(ask)) for _ in range(ROUNDS)]
    return statistics.median(p[0] for p in pairs), statistics.median(p[1] for p in pairs)


def main() -> None:
    """Start a server, measure, print."""
    with tempfile.TemporaryDirectory() as data:
        command = [sys.executable, "-m", "bothends.service.command", "serve", "--http", "--no-browser"]
        command += ["--port", "0", "--data", data]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server:
            try:
                address = next(
                    found[1] for line in server.stdout if (found := re.search(r"http://(\S+?)/", line))
                )
                connection = http.client.HTTPConnection(address)
                print(f"{'job':10}{'model ms':>10}{'endpoint ms':>13}{'ratio':>8}")
                for job in jobs():
                    model, endpoint = ratio(connection, job["request"])
                    print(f"{job['name']:10}{1e3 * model:10.2f}{1e3 * endpoint:13.2f}{endpoint / model:8.2f}")
                connection.close()
            finally:
                server.terminate()


if __name__ == "__main__":
    main()
