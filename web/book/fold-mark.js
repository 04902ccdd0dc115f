/* By which fold and words cards of jobs are made. Written by python -m bothends.service.precache. */

export const FOLD_MARK = "2b1ee7081662";
