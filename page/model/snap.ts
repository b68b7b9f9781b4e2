// Where a finger means: corners, edges and what runs on from them, right angles, parallels, the
// grid and round dimensions; with what it went to, so that the sheet can show it.

import type { Doc, Id } from "./doc";
import { bends, cross, distance, dot, meet, minus, nearestOn, plus, right, tidy, times, unit, type Point } from "./geometry";

/** Guide is what a point was drawn to; id is the corner, or the corner that an edge leaves. */
export type Guide =
  | { readonly to: "corner"; readonly id: Id; readonly at: Point }
  | { readonly to: "edge" | "extension" | "square" | "parallel"; readonly id: Id; readonly from: Point; readonly way: Point }
  | { readonly to: "axis"; readonly from: Point; readonly way: Point }
  | { readonly to: "length"; readonly from: Point; readonly length: number }
  | { readonly to: "grid"; readonly step: number };

/** Snapped is the place that was meant, tidy, and what it was drawn to; nothing is there where it stayed. */
export interface Snapped {
  readonly at: Point;
  readonly guides: readonly Guide[];
}

/** Snapping says what to draw to. */
export interface Snapping {
  /** How near is near, m: a finger's width at the present scale. */
  readonly reach: number;
  /** Round dimensions, m: coarse, or fine; 0 for none. */
  readonly step: number;
  /** Corners that move themselves and draw nothing. */
  readonly skip?: ReadonlySet<Id>;
  /** Points that the new edges come from: the corners before and after. Right angles, parallels and round lengths are taken from these. */
  readonly anchors?: readonly Point[];
}

/** coarse and fine are the round dimensions, m. */
export const coarse = 0.05;
export const fine = 0.005;

interface Line {
  readonly from: Point;
  readonly way: Point;
  readonly guide: Guide;
  /** The piece of an edge ends; everything else runs on. */
  readonly ends?: Point;
}

/** snap draws a point to what is near. */
export function snap(doc: Doc, p: Point, how: Snapping): Snapped {
  const corner = nearCorner(doc, p, how);
  if (corner) return corner;
  const near = lines(doc, how).map((l) => ({ l, off: offOf(l, p) })).filter((x) => x.off <= how.reach).sort((a, b) => a.off - b.off
    || rank(a.l) - rank(b.l));
  const first = near[0]?.l;
  if (!first) return gridded(p, how);
  for (const { l } of near.slice(1)) {
    const at = Math.abs(cross(first.way, l.way)) > 0.02 ? meet(first.from, first.way, l.from, l.way) : null;
    if (at && distance(at, p) <= how.reach * 1.5) return { at: tidied(at), guides: [first.guide, l.guide] };
  }
  const on = plus(first.from, times(first.way, dot(minus(p, first.from), first.way)));
  return rounded(first, on, how);
}

const tidied = (p: Point): Point => ({ x: tidy(p.x), y: tidy(p.y) });

/** rank puts what is drawn before what is only meant, where both are as near. */
const rank = (l: Line): number => ["edge", "square", "parallel", "extension", "axis"].indexOf(l.guide.to);

function nearCorner(doc: Doc, p: Point, how: Snapping): Snapped | null {
  let best: Snapped | null = null, off = how.reach;
  for (const d of doc.decks) for (const c of d.corners) {
    const far = distance(c, p);
    if (far > off || how.skip?.has(c.id)) continue;
    off = far;
    best = { at: { x: c.x, y: c.y }, guides: [{ to: "corner", id: c.id, at: { x: c.x, y: c.y } }] };
  }
  return best;
}

function offOf(l: Line, p: Point): number {
  if (l.ends) return nearestOn({ a: l.from, b: l.ends, bulge: 0 }, p).off;
  return Math.abs(cross(l.way, minus(p, l.from)));
}

/** lines are all guides: the edges that stand, what runs on from them, and through each anchor its axes, parallels and squares. */
function lines(doc: Doc, how: Snapping): Line[] {
  const out: Line[] = [], ways: { readonly id: Id; readonly way: Point }[] = [];
  for (const d of doc.decks) bends(d.corners).forEach((e, i) => {
    const id = d.corners[i]!.id, next = d.corners[(i + 1) % d.corners.length]!.id;
    if (e.bulge !== 0 || how.skip?.has(id) || how.skip?.has(next) || distance(e.a, e.b) < 0.05) return;
    const way = unit(minus(e.b, e.a));
    out.push({ from: e.a, way, ends: e.b, guide: { to: "edge", id, from: e.a, way } });
    out.push({ from: e.a, way, guide: { to: "extension", id, from: e.a, way } });
    ways.push({ id, way });
  });
  for (const from of how.anchors ?? []) {
    for (const way of [{ x: 1, y: 0 }, { x: 0, y: 1 }]) out.push({ from, way, guide: { to: "axis", from, way } });
    for (const { id, way } of different(ways)) {
      out.push({ from, way, guide: { to: "parallel", id, from, way } });
      out.push({ from, way: right(way), guide: { to: "square", id, from, way: right(way) } });
    }
  }
  return out;
}

/** different leaves one edge for each direction that is not along an axis. */
function different(ways: readonly { readonly id: Id; readonly way: Point }[]): { readonly id: Id; readonly way: Point }[] {
  const out: { readonly id: Id; readonly way: Point }[] = [];
  for (const w of ways) {
    if (Math.abs(w.way.x * w.way.y) < 1e-3) continue;
    if (out.length < 12 && !out.some((o) => Math.abs(cross(o.way, w.way)) < 1e-3)) out.push(w);
  }
  return out;
}

/** rounded moves a point along its guide to a round length from the guide's beginning. */
function rounded(l: Line, on: Point, how: Snapping): Snapped {
  if (how.step === 0 || l.guide.to === "edge") return { at: tidied(on), guides: [l.guide] };
  const far = dot(minus(on, l.from), l.way), length = Math.round(far / how.step) * how.step;
  if (Math.abs(length) < how.step / 2) return { at: tidied(on), guides: [l.guide] };
  return { at: tidied(plus(l.from, times(l.way, length))), guides: [l.guide, { to: "length", from: l.from,
    length: tidy(Math.abs(length)) }] };
}

function gridded(p: Point, how: Snapping): Snapped {
  if (how.step === 0) return { at: tidied(p), guides: [] };
  const round = (m: number): number => tidy(Math.round(m / how.step) * how.step);
  return { at: { x: round(p.x), y: round(p.y) }, guides: [{ to: "grid", step: how.step }] };
}
