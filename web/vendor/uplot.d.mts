/* As much of uPlot 1.6 as parts/shop/plot.js uses. */

export type Values = (number | null | undefined)[];
export type Data = [Values, ...Values[]];

export interface Scale {
  min?: number | null;
  max?: number | null;
}

export default class Plot {
  /** Canvas pixels for one of the page's. */
  static readonly pxRatio: number;
  static readonly paths: { bars(how: { size: [part: number, most: number] }): unknown };
  constructor(options: Record<string, unknown>, data: Data, place: HTMLElement);
  readonly root: HTMLElement;
  readonly ctx: CanvasRenderingContext2D;
  readonly bbox: { left: number; top: number; width: number; height: number };
  readonly width: number;
  readonly height: number;
  readonly data: Data;
  readonly scales: Record<string, Scale>;
  readonly series: Record<string, unknown>[];
  readonly cursor: { idx?: number | null; left?: number; top?: number };
  valToPos(value: number, scale: string, canvas?: boolean): number;
  posToVal(position: number, scale: string, canvas?: boolean): number;
  setSize(size: { width: number; height: number }): void;
  setCursor(place: { left: number; top: number }): void;
  redraw(again?: boolean): void;
  destroy(): void;
}
