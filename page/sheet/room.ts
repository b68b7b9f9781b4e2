// Where on a deck there is room for words.

import type { Deck } from "../model/doc";
import { arrowsOf, lineOf, type Arrow } from "../model/falls";
import { along, bends, boundsOf, distance, flattened, inside, nearest, pointOf, type Bend, type Bounds,
  type Point } from "../model/geometry";
import { isList } from "../model/json";
import { extentOf } from "../model/pieces";

/** cells across a deck that are tried: fine enough for a label, quick enough for every frame. */
const cells = 14;

/**
 * roomiest is the point of an outline, among those that are free, farthest from its edges, from blocks and from points that are taken, and
 * how far it is from the edges, m; 0 where none is free.
 */
export function roomiest(ring: readonly Bend[], blocks: readonly Bounds[], taken: readonly Point[], open: (p: Point) => boolean = () =>
  true): { readonly at: Point; readonly room: number } {
  const { points } = flattened(ring), { low, high } = boundsOf(points);
  let best = points[0] ?? low, most = -Infinity, free = 0;
  for (let i = 1; i < cells; i++) for (let k = 1; k < cells; k++) {
    const p = { x: low.x + ((high.x - low.x) * i) / cells, y: low.y + ((high.y - low.y) * k) / cells };
    if (!inside(ring, p) || !open(p)) continue;
    // A label is wider than high: what is beside it counts less far away than what is over it.
    const edges = Math.min(...points.map((a, n) => distance(nearest(a, points[(n + 1) % points.length]!, p).at, p)));
    const room = Math.min(edges, ...blocks.map((b) => gap(b, p)), ...taken.map((q) => Math.hypot((p.x - q.x) * 0.7, (p.y - q.y) * 1.2)));
    if (room > most) [best, most, free] = [p, room, edges];
  }
  return { at: best, room: free };
}

/**
 * wordsAt is where the words of a deck have most room: off its openings, the arrows of its fall with their words, and its folds; scale in
 * pixels a metre. Words of the size of the box keep off joints and openings with all of it.
 */
export function wordsAt(deck: Deck, scale: number, box: Box = { left: 0, right: 0, up: 0, down: 0 }): { readonly at: Point;
  readonly room: number } {
  const line = lineOf(deck), fold = line ? [0, 0.2, 0.4, 0.6, 0.8, 1].map((t) => along({ a: line[0], b: line[1], bulge: 0 }, t)) : [];
  // The words of an arrow stand to the right of it.
  const arrows = arrowsAt(deck, scale).flatMap(({ where: p }) =>
    [[0, -28], [0, 0], [0, 28], [50, 0]].map(([x, y]) => ({ x: p.x + x! / scale, y: p.y + y! / scale })));
  const taken = takenOf(deck, scale);
  return roomiest(bends(deck.corners), taken.blocks, [...arrows, ...fold], (p) => off(taken, scale, p, box));
}

/** Box is how far words reach from their point, pixels. */
export interface Box {
  readonly left: number;
  readonly right: number;
  readonly up: number;
  readonly down: number;
}

/** Taken is what words keep off: openings and pipes, and points of lines. */
interface Taken {
  readonly blocks: readonly Bounds[];
  readonly points: readonly Point[];
}

const takenOf = (deck: Deck, scale: number): Taken => ({ blocks: blocks(deck), points: joints(deck, scale) });

/** off tells whether words about a point lie off all that is taken. */
function off(taken: Taken, scale: number, p: Point, box: Box): boolean {
  const low = { x: p.x - box.left / scale, y: p.y - box.down / scale }, high = { x: p.x + box.right / scale, y: p.y + box.up / scale };
  if (taken.blocks.some((b) => b.low.x < high.x && b.high.x > low.x && b.low.y < high.y && b.high.y > low.y)) return false;
  return !taken.points.some((q) => q.x > low.x && q.x < high.x && q.y > low.y && q.y < high.y);
}

/** clearOf tells whether words about a point of a deck lie off its openings, pipes and movement joints; scale in pixels a metre. */
export const clearOf = (deck: Deck, scale: number, p: Point, box: Box): boolean => off(takenOf(deck, scale), scale, p, box);

/** fitsIn tells whether words about a point of a deck lie clear within its outline. */
export const fitsIn = (deck: Deck, scale: number, p: Point, box: Box): boolean => held(bends(deck.corners), scale, p, box)
  && clearOf(deck, scale, p, box);

/** held tells whether the corners of a box about a point lie within an outline. */
function held(ring: readonly Bend[], scale: number, p: Point, box: Box): boolean {
  const ends = [[-box.left, box.up], [box.right, box.up], [-box.left, -box.down], [box.right, -box.down]];
  return ends.every(([x, y]) => inside(ring, { x: p.x + x! / scale, y: p.y + y! / scale }));
}

/**
 * jointHasRoom tells whether the words of a joint, along it and turned by so many degrees, lie off what else is on its deck; of a joint
 * askew it is not asked.
 */
export function jointHasRoom(others: Deck, scale: number, p: Point, turn: number): boolean {
  if (Math.abs(turn) > 1 && Math.abs(turn) < 89) return true;
  return clearOf(others, scale, p, Math.abs(turn) < 45 ? { left: 46, right: 46, up: 16, down: -2 } : { left: 16, right: -2, up: 46,
    down: 46 });
}

/** joints are points of the movement joints of a deck, four pixels apart. */
function joints(deck: Deck, scale: number): readonly Point[] {
  return deck.movement_joints.flatMap((j) => {
    const line = j.fields["line"], [a, b] = isList(line) ? line.map((v) => pointOf(v)) : [];
    return a && b ? dotted(a, b, scale) : [];
  });
}

/** dotted are points of a line, four pixels apart. */
function dotted(a: Point, b: Point, scale: number): readonly Point[] {
  const n = Math.ceil((distance(a, b) * scale) / 4) + 1;
  return Array.from({ length: n + 1 }, (_, i) => along({ a, b, bulge: 0 }, i / n));
}

/** blocks are the places of a deck that openings and pipes take. */
const blocks = (deck: Deck): readonly Bounds[] => (["openings", "penetrations"] as const).flatMap((list) => deck[list].map((p) =>
  extentOf(list, p)));

/** arrowsAt are the falls with where each arrow has room: near the middle of its plane. */
export function arrowsAt(deck: Deck, scale: number): readonly (Arrow & { readonly where: Point })[] {
  return arrowsOf(deck).map((a) => ({ ...a, where: roomyFor(deck, clear(deck, a.at, scale), scale) }));
}

/** arrowPX is what an arrow takes with its words to the right of it. */
const arrowPX: Box = { left: 12, right: 78, up: 34, down: 34 };

/** steps are how far an arrow may go for its words, pixels. */
const steps = [0, 20, -20, 40, -40, 60, -60, 80, -80, 100, -100];

/** roomyFor moves an arrow that has no room for its words beside a joint to the nearest place with room for both in its plane. */
function roomyFor(deck: Deck, p: Point, scale: number): Point {
  const taken = takenOf(deck, scale), line = lineOf(deck), ring = bends(deck.corners);
  if (taken.points.length === 0 || off(taken, scale, p, arrowPX)) return p;
  const all = { ...taken, points: line ? [...taken.points, ...dotted(line[0], line[1], scale)] : taken.points };
  const side = (q: Point): number => (line ? Math.sign((line[1].x - line[0].x) * (q.y - line[0].y) - (line[1].y - line[0].y) * (q.x
    - line[0].x)) : 0);
  const free = steps.flatMap((x) => steps.map((y) => ({ x: p.x + x / scale, y: p.y + y / scale })))
    .filter((q) => side(q) === side(p) && held(ring, scale, q, arrowPX) && off(all, scale, q, arrowPX));
  return free.toSorted((a, b) => distance(a, p) - distance(b, p))[0] ?? p;
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
