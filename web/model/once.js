/* A question that is not asked twice in a row: the last answer is kept, in the making or made. */

const NONE = { text: "", answer: null, come: null };

/**
 * {ask, already}: `ask(request)` resolves as `question(request)` does, which is called unless it was asked the very same
 * last and has not failed; `already(request)` gives the answer where it has come, else null.
 */
export function once(question) {
  let last = NONE;
  const ask = (request) => {
    const text = JSON.stringify(request);
    if (last.text !== text) {
      const asked = { text, answer: question(request), come: null };
      last = asked;
      asked.answer.then(
        (answer) => (asked.come = answer),
        () => last === asked && (last = NONE),
      );
    }
    return last.answer;
  };
  const already = (request) => (last.come && last.text === JSON.stringify(request) ? last.come : null);
  return { ask, already };
}
