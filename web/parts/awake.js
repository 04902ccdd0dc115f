/* <stay-awake>: keeps the screen from going dark as long as it is on the page, and says whether that worked.

   The lock is lost whenever the page is hidden; it is asked for again when it is seen. */

import { named } from "../work/this-device.js";

class StayAwake extends HTMLElement {
  /** @type {WakeLockSentinel | null} */
  lock = null;
  seen = () => {
    if (document.visibilityState === "visible") this.ask();
  };

  connectedCallback() {
    this.setAttribute("role", "status");
    document.addEventListener("visibilitychange", this.seen);
    this.ask();
  }

  disconnectedCallback() {
    document.removeEventListener("visibilitychange", this.seen);
    this.lock?.release().catch(() => {});
    this.lock = null;
  }

  async ask() {
    const lock = await navigator.wakeLock?.request("screen").catch(() => null);
    if (!this.isConnected) return lock?.release();
    this.lock = lock ?? null;
    this.dataset.held = String(Boolean(lock));
    this.textContent = lock
      ? "Screen stays on"
      : named("The screen may go dark: give it a longer time-out in the settings of {here}");
    return undefined;
  }
}

customElements.define("stay-awake", StayAwake);

/** A new one. */
export const stayAwake = () => document.createElement("stay-awake");
