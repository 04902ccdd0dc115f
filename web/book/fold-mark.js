/* By which fold and words cards of jobs are made. Written by python -m bothends.service.precache. */

export const FOLD_MARK = "8364c1e807e1";
