"""Writes outbox/<release>.json: a phone's database as this version leaves it, full of entries that wait.

Run once for every release (``PYTHONPATH=tests python tests/browser/offline/write_outbox.py 1``) and keep the
file for ever: a test replays each of them against today's app and shop.
"""

import json
import sys
import tempfile
from pathlib import Path

from browser.conftest import ARGS
from browser.offline.conftest import Phone, bench_files
from browser.offline.gate import Gate
from browser.offline.shop import Shop
from playwright.sync_api import sync_playwright
from tools import WHOLE

from bothends.service.site import places

ENTER = """
    await log.append(JOB, [
        ["job", {title: "Gannet roadster, Maren", owner: "Maren", wish: "level, 250 mm", colour: "later field"}],
        ["car", {bar: {diameter_mm: 22, length_mm: 600, inner_teeth: 40, outer_teeth: 44}, arm_mm: 415}],
        ["target", {left_mm: 250, right_mm: 250}],
    ]);
    const height = {what: "body-height", side: "left", teardown: 0};
    const [one] = await log.append(JOB, [["reading", {...height, value: 241}]]);
    await log.append(JOB, [
        ["reading", {...height, value: 214, corrects: one.id}],
        ["reading", {what: "hanging-angle", side: "right", value: 6, datum: 11.2, sd: 0.2, teardown: 0}],
        ["move", {teardown: 1, left: {inner: -3, outer: 4}, right: {inner: 0, outer: 1}}],
        ["step", {step: "settled", teardown: 1}],
        ["note", {text: "sill jacked at the front first, ± nothing"}],
    ]);
    const [last] = await log.append(JOB, [["note", {text: "struck again"}]]);
    await log.append(JOB, [["strike", {entry: last.id}]]);
"""
DUMP = """
    const db = await new Promise((done) => (indexedDB.open("bothends").onsuccess = (e) => done(e.target.result)));
    const out = {made: ids.stamp(), version: db.version, stores: {}};
    for (const name of db.objectStoreNames) {
        const store = db.transaction(name).objectStore(name);
        const get = (asked) => new Promise((done) => (asked.onsuccess = () => done(asked.result)));
        const indexes = {};
        for (const index of store.indexNames) indexes[index] = store.index(index).keyPath;
        const [keys, rows] = [await get(store.getAllKeys()), await get(store.getAll())];
        const paired = store.keyPath ? rows : rows.map((row, i) => [keys[i], row]);
        out.stores[name] = {key: store.keyPath, indexes, rows: paired};
    }
    db.close();
    return out;
"""


def main(release: str) -> None:
    """Enter a job on a phone and write down what its database holds."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        shop = Shop(Path(folder), places.web())
        gate = Gate(shop.address, shop.web)
        gate.files.update(bench_files())
        browser = playwright.chromium.launch(executable_path=WHOLE, args=ARGS)
        try:
            phone = Phone(browser.new_context(), gate, [])
            told = phone.js(ENTER)
            assert told is None, told
            kept = phone.js(DUMP)
        finally:
            browser.close()
            gate.down()
            shop.stop()
    target = Path(__file__).parent / "outbox" / f"{release}.json"
    target.parent.mkdir(exist_ok=True)
    target.write_text(json.dumps(kept, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1])
