// Fingers on the sheet: one may drag, two zoom and pan. Knows no document.

import type { Point } from "../model/geometry";
import { panned, zoomed, type View } from "./view";

/** slack: a finger that moves less than this has tapped, pixels. */
export const slack = { mouse: 3, touch: 8 };

/** Fingers are the pointers that are down, in the order they came, pixels of the sheet. */
export type Fingers = ReadonlyMap<number, Point>;

/** pinched is the view after one of two fingers went from its old place to a new one. */
export function pinched(v: View, before: Fingers, after: Fingers): View {
  const [a, b] = [...before.keys()];
  if (a === undefined || b === undefined) return v;
  const p = before.get(a)!, q = before.get(b)!, r = after.get(a)!, s = after.get(b)!;
  const mid = { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 }, to = { x: (r.x + s.x) / 2, y: (r.y + s.y) / 2 };
  const was = Math.hypot(p.x - q.x, p.y - q.y), is = Math.hypot(r.x - s.x, r.y - s.y);
  return panned(zoomed(v, mid, was > 0 ? is / was : 1), { x: to.x - mid.x, y: to.y - mid.y });
}
