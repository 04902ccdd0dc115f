/* How the address of a job link is told, apart from carry.js, so that a page without one need not load what unpacks it. */

/** What stands before the job in a link. */
export const MARK = "#job=";

/** Whether an address carries a job. */
export const carriesJob = (hash) => hash.startsWith(MARK);
