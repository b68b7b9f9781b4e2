// Where on a deck there is room for words.

import type { Deck } from "../model/doc";
import { arrowsOf, lineOf, type Arrow } from "../model/falls";
import { along, bends, boundsOf, distance, flattened, inside, nearest, type Bend, type Bounds, type Point } from "../model/geometry";
import { extentOf } from "../model/pieces";

/** cells across a deck that are tried: fine enough for a label, quick enough for every frame. */
const cells = 14;

/**
 * roomiest is the point of an outline farthest from its edges, from blocks and from points that are taken, and how far it is from the
 * edges, m.
 */
export function roomiest(ring: readonly Bend[], blocks: readonly Bounds[], taken: readonly Point[]): { readonly at: Point;
  readonly room: number } {
  const { points } = flattened(ring), { low, high } = boundsOf(points);
  let best = points[0] ?? low, most = -Infinity, free = 0;
  for (let i = 1; i < cells; i++) for (let k = 1; k < cells; k++) {
    const p = { x: low.x + ((high.x - low.x) * i) / cells, y: low.y + ((high.y - low.y) * k) / cells };
    if (!inside(ring, p)) continue;
    // A label is wider than high: what is beside it counts less far away than what is over it.
    const edges = Math.min(...points.map((a, n) => distance(nearest(a, points[(n + 1) % points.length]!, p).at, p)));
    const room = Math.min(edges, ...blocks.map((b) => gap(b, p)), ...taken.map((q) => Math.hypot((p.x - q.x) * 0.7, (p.y - q.y) * 1.2)));
    if (room > most) [best, most, free] = [p, room, edges];
  }
  return { at: best, room: free };
}

/**
 * wordsAt is where the words of a deck have most room: off its openings, the arrows of its fall with their words, and its folds; scale in
 * pixels a metre.
 */
export function wordsAt(deck: Deck, scale: number): { readonly at: Point; readonly room: number } {
  const line = lineOf(deck), fold = line ? [0, 0.2, 0.4, 0.6, 0.8, 1].map((t) => along({ a: line[0], b: line[1], bulge: 0 }, t)) : [];
  // The words of an arrow stand to the right of it.
  const arrows = arrowsAt(deck, scale).flatMap(({ where: p }) =>
    [[0, -28], [0, 0], [0, 28], [50, 0]].map(([x, y]) => ({ x: p.x + x! / scale, y: p.y + y! / scale })));
  return roomiest(bends(deck.corners), blocks(deck), [...arrows, ...fold]);
}

/** blocks are the places of a deck that openings and pipes take. */
const blocks = (deck: Deck): readonly Bounds[] => (["openings", "penetrations"] as const).flatMap((list) => deck[list].map((p) =>
  extentOf(list, p)));

/** arrowsAt are the falls with where each arrow has room: near the middle of its plane. */
export function arrowsAt(deck: Deck, scale: number): readonly (Arrow & { readonly where: Point })[] {
  return arrowsOf(deck).map((a) => ({ ...a, where: clear(deck, a.at, scale) }));
}

/** clear moves an arrow off the openings that it or its words, to the right of it, would lie on. */
function clear(deck: Deck, p: Point, scale: number): Point {
  const [left, words, half] = [24 / scale, 84 / scale, 34 / scale];
  for (const b of blocks(deck)) {
    if (p.x + words < b.low.x || p.x - left > b.high.x || p.y + half < b.low.y || p.y - half > b.high.y) continue;
    const beside = [b.low.x - words, b.high.x + left].toSorted((l, r) => Math.abs(l - p.x) - Math.abs(r - p.x));
    for (const x of beside) if (inside(bends(deck.corners), { x, y: p.y })) return { x, y: p.y };
  }
  return p;
}

function gap(b: Bounds, p: Point): number {
  const x = Math.max(b.low.x - p.x, p.x - b.high.x, 0), y = Math.max(b.low.y - p.y, p.y - b.high.y, 0);
  return Math.hypot(x, y);
}
