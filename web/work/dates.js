/* Days and times of entries, as this phone writes them. The clock of an entry is a label and decides nothing. */

// Made once: making one takes longer than a row of a table may.
const SHORT = new Intl.DateTimeFormat(undefined, { day: "numeric", month: "short", year: "numeric" });

/**
 * "25 Nov 2026", or the text itself where it is no date.
 * @param {string} at
 */
export function shortDate(at) {
  const date = new Date(at);
  return Number.isNaN(date.getTime()) ? String(at) : SHORT.format(date);
}
