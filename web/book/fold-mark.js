/* By which fold and words cards of jobs are made. Written by python -m bothends.service.precache. */

export const FOLD_MARK = "78f0af0aa86c";
