// Where on a deck there is room for words.

import { boundsOf, distance, flattened, inside, nearest, type Bend, type Bounds, type Point } from "../model/geometry";

/** cells across a deck that are tried: fine enough for a label, quick enough for every frame. */
const cells = 14;

/** roomiest is the point of an outline farthest from its edges, from blocks and from points that are taken, and how far it is from the edges, m. */
export function roomiest(ring: readonly Bend[], blocks: readonly Bounds[], taken: readonly Point[]): { readonly at: Point; readonly room: number } {
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

function gap(b: Bounds, p: Point): number {
  const x = Math.max(b.low.x - p.x, p.x - b.high.x, 0), y = Math.max(b.low.y - p.y, p.y - b.high.y, 0);
  return Math.hypot(x, y);
}
