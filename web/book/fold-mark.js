/* By which fold and words cards of jobs are made. Written by python -m bothends.service.precache. */

export const FOLD_MARK = "c3684b0262f1";
