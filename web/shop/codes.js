/* What the shop's server says where it does not answer as asked. Written by python -m
   bothends.service.precache from api/bothends/service/http/problems.py; change it there. */

/** The media type of a problem; nobody else's answer has it by chance. */
export const PROBLEM = "application/problem+json";

/** Every code, and the status that it comes with.
 * @type {Readonly<Record<string, number>>} */
export const CODES = {
  "bad-log": 400,
  "bad-parameter": 400,
  "bad-request": 400,
  "missing-field": 400,
  "missing-reading": 400,
  "no-equilibrium": 400,
  "not-a-choice": 400,
  "not-an-image": 400,
  "not-converged": 400,
  "not-json": 400,
  "out-of-range": 400,
  "too-deep": 400,
  "too-many-readings": 400,
  unfit: 400,
  "unknown-field": 400,
  "wrong-id": 400,
  "wrong-sum": 400,
  "wrong-type": 400,
  "no-key": 401,
  "bad-code": 403,
  "not-found": 404,
  "wrong-method": 405,
  "too-slow": 408,
  "job-full": 409,
  "not-erased": 409,
  "other-content": 409,
  "own-key": 409,
  "photos-full": 409,
  gone: 410,
  "too-large": 413,
  "wrong-media-type": 415,
  "wrong-host": 421,
  "too-often": 429,
  "internal-error": 500,
  "book-moved": 503,
  busy: 503,
  "no-book": 503,
  "too-many-streams": 503,
  "took-too-long": 504,
  "no-room": 507,
};
