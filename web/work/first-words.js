/* The words of the first screen on a phone without a job, and of what stands in its place until it is known whether
   there is one. They are in index.html too, so that they stand before any script does: python -m
   bothends.service.precache writes them in. */

export const FIRST = {
  name: "Bothends",
  settings: "Settings",
  title: "Open",
  none: "No open jobs",
  lead: "Set ride height in as few teardowns as possible.",
  link: "Open a link",
  begin: "New job",
};
