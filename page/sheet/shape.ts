// Edges on the sheet: pixels, y down.

import type { Deck, Doc } from "../model/doc";
import { along, bends, centreOf, cross, dot, inside, lengthOf, minus, outward, plus, times, turned, type Bend,
  type Point } from "../model/geometry";
import { numberAt } from "../model/json";
import { onSheet, type View } from "./view";

const px = (n: number): string => String(Math.round(n * 10) / 10);

/** xy writes a point into a path. */
export const xy = (p: Point): string => `${px(p.x)},${px(p.y)}`;

/** arcTo draws an edge from where the pen is. */
function arcTo(v: View, e: Bend, off: number): string {
  const to = beside(v, e, 1, off);
  if (e.bulge === 0) return `L${xy(to)}`;
  const r = centreOf(e).radius * v.scale + Math.sign(e.bulge) * off;
  // On the sheet, where y points down, a curve out of the roof runs against the clock.
  return `A${px(r)} ${px(r)} 0 ${Math.abs(e.bulge) > 1 ? 1 : 0} ${e.bulge > 0 ? 0 : 1} ${xy(to)}`;
}

/** beside is a point at fraction t of an edge and so many pixels out of the roof. */
export function beside(v: View, e: Bend, t: number, off: number): Point {
  const out = outward(e, t);
  return plus(onSheet(v, along(e, t)), { x: out.x * off, y: -out.y * off });
}

/** edgePath draws one edge, so many pixels out of the roof. */
export const edgePath = (v: View, e: Bend, off = 0): string => `M${xy(beside(v, e, 0, off))}${arcTo(v, e, off)}`;

/** ringPath draws an outline. */
export function ringPath(v: View, ring: readonly Bend[]): string {
  const first = ring[0];
  return first ? `M${xy(onSheet(v, first.a))}${ring.map((e) => arcTo(v, e, 0)).join("")}Z` : "";
}

/** pathOf draws points in metres, closed or not. */
export const pathOf = (v: View, points: readonly Point[], closed: boolean): string =>
  points.map((p, i) => `${i === 0 ? "M" : "L"}${xy(onSheet(v, p))}`).join("") + (closed ? "Z" : "");

/** upright is the angle of words along a direction on the sheet, degrees: read from below or from the right. */
export function upright(d: Point): number {
  const deg = (Math.atan2(d.y, d.x) * 180) / Math.PI;
  return deg > 89.5 ? deg - 180 : deg <= -90.5 ? deg + 180 : deg;
}

/** leastJoistMM: joists nearer than this are no joists, and would fill the drawing. */
const leastJoistMM = 100;

/** joistLines are the joists under a deck, each longer than the deck is wide, m; none where direction or spacing is not said. */
export function joistLines(deck: Deck): readonly (readonly [Point, Point])[] {
  const deg = numberAt(deck.fields, ["base", "joist_bearing_deg"]), spacing = numberAt(deck.fields, ["base", "joist_spacing_mm"]);
  if (deg === undefined || spacing === undefined || spacing < leastJoistMM || deck.corners.length < 3) return [];
  const way = turned({ x: 1, y: 0 }, deg), left = turned(way, 90), step = spacing / 1000;
  // Counted from the left, or from below.
  const side = left.x + left.y < 0 ? times(left, -1) : left;
  const off = deck.corners.map((c) => dot(c, side)), run = deck.corners.map((c) => dot(c, way)), low = Math.min(...off),
    out: [Point, Point][] = [];
  for (let k = 0; low + k * step <= Math.max(...off) + 1e-9; k++) {
    const at = (t: number): Point => plus(times(side, low + k * step), times(way, t));
    out.push([at(Math.min(...run)), at(Math.max(...run))]);
  }
  return out;
}

/** Lie is how an edge lies: whether both its corners stick out, and whether another deck is beyond it. */
export interface Lie {
  readonly free: boolean;
  readonly beyond: boolean;
}

/** lieOf edge i of an outline. */
export function lieOf(doc: Doc, ring: readonly Bend[], i: number, own: number): Lie {
  const n = ring.length, e = ring[i]!, before = ring[(i + n - 1) % n]!, after = ring[(i + 1) % n]!;
  const out = (p: Bend, q: Bend): boolean => cross(minus(p.b, p.a), minus(q.b, q.a)) > 1e-9;
  const middle = plus(along(e, 0.5), times(outward(e, 0.5), Math.min(0.3, lengthOf(e))));
  const beyond = doc.decks.some((d, k) => k !== own && inside(bends(d.corners), middle));
  return { free: !beyond && out(before, e) && out(e, after), beyond };
}
