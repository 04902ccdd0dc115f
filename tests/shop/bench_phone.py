"""What the phone pays: bytes of the first load, a cold start without a server, from a reading to the plan.

    PYTHONPATH=tests python -m shop.bench_phone

Run on demand from the top of the repository; prints, asserts nothing. Bytes and their budgets are `first_load`'s.

From a reading to the plan is timed in the page itself: from the tap on Next, as the browser stamps it, to the frame
that shows the plan. Once the figure has stood for REST_MS, as a thumb needs that to get to Next, and once with Next
hit at once.

The slow phone is Chromium's CPU throttling, which slows the page and hardly touches workers, where the model runs:
figures under it show the page's own share only. A real phone's worker is slower by its own factor.
"""

import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from browser.conftest import ARGS, PHONE
from browser.hand import Hand
from browser.offline.gate import Gate
from browser.server import running
from playwright.sync_api import Page, Playwright, sync_playwright
from tools import WHOLE

from bothends.service.site import places
from shop.first_load import ALL_KB, PAGE_KB, sizes

ROUNDS = 9
REST_MS = 300
SLOWDOWN = 4
PLAN_MS, COLD_MS = 250, 1500
"""Budgets on a page slowed SLOWDOWN times: from a reading to its plan, from a cold start to a page to use."""
WATCH = """() => {
  window.planShown = new Promise((done) => {
    let from;
    const tapped = ({ timeStamp }) => (from = timeStamp);
    document.querySelector("[data-deck=main]").addEventListener("click", tapped, { capture: true });
    new MutationObserver((_, watch) => {
      if (!document.querySelector(".source")) return;
      watch.disconnect();
      requestAnimationFrame(() => setTimeout(() => done(performance.now() - from)));
    }).observe(document, { subtree: true, childList: true });
  });
}"""
USABLE = "() => document.querySelector('.job .stands')"


def timed(work: Callable[[], None]) -> float:
    """Wall time, [ms]."""
    start = time.perf_counter()
    work()
    return 1000 * (time.perf_counter() - start)


def opened(playwright: Playwright, profile: Path, address: str, *, slow: bool) -> float:
    """From asking for the page, in a browser just started, to a job's card that says where it stands, [ms]."""
    context = playwright.chromium.launch_persistent_context(
        str(profile), executable_path=WHOLE, args=ARGS, **PHONE
    )
    page = context.new_page()
    if slow:
        context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWDOWN})

    def open_it() -> None:
        page.goto(address)
        page.wait_for_function(USABLE)

    spent = timed(open_it)
    context.close()
    return spent


def planned(page: Page, hand: Hand, job: str, value: int, rest_ms: int) -> float:
    """From Next on one more height to the frame with the plan made from it, [ms]."""
    hand.go(job, "read/body-height/left?from=plan")
    hand.digits(str(value))
    page.evaluate(WATCH)
    page.wait_for_timeout(rest_ms)
    hand.key("next").tap()
    return float(page.evaluate("() => window.planShown"))


def main() -> None:
    found = sizes()
    page_kb = found["page"]
    for part, size in found.items():
        print(f"{part}: {size:.1f} kB compressed")
    print(f"page without the model: {page_kb:.1f} kB, {page_kb / PAGE_KB:.2f} of {PAGE_KB} kB")
    whole = sum(found.values())
    print(f"first load in all: {whole:.1f} kB, {whole / ALL_KB:.2f} of {ALL_KB} kB")
    with (
        tempfile.TemporaryDirectory() as data,
        running(Path(data)) as address,
        sync_playwright() as playwright,
    ):
        gate = Gate(address, places.web())
        profile = Path(data) / "profile"
        context = playwright.chromium.launch_persistent_context(
            str(profile), executable_path=WHOLE, args=ARGS, **PHONE
        )
        page = context.new_page()
        hand = Hand(page, gate.address)
        job = hand.job()
        page.wait_for_function("() => navigator.serviceWorker.controller")
        gate.down()
        session = context.new_cdp_session(page)
        for rest_ms in (REST_MS, 0):
            typical = {}
            for rate in (1, SLOWDOWN):
                session.send("Emulation.setCPUThrottlingRate", {"rate": rate})
                values = [214 + i % 4 for i in range(ROUNDS)]
                typical[rate] = statistics.median(planned(page, hand, job, v, rest_ms) for v in values)
            session.send("Emulation.setCPUThrottlingRate", {"rate": 1})
            print(
                f"a reading to the plan, server away, Next {rest_ms} ms after the figure: {typical[1]:.0f} ms; ",
                end="",
            )
            print(f"page slowed {SLOWDOWN} times: {typical[SLOWDOWN]:.0f} ms, ", end="")
            print(f"{typical[SLOWDOWN] / PLAN_MS:.2f} of {PLAN_MS} ms")
        context.close()
        cold = {
            slow: statistics.median(
                opened(playwright, profile, gate.address, slow=slow) for _ in range(ROUNDS)
            )
            for slow in (False, True)
        }
        print(
            f"cold start without a server, to a card that says where the job stands: {cold[False]:.0f} ms; ",
            end="",
        )
        print(
            f"page slowed {SLOWDOWN} times: {cold[True]:.0f} ms, {cold[True] / COLD_MS:.2f} of {COLD_MS} ms"
        )


if __name__ == "__main__":
    main()
