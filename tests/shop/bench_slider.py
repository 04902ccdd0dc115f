"""What the plan's slider costs: frames dropped while a finger drags it, at the usual and at a quarter of the speed.

Run on demand with ``PYTHONPATH=tests python -m shop.bench_slider`` from the top of the repository; prints, asserts
nothing.

Throttling slows the page's main thread and hardly touches the worker that plans, so the figures are the page's own
share: whether writing a plan's figures in ever costs a frame. Frames are counted from the browser's own trace.
"""

import json
import statistics
import tempfile
from pathlib import Path
from typing import Any

from browser.conftest import ARGS, PHONE
from browser.hand import Hand
from browser.server import running
from playwright.sync_api import CDPSession, Page, sync_playwright
from tools import WHOLE

CATEGORIES = (
    "devtools.timeline,disabled-by-default-devtools.timeline.frame,devtools.timeline.frame,cc,benchmark"
)
FRAME_MS = 1000 / 60
STEPS = 240
"""Moves of the finger, one in each frame: four seconds."""
DRAG = """
async steps => {
  const aim = document.getElementById('aim');
  const head = document.querySelector('.plan .draw');
  let writes = 0;
  const watch = new MutationObserver(() => (writes += 1));
  watch.observe(head, { childList: true, characterData: true, subtree: true });
  const gaps = [];
  // The finger touches before it moves: the cards are pinned and the car is fitted meanwhile.
  aim.dispatchEvent(new PointerEvent('pointerdown', { bubbles: true }));
  await new Promise(resolve => setTimeout(resolve, 400));
  let last = await new Promise(requestAnimationFrame);
  for (let i = 0; i < steps; i += 1) {
    aim.value = Math.round(35 * Math.sin((2 * Math.PI * i) / 120));
    aim.dispatchEvent(new Event('input', { bubbles: true }));
    const now = await new Promise(requestAnimationFrame);
    gaps.push(now - last);
    last = now;
  }
  watch.disconnect();
  return { gaps, writes };
}
"""


def traced(page: Page, session: CDPSession) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """What the drag measured, and the trace of it."""
    events: list[dict[str, Any]] = []
    ended: list[bool] = []
    session.on("Tracing.dataCollected", lambda data: events.extend(data["value"]))
    session.on("Tracing.tracingComplete", lambda _: ended.append(True))
    session.send("Tracing.start", {"categories": CATEGORIES, "transferMode": "ReportEvents"})
    found = page.evaluate(DRAG, STEPS)
    session.send("Tracing.end")
    while not ended:
        page.wait_for_timeout(50)
    return dict(found), events


def frames(events: list[dict[str, Any]]) -> dict[str, int]:
    """Frames by how they ended, from the compositor's own reports."""
    counts: dict[str, int] = {}
    for event in events:
        if event.get("name") != "PipelineReporter" or event.get("ph") not in ("b", "X"):
            continue
        args = event.get("args", {})
        report = args.get("frame_reporter") or args.get("chrome_frame_reporter") or {}
        state = str(report.get("state", "?")).replace("STATE_", "").lower()
        if report.get("affects_smoothness") is False and state == "dropped":
            state = "dropped, not seen"
        counts[state] = counts.get(state, 0) + 1
    return counts


def busy(events: list[dict[str, Any]]) -> list[float]:
    """What each picture cost the main thread in its own time, sorted, [ms]: free of what else this machine does."""
    spent = [e.get("tdur", 0) / 1000 for e in events if e.get("name") == "ProxyMain::BeginMainFrame"]
    return sorted(each for each in spent if each) or [0.0]


def main() -> None:
    with (
        tempfile.TemporaryDirectory() as data,
        running(Path(data)) as address,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=WHOLE, args=ARGS)
        for slow in (1, 4):
            context = browser.new_context(**PHONE)
            hand = Hand(context.new_page(), address)
            job = hand.job()
            hand.go(job, "plan")
            hand.hit(hand.page.get_by_text("Try another height"))
            hand.page.locator("#aim").wait_for()
            hand.page.locator("#aim").focus()
            hand.page.evaluate("async () => (await import('/model/solver.js')).warm()")
            session = context.new_cdp_session(hand.page)
            session.send("Emulation.setCPUThrottlingRate", {"rate": slow})
            found, events = traced(hand.page, session)
            gaps = found["gaps"]
            spent = busy(events)
            late = [i for i, gap in enumerate(gaps) if gap > 1.5 * FRAME_MS]
            print(f"slowed down {slow} times: {STEPS} moves in {sum(gaps) / 1000:.1f} s")
            print(
                f"  plans written in     {found['writes']}, {found['writes'] / sum(gaps) * 1000:.0f} a second"
            )
            print(f"  frame to frame       median {statistics.median(gaps):.1f}, worst {max(gaps):.1f} ms")
            print(f"  late by half a frame {len(late)} of {len(gaps)}, moves {late}")
            print(
                f"  main thread a frame  median {statistics.median(spent):.1f}, "
                f"19 in 20 under {spent[int(0.95 * len(spent))]:.1f}, worst {spent[-1]:.1f} ms"
            )
            print(f"  frames in the trace  {json.dumps(frames(events))}")
            context.close()
        browser.close()


if __name__ == "__main__":
    main()
