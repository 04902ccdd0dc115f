/* A key that goes on while it is held: once when it is touched, and after a while again and again. */

const FIRST_MS = 400;
const NEXT_MS = 90;

/**
 * Let a key repeat what it does while it is held; keyboard and screen reader press it once.
 * @param {HTMLElement} key
 * @param {() => void} act
 * @returns {HTMLElement} the key
 */
export function repeating(key, act) {
  let timer = 0;
  let byPointer = false;
  const stop = () => clearTimeout(timer);
  const again = () => {
    // A key that was taken away, with its screen, is held no more.
    if (!key.isConnected) return;
    act();
    timer = setTimeout(again, NEXT_MS);
  };
  key.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    byPointer = true;
    stop();
    act();
    timer = setTimeout(again, FIRST_MS);
  });
  for (const end of ["pointerup", "pointercancel", "pointerleave", "lostpointercapture"])
    key.addEventListener(end, stop);
  key.addEventListener("contextmenu", (event) => event.preventDefault());
  key.addEventListener("click", () => {
    if (!byPointer) act();
    byPointer = false;
  });
  return key;
}
