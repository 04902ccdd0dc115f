/* A question that is not asked twice in a row: the last answer is kept, in the making or made. */

/**
 * {ask, already}: `ask(request)` resolves as `question(request)` does, which is called unless it was asked the very
 * same last and has not failed; `already(request)` gives the answer where it has come, else null.
 * @template R
 * @template A
 * @param {(request: R) => Promise<A>} question
 */
export function once(question) {
  /** @typedef {{ text: string, answer: Promise<A>, come: A | null }} Asked */
  /** @type {Asked | null} */
  let last = null;
  const ask = (/** @type {R} */ request) => {
    const text = JSON.stringify(request);
    if (last?.text === text) return last.answer;
    /** @type {Asked} */
    const asked = { text, answer: question(request), come: null };
    last = asked;
    asked.answer.then(
      (answer) => {
        asked.come = answer;
      },
      () => {
        if (last === asked) last = null;
      },
    );
    return asked.answer;
  };
  const already = (/** @type {R} */ request) => (last && last.text === JSON.stringify(request) ? last.come : null);
  return { ask, already };
}
