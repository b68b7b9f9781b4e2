// Plain plane geometry of what is drawn: metres, x to the right and y up, angles in degrees
// anticlockwise from +x. The bulge of an edge is its rise over half its chord, positive to the
// right of the way, which on an anticlockwise outline is out of the roof.

import type { Corner, Json } from "./doc";
import { isList, numberAt } from "./json";

/** Point in metres. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** Bend is an edge: its ends and its bulge, 0 where it is straight. */
export interface Bend {
  readonly a: Point;
  readonly b: Point;
  readonly bulge: number;
}

/** Shape answers what is wrong with an outline, numbered from 0; null where it is simple and runs anticlockwise. */
export type Flaw =
  | { readonly flaw: "crosses"; readonly first: number; readonly second: number }
  | { readonly flaw: "flat"; readonly edge: number }
  | { readonly flaw: "inside out" };

/** tidy rounds metres to a tenth of a millimetre, finer than any tape. */
export function tidy(m: number): number {
  return Math.round(m * 1e4) / 1e4 + 0;
}

export const plus = (p: Point, q: Point): Point => ({ x: p.x + q.x, y: p.y + q.y });
export const minus = (p: Point, q: Point): Point => ({ x: p.x - q.x, y: p.y - q.y });
export const times = (p: Point, k: number): Point => ({ x: p.x * k, y: p.y * k });
export const dot = (p: Point, q: Point): number => p.x * q.x + p.y * q.y;
export const cross = (p: Point, q: Point): number => p.x * q.y - p.y * q.x;
export const size = (p: Point): number => Math.hypot(p.x, p.y);
export const distance = (p: Point, q: Point): number => Math.hypot(p.x - q.x, p.y - q.y);

/** unit points the same way with length 1; [0, 0] stays. */
export function unit(p: Point): Point {
  const s = size(p);
  return s > 0 ? times(p, 1 / s) : p;
}

/** right is the direction a quarter turn to the right. */
export const right = (p: Point): Point => ({ x: p.y, y: -p.x });

/** turned by degrees anticlockwise; quarter turns are exact. */
export function turned(p: Point, deg: number): Point {
  const quarters = ((deg / 90) % 4 + 4) % 4;
  if (quarters === 0) return p;
  if (quarters === 1) return { x: -p.y, y: p.x };
  if (quarters === 2) return { x: -p.x, y: -p.y };
  if (quarters === 3) return { x: p.y, y: -p.x };
  const r = (deg * Math.PI) / 180, c = Math.cos(r), s = Math.sin(r);
  return { x: p.x * c - p.y * s, y: p.x * s + p.y * c };
}

/** bulgeOf an edge of the document, 0 where it is straight. */
export function bulgeOf(c: Corner): number {
  return numberAt(c.edge, ["arc", "bulge"]) ?? 0;
}

/** bends are the edges of an outline in the order of its corners. */
export function bends(corners: readonly Corner[]): Bend[] {
  return corners.map((c, i) => ({ a: c, b: corners[(i + 1) % corners.length]!, bulge: bulgeOf(c) }));
}

/** centreOf the circle of a curved edge, and its radius. */
export function centreOf(e: Bend): { readonly centre: Point; readonly radius: number } {
  const chord = minus(e.b, e.a), c = size(chord);
  const radius = (c * (1 + e.bulge * e.bulge)) / (4 * Math.abs(e.bulge));
  const out = right(unit(chord));
  const apex = plus(times(plus(e.a, e.b), 0.5), times(out, (e.bulge * c) / 2));
  return { centre: minus(apex, times(out, Math.sign(e.bulge) * radius)), radius };
}

/** along is the point at fraction t of an edge. */
export function along(e: Bend, t: number): Point {
  if (e.bulge === 0) return plus(e.a, times(minus(e.b, e.a), t));
  const { centre } = centreOf(e);
  return plus(centre, turned(minus(e.a, centre), (t * 4 * Math.atan(e.bulge) * 180) / Math.PI));
}

/** outward is the direction out of the roof at fraction t of an edge of an anticlockwise outline. */
export function outward(e: Bend, t: number): Point {
  if (e.bulge === 0) return right(unit(minus(e.b, e.a)));
  const { centre } = centreOf(e);
  return times(unit(minus(along(e, t), centre)), Math.sign(e.bulge));
}

/** lengthOf an edge along its curve, m. */
export function lengthOf(e: Bend): number {
  const c = distance(e.a, e.b);
  return e.bulge === 0 ? c : centreOf(e).radius * 4 * Math.atan(Math.abs(e.bulge));
}

/** areaOf an outline, m², negative where it runs clockwise. */
export function areaOf(ring: readonly Bend[]): number {
  let twice = 0;
  for (const e of ring) {
    twice += cross(e.a, e.b);
    if (e.bulge === 0) continue;
    const { radius } = centreOf(e), angle = 4 * Math.atan(Math.abs(e.bulge));
    twice += Math.sign(e.bulge) * radius * radius * (angle - Math.sin(angle));
  }
  return twice / 2;
}

/** Bounds of points; of none, from 0 to 0. */
export interface Bounds {
  readonly low: Point;
  readonly high: Point;
}

export function boundsOf(points: readonly Point[]): Bounds {
  if (points.length === 0) return { low: { x: 0, y: 0 }, high: { x: 0, y: 0 } };
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const p of points) {
    x0 = Math.min(x0, p.x); x1 = Math.max(x1, p.x); y0 = Math.min(y0, p.y); y1 = Math.max(y1, p.y);
  }
  return { low: { x: x0, y: y0 }, high: { x: x1, y: y1 } };
}

/** flattened replaces curves by chords; from[i] is the edge that point i stands on. */
export function flattened(ring: readonly Bend[]): { readonly points: Point[]; readonly from: number[] } {
  const points: Point[] = [], from: number[] = [];
  ring.forEach((e, i) => {
    // Eleven degrees a chord keep a 2 m arc within 10 mm.
    const n = e.bulge === 0 ? 1 : Math.max(4, Math.ceil((4 * Math.atan(Math.abs(e.bulge))) / (Math.PI / 16)));
    for (let k = 0; k < n; k++) {
      points.push(k === 0 ? e.a : along(e, k / n));
      from.push(i);
    }
  });
  return { points, from };
}

/** inside tells whether a point lies within an outline. */
export function inside(ring: readonly Bend[], p: Point): boolean {
  const { points } = flattened(ring);
  let within = false;
  points.forEach((a, i) => {
    const b = points[(i + 1) % points.length]!;
    if (a.y > p.y !== b.y > p.y && p.x < ((b.x - a.x) * (p.y - a.y)) / (b.y - a.y) + a.x) within = !within;
  });
  return within;
}

/** nearest is the point of a straight line's piece from a to b that lies nearest to p, and its fraction. */
export function nearest(a: Point, b: Point, p: Point): { readonly at: Point; readonly t: number } {
  const d = minus(b, a), l = dot(d, d);
  const t = l > 0 ? Math.min(1, Math.max(0, dot(minus(p, a), d) / l)) : 0;
  return { at: plus(a, times(d, t)), t };
}

/** nearestOn is the same for an edge, curved or straight. */
export function nearestOn(e: Bend, p: Point): { readonly at: Point; readonly t: number; readonly off: number } {
  if (e.bulge === 0) {
    const n = nearest(e.a, e.b, p);
    return { ...n, off: distance(n.at, p) };
  }
  let best = { at: e.a, t: 0, off: Infinity };
  for (let k = 0; k <= 64; k++) {
    const q = along(e, k / 64), off = distance(q, p);
    if (off < best.off) best = { at: q, t: k / 64, off };
  }
  return best;
}

/** meet is where two endless lines cross, null where they run alike. */
export function meet(p: Point, d: Point, q: Point, e: Point): Point | null {
  const c = cross(d, e);
  if (Math.abs(c) < 1e-9 * size(d) * size(e)) return null;
  return plus(p, times(d, cross(minus(q, p), e) / c));
}

/** touching: nearer than this, two edges touch: a tenth of the finest that is drawn. */
const touching = 1e-5;

function apart(a: Point, b: Point, c: Point, d: Point): boolean {
  if (Math.max(a.x, b.x) < Math.min(c.x, d.x) - touching || Math.max(c.x, d.x) < Math.min(a.x, b.x) - touching) return true;
  if (Math.max(a.y, b.y) < Math.min(c.y, d.y) - touching || Math.max(c.y, d.y) < Math.min(a.y, b.y) - touching) return true;
  const one = cross(minus(b, a), minus(c, a)), two = cross(minus(b, a), minus(d, a));
  const three = cross(minus(d, c), minus(a, c)), four = cross(minus(d, c), minus(b, c));
  if (((one > 0 && two < 0) || (one < 0 && two > 0)) && ((three > 0 && four < 0) || (three < 0 && four > 0))) return false;
  const gap = Math.min(distance(nearest(a, b, c).at, c), distance(nearest(a, b, d).at, d),
    distance(nearest(c, d, a).at, a), distance(nearest(c, d, b).at, b));
  return gap > touching;
}

/** least length of an edge, m. */
const leastEdge = 1e-3;

/** flawOf an outline; null where it is simple and runs anticlockwise. */
export function flawOf(ring: readonly Bend[]): Flaw | null {
  for (let i = 0; i < ring.length; i++) {
    const e = ring[i]!;
    if (!(distance(e.a, e.b) >= leastEdge)) return { flaw: "flat", edge: i };
  }
  const { points, from } = flattened(ring), n = points.length;
  for (let i = 0; i < n; i++) {
    const a = points[i]!, b = points[(i + 1) % n]!, c = points[(i + 2) % n]!;
    const u = unit(minus(b, a)), v = unit(minus(c, b));
    if (dot(u, v) < 0 && Math.abs(cross(u, v)) < 1e-4) return { flaw: "flat", edge: from[(i + 1) % n]! };
    for (let k = i + 2; k < n; k++) {
      if (i === 0 && k === n - 1) continue;
      if (!apart(a, b, points[k]!, points[(k + 1) % n]!)) return { flaw: "crosses", first: from[i]!, second: from[k]! };
    }
  }
  return areaOf(ring) > 0 ? null : { flaw: "inside out" };
}

/** pointOf reads [x, y]. */
export function pointOf(v: Json | undefined): Point | null {
  if (!isList(v) || v.length < 2) return null;
  const [x, y] = v;
  return typeof x === "number" && typeof y === "number" && Number.isFinite(x) && Number.isFinite(y) ? { x, y } : null;
}

/** pointsOf reads a list of points, whatever a third number says. */
export function pointsOf(v: Json | undefined): Point[] | null {
  if (!isList(v)) return null;
  const out: Point[] = [];
  for (const w of v) {
    const p = pointOf(w);
    if (!p) return null;
    out.push(p);
  }
  return out;
}

/** written is a point as the roof file has it, tidy. */
export const written = (p: Point): readonly Json[] => [tidy(p.x), tidy(p.y)];
