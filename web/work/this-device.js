/* What the device that the app runs on is called in a sentence: "this phone", or "this PC". The one place that says so;
   texts have a gap, {here} or, where a sentence begins with it, {Here}, and are filled as they are shown.

   Which of them it is, is found out in book/device.js. */

let pc = false;

/**
 * Say which it is, before anything is drawn.
 * @param {boolean} on
 */
export function usePc(on) {
  pc = on;
}

/** Which it is. */
export const onPc = () => pc;

/**
 * A text with its gaps filled.
 * @param {string} text
 */
export const named = (text) =>
  text.replaceAll("{here}", pc ? "this PC" : "this phone").replaceAll("{Here}", pc ? "This PC" : "This phone");
