/* The desk: entries of all jobs that disagree, side by side, each settled by a person with an entry, and taken back
   the same way.

   Owns which questions are on the screen and what a choice writes. A question that was settled here stays in its
   place, with its undo, until the screen is left. Readings that the model doubts are not here: the plan asks about
   them. */

import { h, say } from "../../parts/dom.js";
import { useStyle } from "../../parts/style.js";
import { card, choicesOf, contentsOf, keptWords } from "./desk-question.js";
import { moment } from "../../work/conflicts.js";
import { counted } from "../../work/plural.js";
import { lackNote } from "../../parts/shop/lack.js";

const keyOf = (job, { conflict, dispute }) =>
  `${job} ${conflict ? [...conflict.entries].sort().join(" ") : `id ${dispute.id}`}`;

/** Questions of a job as they stand. */
function questionsOf(ctx, { job, all, open }) {
  const entryOf = (id) => all.entries.find((entry) => entry.id === id);
  return [
    ...all.sheet.conflicts.map((conflict) => ({ job, all, conflict, choices: choicesOf(conflict, entryOf) })),
    ...open.map((dispute) => ({ job, all, dispute, choices: contentsOf(ctx, dispute) })),
  ].map((question) => ({ ...question, key: keyOf(job, question), done: null }));
}

const nameOfJob = ({ sheet }) =>
  [sheet.car_name || sheet.title || "Car without a name", sheet.owner].filter(Boolean).join(", ");

/** The screen. */
export function desk(ctx) {
  useStyle("desk");
  const asked = ctx.query.job ?? "";
  const place = h("div", { class: "mine" }, h("p", { class: "working", role: "status", text: "Loading…" }));
  const note = h("div");
  let questions = [];
  let jobs = [];
  let nameOf = (device) => device;
  let turn = 0;
  let busy = false;

  /** Run something that keeps; says above the page where it was not kept. */
  async function keeping(work) {
    if (busy) return null;
    busy = true;
    try {
      const out = await work();
      ctx.sayKept("");
      return out ?? true;
    } catch (error) {
      if (error.name !== "NotKept") throw error;
      ctx.sayKept(error.message);
      return null;
    } finally {
      busy = false;
    }
  }

  async function write(question, work, words) {
    const done = await keeping(work);
    if (!done) return;
    question.done = { ...done, words };
    await load();
    say(words);
    place.querySelector(`[data-key="${CSS.escape(question.key)}"] .undo`)?.focus();
  }
  const acts = {
    nameOf: (device) => nameOf(device),
    pick: (question, choice) => {
      const words =
        choice.entry.kind === "strike"
          ? "Resolved: it stays removed."
          : `Resolved: ${keptWords(choice.entry)} is used.`;
      if (question.dispute)
        return write(
          question,
          async () => ({ dispute: await ctx.files.settleDispute(question.dispute, choice.entry) }),
          words,
        );
      return write(question, async () => ({ made: await ctx.log.append(question.job, choice.items) }), words);
    },
    aside: (question) =>
      write(
        question,
        async () => ({
          dispute: await ctx.files.settleDispute(question.dispute, question.dispute.mine, { wrote: false }),
        }),
        "Dismissed. Both stay in the history.",
      ),
    async undo(question) {
      const { dispute, made } = question.done;
      const undone = await keeping(() =>
        dispute
          ? ctx.files.reopenDispute(dispute)
          : ctx.log.append(
              question.job,
              made.map(({ id }) => ["strike", { entry: id }]),
            ),
      );
      if (!undone) return;
      question.done = null;
      await load();
      say("The conflict is open again");
      (place.querySelector(`[data-key="${CSS.escape(question.key)}"] .keep`) ?? place.querySelector("button"))?.focus();
    },
  };

  /** Settlements that hold in a job, each with its undo. */
  function before({ job, all }) {
    const rows = (all.sheet.settlements ?? []).filter(
      ({ id }) => !questions.some(({ done }) => done?.made?.some((entry) => entry.id === id)),
    );
    if (!rows.length) return null;
    const entryOf = (id) => all.entries.find((entry) => entry.id === id);
    const back = (row) => async () => {
      if (await keeping(() => ctx.log.append(job, [["strike", { entry: row.id }]]))) await load();
    };
    return h(
      "details",
      null,
      h("summary", { text: `Resolved before: ${rows.length}` }),
      h(
        "ul",
        null,
        rows.map((row) =>
          h(
            "li",
            { class: "before-row" },
            h("span", { text: `Kept ${keptWords(entryOf(row.keeps))}; ${nameOf(row.device)}, ${moment(row)}` }),
            h(
              "button",
              {
                type: "button",
                class: "key small",
                onclick: back(row),
                "aria-label": `Ask again: ${keptWords(entryOf(row.keeps))}`,
              },
              "Ask again",
            ),
          ),
        ),
      ),
    );
  }

  function draw() {
    const mine = (turn += 1);
    const works = [];
    const open = questions.filter(({ done }) => !done).length;
    const section = (job) => {
      const own = questions.filter((question) => question.job === job.job);
      const cards = own.map((question) => {
        question.id = `q-${questions.indexOf(question)}`;
        const { node, work } = card(ctx, question, acts);
        node.dataset.key = question.key;
        works.push(...work);
        return node;
      });
      return h(
        "section",
        { class: "of-job" },
        h(
          "div",
          { class: "job-head" },
          h("h2", { text: nameOfJob(job.all) }),
          h(
            "a",
            {
              class: "key small",
              href: ctx.href({ words: ["list"] }, job.job),
              "aria-label": `Open the job: ${nameOfJob(job.all)}`,
            },
            "Open the job",
          ),
        ),
        cards.length ? h("ul", null, cards) : h("p", { text: "No conflicts here." }),
        before(job),
      );
    };
    place.replaceChildren(
      h("p", {
        class: "count",
        role: "status",
        text: open ? counted(open, "{n} conflict to resolve.", "{n} conflicts to resolve.") : "No conflicts.",
      }),
      ...jobs.map(section),
    );
    // One after the other: the model works on one at a time, and who leaves stops it.
    (async () => {
      for (const work of works) if (mine === turn) await work();
    })();
  }

  async function load() {
    const mine = (turn += 1);
    const found = await ctx.pc.unsettled(asked);
    if (mine !== turn) return;
    const fresh = (asked ? found.here.filter(({ job }) => job === asked) : found.here).flatMap((one) =>
      questionsOf(ctx, one),
    );
    const kept = questions.filter((question) => question.done && !fresh.some(({ key }) => key === question.key));
    const rank = new Map(questions.map(({ key }, i) => [key, i]));
    questions = [...fresh, ...kept].sort((a, b) => (rank.get(a.key) ?? 1e6) - (rank.get(b.key) ?? 1e6));
    const shown = new Map(found.here.filter(({ job }) => !asked || job === asked).map((one) => [one.job, one]));
    for (const question of kept)
      if (!shown.has(question.job))
        shown.set(question.job, { job: question.job, all: await ctx.log.look(question.job), open: [] });
    const order = jobs.map(({ job }) => job);
    jobs = [...shown.values()].sort(
      (a, b) =>
        (order.includes(a.job) ? order.indexOf(a.job) : 1e6) - (order.includes(b.job) ? order.indexOf(b.job) : 1e6),
    );
    const away = asked ? [] : found.away;
    note.replaceChildren(
      ...(found.lack ? [lackNote(found.lack, "Below: the conflicts on this device.", load)] : []),
      ...(away.length
        ? [
            h(
              "div",
              { class: "refused lack" },
              h("p", {
                text: `At the shop, not on this device yet: ${away.map(({ car, title, owner }) => [car || title, owner].filter(Boolean).join(", ")).join("; ")}.`,
              }),
              h(
                "button",
                {
                  type: "button",
                  class: "key",
                  onclick: async () => {
                    await ctx.shop.syncNow();
                    await load();
                  },
                },
                "Sync now",
              ),
            ),
          ]
        : []),
    );
    draw();
  }
  const failed = (error) =>
    place.replaceChildren(
      h("p", { class: "refused", role: "alert", text: `${error.detail ?? error.message} Your data is safe.` }),
    );

  let news = 0;
  ctx.whileShown(
    ctx.log.listen((message, elsewhere) => {
      // What was done here is drawn already, with the focus on its undo.
      if (message.what !== "entries" || !(elsewhere || message.came !== "here")) return;
      clearTimeout(news);
      news = setTimeout(() => load().catch(failed), 500);
    }),
  );
  ctx.whileShown(() => {
    turn += 1;
    clearTimeout(news);
  });
  ctx.pc
    .writers()
    .then((names) => {
      nameOf = names;
      return load();
    })
    .catch(failed);
  return {
    title: "Conflicts",
    fresh() {},
    node: h(
      "div",
      { class: "desk" },
      h("h1", { text: "Conflicts" }),
      h("p", {
        class: "where",
        text: "Devices saved different values. Choose one; both stay in the history. You can undo your choice.",
      }),
      asked ? h("div", { class: "keys" }, h("a", { class: "key small", href: "#/desk" }, "All jobs")) : null,
      note,
      place,
    ),
  };
}
