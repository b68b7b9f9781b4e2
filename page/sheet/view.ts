// From metres, y up, to the pixels of the sheet and back.

import type { Doc } from "../model/doc";
import { bends, boundsOf, flattened, type Bounds, type Point } from "../model/geometry";
import type { Underlay } from "./mode";

/** View maps metres to pixels: X = x0 + scale·x, Y = y0 − scale·y. */
export interface View {
  /** Pixels a metre. */
  readonly scale: number;
  readonly x0: number;
  readonly y0: number;
}

export const onSheet = (v: View, p: Point): Point => ({ x: v.x0 + v.scale * p.x, y: v.y0 - v.scale * p.y });
export const inMetres = (v: View, p: Point): Point => ({ x: (p.x - v.x0) / v.scale, y: (v.y0 - p.y) / v.scale });

/** matrix is the view as the transform of a group drawn in metres, y up. */
export const matrix = (v: View): string => `matrix(${v.scale} 0 0 ${-v.scale} ${v.x0} ${v.y0})`;

/** widest and nearest scale: a hall of 100 m on a phone, a millimetre under a finger. */
const [widest, closest] = [2, 4000];

/** foot is what the bar scale and the buttons need below, pixels. */
const foot = 18;

/** fit shows bounds in a sheet of so many pixels with a margin for what stands outside them. */
export function fit(b: Bounds, width: number, height: number, margin: number): View {
  const w = Math.max(b.high.x - b.low.x, 0.5), h = Math.max(b.high.y - b.low.y, 0.5);
  const room = Math.min(margin, width / 4, height / 4);
  const scale = Math.min(closest, Math.max(widest, Math.min((width - 2 * room) / w, (height - 2 * room) / h)));
  return { scale, x0: width / 2 - (scale * (b.low.x + b.high.x)) / 2, y0: height / 2 - foot + (scale * (b.low.y + b.high.y)) / 2 };
}

/** zoomed about a point of the sheet, which stays where it is. */
export function zoomed(v: View, about: Point, factor: number): View {
  const scale = Math.min(closest, Math.max(widest, v.scale * factor)), f = scale / v.scale;
  return { scale, x0: about.x + (v.x0 - about.x) * f, y0: about.y + (v.y0 - about.y) * f };
}

export const panned = (v: View, by: Point): View => ({ ...v, x0: v.x0 + by.x, y0: v.y0 + by.y });

/** extent of a document and of a picture under it, m; of an empty one a sheet of 8 by 6. */
export function extent(doc: Doc, u: Underlay | null = null): Bounds {
  const points = doc.decks.flatMap((d) => flattened(bends(d.corners)).points);
  if (u && points.length === 0) points.push(u.at, { x: u.at.x + u.width * u.scale, y: u.at.y + u.height * u.scale });
  return points.length > 0 ? boundsOf(points) : { low: { x: 0, y: 0 }, high: { x: 8, y: 6 } };
}

/** gridStep is the distance of the grid's lines, m: as close as they can be read. */
export function gridStep(scale: number): number {
  for (const step of [0.05, 0.1, 0.5, 1, 5, 10, 50]) if (step * scale >= 22) return step;
  return 100;
}
