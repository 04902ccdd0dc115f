/* An address with what is asked for in it. */

/**
 * A path with those of its parameters that say something.
 * @param {string} path
 * @param {{ [name: string]: string | number | null | undefined }} parameters
 */
export const pathOf = (path, parameters) => {
  const search = new URLSearchParams();
  for (const [name, value] of Object.entries(parameters)) if ((value ?? "") !== "") search.set(name, String(value));
  return search.size ? `${path}?${search}` : path;
};
