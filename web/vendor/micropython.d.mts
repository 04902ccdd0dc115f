/* As much of MicroPython for WebAssembly as is used. */

export interface Options {
  heapsize?: number;
  pystack?: number;
  stdout?: (line: string) => void;
}

export interface Python {
  FS: {
    mkdir(path: string): void;
    mkdirTree(path: string): void;
    writeFile(path: string, text: string): void;
  };
  globals: {
    /** A function of Python's that takes and gives texts. */
    get(name: string): (text?: string) => string;
  };
  runPython(code: string): unknown;
}

export function loadMicroPython(options?: Options): Promise<Python>;
