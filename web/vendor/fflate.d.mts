/* As much of fflate as was cut out of it. */

export function deflateSync(data: Uint8Array, options?: { level?: 0 | 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8 | 9 }): Uint8Array;

/** Inflates piece by piece; what comes out is handed to the listener. */
export class Inflate {
  constructor(listener: (part: Uint8Array, final: boolean) => void);
  push(chunk: Uint8Array, final?: boolean): void;
}

export function strFromU8(data: Uint8Array, latin1?: boolean): string;
export function strToU8(text: string, latin1?: boolean): Uint8Array;
