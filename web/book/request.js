/* From a solve request (a demo job, a file of the command line) to the entries of a job. The way back is the sheet's own. */

/** The entries of a request, as [kind, body] pairs for `append`; `about` is the body of the job's card. */
export function itemsOf(request, about) {
  const items = [
    ["job", typeof about === "string" ? { title: about } : about],
    ["car", request.car],
    ["target", request.target],
  ];
  for (const { kind, ...body } of request.log ?? []) items.push([kind, body]);
  return items;
}
