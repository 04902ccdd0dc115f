/* What is said of where an answer was worked out. */

/** What to say of where an answer comes from. */
export const WHERE = { server: "Worked out on the shop's server.", phone: "Worked out on {here}." };
