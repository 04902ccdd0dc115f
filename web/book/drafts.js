/* What is typed and not entered yet, kept after every key so that a reload loses nothing.

   One draft per question of a job. A draft is the question's own business (plain data); it is dropped when its
   entry is written. */

import { read, remove, write } from "./storage.js";

const place = (job, question) => `draft/${job}/${question}`;

/** The draft of a question, or null. */
export const draft = (job, question) => read(place(job, question));

/** Keep a draft; throws NotKept when the phone has no room. */
export const keep = (job, question, typed) => write(place(job, question), typed);

/** Drop a draft once its entry is written. */
export const drop = (job, question) => remove(place(job, question));
