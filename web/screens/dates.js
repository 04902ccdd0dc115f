/* Days and times of entries, as this phone writes them. The clock of an entry is a label and decides nothing. */

/** "25 Nov 2026", or the text itself where it is no date. */
export function shortDate(at) {
  const date = new Date(at);
  return Number.isNaN(date.getTime()) ? String(at) : date.toLocaleDateString(undefined, { day: "numeric", month: "short", year: "numeric" });
}
