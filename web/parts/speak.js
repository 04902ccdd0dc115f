/* Reading aloud, by the phone's own voice. Off until asked for, and off again at the next load. */

let on = false;
const voice = () => globalThis.speechSynthesis ?? null;

/** Whether this browser has a voice at all. */
export const canSpeak = () => Boolean(voice() && globalThis.SpeechSynthesisUtterance);

/** Whether it is turned on. */
export const speaking = () => on && canSpeak();

/**
 * Say something now, instead of what is being said.
 * @param {string} text
 */
export function speak(text) {
  if (!speaking()) return;
  hush();
  const words = new SpeechSynthesisUtterance(text);
  words.lang = "en";
  voice()?.speak(words);
}

/** Be quiet. */
export const hush = () => voice()?.cancel();

/**
 * Turn it on or off.
 * @param {boolean} wanted
 */
export function setSpeaking(wanted) {
  on = wanted;
  if (!on) hush();
}
