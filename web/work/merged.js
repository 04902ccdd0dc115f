/* What importing a file came to, in a sentence. */

/**
 * What importing a file came to, in a sentence.
 * @param {import("../types/log.d.ts").Merged} merged
 */
export function mergedWords({ added, known, disputed, unfit }) {
  /**
   * @param {number} n
   * @param {string} one
   * @param {string}
   many */
  const much = (n, one, many) => (n ? `${n} ${n === 1 ? one : many}` : "");
  const parts = [
    `${much(added.length, "record", "records") || "nothing"} new`,
    known.length ? `${known.length} known already` : "",
    disputed.length
      ? `${much(disputed.length, "record differs", "records differ")} from what is here; both are kept`
      : "",
    unfit.length
      ? `${much(unfit.length, "row", "rows")} left out: ${[...new Set(unfit.map(({ why }) => why))].join("; ")}`
      : "",
  ];
  return `${parts.filter(Boolean).join(", ")}.`.replace(/^./, (c) => c.toUpperCase());
}
