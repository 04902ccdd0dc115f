/* A page for tests: the phone's modules at hand, and the least that a screen has to do with them. */

import * as base from "/book/base.js";
import * as carry from "/book/carry.js";
import * as device from "/book/device.js";
import * as file from "/book/file.js";
import * as fetching from "/shop/fetch.js";
import * as resting from "/shop/fetch-rest.js";
import * as fold from "/book/fold.js";
import * as ids from "/book/ids.js";
import * as log from "/book/log.js";
import * as outbox from "/book/outbox.js";
import * as pace from "/shop/pace.js";
import * as pairing from "/shop/pairing.js";
import * as same from "/book/same.js";
import * as shelf from "/book/shelf.js";
import * as sync from "/shop/sync.js";
import * as tabs from "/book/tabs.js";
import * as update from "/book/update.js";

const place = (id) => document.getElementById(id);
const JOB = "0198c000-0000-7000-8000-0000000000aa";

async function draw() {
  place("count").textContent = outbox.inWords(await outbox.counts());
}

place("form").addEventListener("submit", async (event) => {
  event.preventDefault();
  const body = { what: "body-height", side: "left", value: Number(place("typed").value) };
  try {
    await log.append(JOB, [["reading", body]]);
    place("typed").value = "";
    place("said").textContent = "Saved on this phone.";
  } catch (error) {
    place("said").textContent = error.message;
  }
});
place("update").addEventListener("click", () => update.acceptUpdate());
base.watchBase((notice) => (place("notice").textContent = notice?.text ?? ""));
update.watchApp(({ worker, text, update: found }) => {
  place("app").textContent = found?.held || `${worker}: ${text}`;
  place("update").hidden = !found;
});
tabs.listen((message) => ["entries", "marks"].includes(message.what) && draw());
window.bench = { base, carry, device, file, fold, ids, log, outbox, pace, pairing, same, sync, tabs, update, JOB };
Object.assign(window.bench, { fetching, resting, shelf });
if (new URLSearchParams(location.search).has("app")) {
  update.startApp({ hasUnsaved: () => place("typed").value !== "" });
  update.keepApp();
}
// A database that cannot be opened is said by the notice.
draw().then(() => (document.body.dataset.ready = "yes"), () => (document.body.dataset.ready = "no"));
