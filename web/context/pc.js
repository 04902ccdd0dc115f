/* What is asked of the shop's server by its PC, and by a phone seldom: fetched when first wanted. */

import { schemaOf } from "../book/schema.js";
import { told } from "../shop/pc/addresses.js";
import { askShop } from "../shop/pc/asks.js";
import { carAt, carsAlike, carsLike } from "../shop/pc/cars.js";
import { bundleOf, keptFrom, noteKept, passing, tokenOf } from "../shop/pc/by-link.js";
import { sendRows, tableText } from "../shop/pc/files.js";
import { chanceOf } from "../shop/pc/chances.js";
import { find } from "../shop/pc/job-rows.js";
import { enterLetterhead, letterhead } from "../shop/pc/letterhead.js";
import { numberOf } from "../shop/pc/number.js";
import { enterCopy, lookAtCopy } from "../shop/pc/public-copy.js";
import { sayOfJobs } from "../shop/pc/which-car.js";
import { unsettled } from "../shop/pc/unsettled.js";
import { writers } from "../shop/pc/writers.js";

export const pc = {
  askShop,
  bundleOf,
  carAt,
  carsAlike,
  carsLike,
  chanceOf,
  enterCopy,
  enterLetterhead,
  find,
  keptFrom,
  letterhead,
  lookAtCopy,
  noteKept,
  numberOf,
  passing,
  sayOfJobs,
  schemaOf,
  sendRows,
  tableText,
  told,
  tokenOf,
  unsettled,
  writers,
};
