/* By which fold and words cards of jobs are made. Written by python -m bothends.service.precache. */

export const FOLD_MARK = "6829a5aa72cb";
