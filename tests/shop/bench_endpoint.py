"""Time of POST /api/solve against the model alone, over one kept-alive connection; run on demand.

    uv run python tests/shop/bench_endpoint.py

Prints, for each demo job, the model's time in this process, the endpoint's time at a real server, and their
ratio: of medians over interleaved rounds, and of the best rounds, which a busy machine disturbs less.
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
from bothends.service.site.demo import jobs

ROUNDS = 150


def timed(work) -> float:
    """Seconds that a call takes."""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def rounds(connection: http.client.HTTPConnection, request: dict) -> tuple[list[float], list[float]]:
    """Seconds of the model and of the endpoint, round by round."""
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
    return [p[0] for p in pairs], [p[1] for p in pairs]


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
                print(f"{'job':10}{'model ms':>10}{'endpoint ms':>13}{'ratio':>8}{'of the best':>13}")
                for job in jobs():
                    model, endpoint = rounds(connection, job["request"])
                    usual = statistics.median(model), statistics.median(endpoint)
                    print(
                        f"{job['name']:10}{1e3 * usual[0]:10.2f}{1e3 * usual[1]:13.2f}"
                        f"{usual[1] / usual[0]:8.2f}{min(endpoint) / min(model):13.2f}"
                    )
                connection.close()
            finally:
                server.terminate()


if __name__ == "__main__":
    main()
