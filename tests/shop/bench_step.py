"""How long a reading takes from one device to the screens of two others, all on a job that is open.

    PYTHONPATH=tests python -m shop.bench_step

Run on demand; prints, asserts nothing. The real command in a process of its own, three browsers with keys of their
own on one machine; so the network is as good as one can be. A reading's time is from the moment it is entered on
the first until it is drawn on the last of the others. Readings come some time apart, as they do at a car;
``--readings 20`` takes fewer, ``--rounds`` does without the stream, by the clock alone.
"""

import argparse
import statistics
import tempfile
from pathlib import Path
from typing import Any

import tools
from browser.books import NO_STREAM, book
from browser.conftest import ARGS, PC, PHONE
from browser.hand import Hand
from playwright.sync_api import Browser, sync_playwright

PAIR = "async ([code, name]) => (await import('/shop/pairing.js')).pair(code, name)"
SYNC = "async () => (await import('/shop/pace.js')).syncNow()"
ENTER = """
async ([job, value]) => {
  const { append } = await import('/book/log.js');
  const at = performance.timeOrigin + performance.now();
  await append(job, [["reading", { what: "body-height", side: "left", value }]]);
  return at;
}
"""
WATCH = """
(value) => {
  window.drawn = new Promise((done) => {
    const look = () => {
      if (!document.querySelector("main").textContent.includes(value)) return;
      seen.disconnect();
      done(performance.timeOrigin + performance.now());
    };
    const seen = new MutationObserver(look);
    seen.observe(document.querySelector("main"), { childList: true, subtree: true, characterData: true });
    look();
  });
}
"""


def device(browser: Browser, shop: Any, name: str, options: dict[str, Any], *, stream: bool) -> Hand:
    """A paired browser."""
    context = browser.new_context(service_workers="block", **options)
    context.set_default_timeout(300_000)
    hand = Hand(context.new_page(), shop.address, touch=False)
    if not stream:
        hand.page.add_init_script(NO_STREAM)
    hand.open()
    hand.page.evaluate(PAIR, [shop.ask("POST", "/api/pairing")["code"], name])
    return hand


def main() -> None:
    """Measure and print."""
    options = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    options.add_argument("--readings", type=int, default=50)
    options.add_argument("--pause", type=float, default=1.0, help="between two readings, [s]")
    options.add_argument(
        "--rounds", action="store_true", help="without the stream: rounds by the clock alone"
    )
    told = options.parse_args()
    stream = not told.rounds
    with tempfile.TemporaryDirectory() as folder, book(Path(folder)) as shop, sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=tools.CHROMIUM, args=ARGS)
        writer = device(browser, shop, "phone", PHONE, stream=stream)
        job = writer.job()
        writer.page.evaluate(SYNC)
        others = [
            device(browser, shop, name, kind, stream=stream)
            for name, kind in (("other phone", PHONE), ("PC", PC))
        ]
        for hand in others:
            hand.page.evaluate(SYNC)
            hand.go(job, "list")
        writer.go(job, "list")
        took = []
        for number in range(told.readings):
            writer.page.wait_for_timeout(1000 * told.pause)
            figure = 1000 + number
            for hand in others:
                hand.page.evaluate(WATCH, str(figure))
            begun = writer.page.evaluate(ENTER, [job, figure])
            took.append(max(hand.page.evaluate("() => window.drawn") for hand in others) - begun)
        browser.close()
    took.sort()
    print(
        f"{len(took)} readings, from entered to drawn on both others: median {statistics.median(took):.0f} ms,"
        f" 95 of 100 within {took[int(0.95 * (len(took) - 1))]:.0f} ms, longest {took[-1]:.0f} ms"
    )


if __name__ == "__main__":
    main()
