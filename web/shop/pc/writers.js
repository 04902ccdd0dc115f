/* Who wrote an entry, as people call the device: this one, one the shop has a name for, or one it has none for. */

import { access, deviceId } from "../../book/device.js";
import { isId } from "../../book/ids.js";
import { askShop } from "./asks.js";
import { named } from "../../work/this-device.js";

const MOST = 200;

/**
 * Resolves to name(device), the name of an entry's device; without the shop's answer, of this one alone.
 * @returns {Promise<(device: string) => string>}
 */
export async function writers() {
  /** @type {Map<string, string>} */
  const names = new Map();
  for (let after = ""; after !== null;) {
    const { body } = await askShop(`/api/devices?limit=${MOST}&after=${after}`);
    if (!body) break;
    for (const { name, writes_as: id } of body.devices) if (id) names.set(id, name);
    after = body.next;
  }
  const [mine, held] = await Promise.all([deviceId(), access()]);
  if (held?.name) names.set(mine, held.name);
  return (device) => {
    const name = names.get(device);
    if (device === mine) return named(name ? `${name}, {here}` : "{here}");
    return name ?? (isId(device) ? `a device without a name (…${device.slice(-4)})` : device.replaceAll("-", " "));
  };
}
