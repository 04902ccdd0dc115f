/* An address with what is asked for in it. */

/** A path with those of its parameters that say something. */
export const pathOf = (path, parameters) => {
  const search = new URLSearchParams(Object.entries(parameters).filter(([, value]) => value !== "" && value != null));
  return search.size ? `${path}?${search}` : path;
};
