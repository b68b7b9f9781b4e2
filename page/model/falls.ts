// The fall of a deck as the document says it, and the commands on it. Heights and catchments are
// the engine's; here it is read where the arrows and the line stand.

import { writing, type Change } from "./change";
import { gone, type Command, type Outcome } from "./command";
import type { Corner, Deck, Doc, Fields, Id, Json } from "./doc";
import { deckOf } from "./find";
import { areaOf, bends, boundsOf, cross, distance, dot, flattened, minus, plus, pointOf, pointsOf, right, size, tidy, times, unit, written,
  type Point } from "./geometry";
import { at, isFields, numberAt } from "./json";
import type { Refused } from "./why";

/** Kinds of a fall in the words of the roof file. */
export const fallKinds = ["one way", "ridge", "hip", "valley", "to point", "level"] as const;
export type FallKind = (typeof fallKinds)[number];

/** Plane says which arrow is meant: the one of a single plane, or that on either side of the line, looking along it. */
export type Plane = "only" | "left" | "right";

/** Arrow is one plane's fall: downhill on the drawing, the n of 1:n, and where it is drawn. */
export interface Arrow {
  readonly plane: Plane;
  readonly towards: Point;
  readonly ratio: number | null;
  readonly at: Point;
}

const compass: readonly (readonly [string, Point])[] = [
  ["north", { x: 0, y: 1 }], ["north-east", { x: 1, y: 1 }], ["east", { x: 1, y: 0 }], ["south-east", { x: 1, y: -1 }],
  ["south", { x: 0, y: -1 }], ["south-west", { x: -1, y: -1 }], ["west", { x: -1, y: 0 }], ["north-west", { x: -1, y: 1 }]];

/** wayOf reads a direction: a word or [dx, dy]; null where nobody has said it. */
export function wayOf(v: Json | undefined): Point | null {
  if (typeof v === "string") return compass.find(([word]) => word === v)?.[1] ?? null;
  const p = pointOf(v);
  return p && size(p) > 0 ? p : null;
}

/** wayWritten is a direction as the roof file has it: the word where it is one of the eight. */
export function wayWritten(p: Point): Json {
  const u = unit(p);
  for (const [word, way] of compass) if (distance(unit(way), u) < 1e-3) return word;
  return written(u);
}

/** kindOf a deck's fall; null where nothing is said of it. */
export function kindOf(deck: Deck): FallKind | null {
  const fall = deck.fields["fall"];
  if (!isFields(fall)) return null;
  const kind = fallKinds.find((k) => k === fall["kind"]);
  return kind ?? (fall["to_point"] === undefined ? "one way" : "to point");
}

/** lineOf a ridge, hip or valley, null where the fall has none. */
export function lineOf(deck: Deck): readonly [Point, Point] | null {
  const line = pointsOf(at(deck.fields, ["fall", "line"]));
  return line?.length === 2 ? [line[0]!, line[1]!] : null;
}

/** arrowsOf a deck's fall: none on a level deck, or where nobody has said which way the water runs. */
export function arrowsOf(deck: Deck): Arrow[] {
  const fall = deck.fields["fall"], kind = kindOf(deck), ring = flattened(bends(deck.corners)).points;
  if (!isFields(fall) || ring.length < 3) return [];
  const ratio = numberAt(fall, ["ratio"]) ?? null;
  if (kind === "one way") {
    const towards = wayOf(fall["towards"]);
    return towards ? [{ plane: "only", towards, ratio, at: middle(ring) }] : [];
  }
  const line = lineOf(deck);
  if (!line || kind === "level" || kind === "to point") return [];
  const way = minus(line[1], line[0]), left = times(right(unit(way)), kind === "valley" ? 1 : -1);
  return (["left", "right"] as const).map((plane) => ({
    plane, towards: wayOf(at(fall, [plane, "towards"])) ?? times(left, plane === "left" ? 1 : -1),
    ratio: numberAt(fall, [plane, "ratio"]) ?? ratio, at: middle(half(ring, line, plane)),
  }));
}

/** half of an outline on one side of a line; the whole where nothing is left. */
function half(ring: readonly Point[], [a, b]: readonly [Point, Point], plane: "left" | "right"): readonly Point[] {
  const sign = plane === "left" ? 1 : -1, way = minus(b, a), out: Point[] = [];
  ring.forEach((p, i) => {
    const q = ring[(i + 1) % ring.length]!, d = sign * cross(way, minus(p, a)), e = sign * cross(way, minus(q, a));
    if (d >= 0) out.push(p);
    if ((d > 0 && e < 0) || (d < 0 && e > 0)) out.push(plus(p, times(minus(q, p), d / (d - e))));
  });
  return out.length > 2 ? out : ring;
}

/** middle is the centre of area of a polygon. */
export function middle(ring: readonly Point[]): Point {
  let x = 0, y = 0, twice = 0;
  ring.forEach((p, i) => {
    const q = ring[(i + 1) % ring.length]!, c = cross(p, q);
    x += (p.x + q.x) * c; y += (p.y + q.y) * c; twice += c;
  });
  if (Math.abs(twice) < 1e-9) return ring[0] ?? { x: 0, y: 0 };
  return { x: x / (3 * twice), y: y / (3 * twice) };
}

/** agreeing: slopes along a fold that differ by less are one, as 1:n. */
const agreeing = 1e-3;

/**
 * matched makes the two planes of a hip meet along its line: their falls along it must be one, so that the ratio of one follows
 * that of the other. keep names the plane that was meant; else the one that would become flatter stays, for no fall is made less.
 * Planes that cannot meet stay as they are: the engine says why.
 */
export function matched(fall: Fields, keep?: Plane): Fields {
  const line = pointsOf(fall["line"]), way = line?.length === 2 ? unit(minus(line[1]!, line[0]!)) : null;
  const along = (["left", "right"] as const).map((p) => {
    const towards = wayOf(at(fall, [p, "towards"])), ratio = numberAt(fall, [p, "ratio"]);
    return way && towards && ratio !== undefined ? { runs: dot(unit(towards), way), ratio } : null;
  });
  const [left, right] = along;
  if (!left || !right || left.runs * right.runs < 1e-6) return fall;
  const toLeft = (left.ratio * right.runs) / left.runs, toRight = (right.ratio * left.runs) / right.runs;
  if (Math.abs(toLeft - right.ratio) < agreeing) return fall;
  const [plane, ratio] = keep === "left" || (keep !== "right" && toLeft < right.ratio) ? ["right", toLeft] as const
    : ["left", toRight] as const;
  return { ...fall, [plane]: { ...(fall[plane] as Fields), ratio: Math.round(ratio * 1000) / 1000 } };
}

const write = (doc: Doc, deck: Deck, said: Fields, keep?: Plane): Outcome => {
  const fall = matched(said, keep), change = writing(doc, deck.id, ["fall"], fall);
  return { changes: change ? [change] : [] };
};

const noFall: Refused = { why: { key: "no fall" } };

/** usualRatio stands in a fall until another is said: 1:40. */
const usualRatio = 40;

/**
 * setFall of a kind; what it needs and nobody has said is taken from the outline: a line along its middle or from its inner corner, the
 * point in its middle.
 */
export const setFall: Command<{ readonly deck: Id; readonly kind: FallKind; readonly line?: readonly [Point, Point];
  readonly point?: Point }> = {
  label: "setFall", key: null,
  run(doc, { deck: id, kind, line, point }) {
    const deck = deckOf(doc, id);
    if (!deck) return gone(id);
    const ratio = numberAt(deck.fields, ["fall", "ratio"]) ?? numberAt(deck.fields, ["fall", "left", "ratio"]) ?? usualRatio;
    const ring = flattened(bends(deck.corners)).points;
    if (kind === "level") return write(doc, deck, { kind });
    if (kind === "to point") return write(doc, deck, { ratio, to_point: written(point ?? pointOf(at(deck.fields, ["fall", "to_point"]))
      ?? middle(ring)) });
    if (kind === "one way") {
      const towards = at(deck.fields, ["fall", "towards"]) ?? at(deck.fields, ["fall", "left", "towards"]);
      return write(doc, deck, towards === undefined ? { ratio } : { ratio, towards });
    }
    const l = line ?? (kind === "hip" ? cornerLine(deck) : null) ?? lineOf(deck) ?? middleLine(ring);
    if (distance(l[0], l[1]) < 0.01) return noFall;
    const fall: Fields = { kind, line: l.map(written), ratio };
    return write(doc, deck, kind === "hip" ? { ...fall, ...hipPlanes(l, ratio) } : fall);
  },
};

/** middleLine runs the long way through the middle of an outline. */
function middleLine(ring: readonly Point[]): readonly [Point, Point] {
  const { low, high } = boundsOf(ring), x = tidy((low.x + high.x) / 2), y = tidy((low.y + high.y) / 2);
  return high.x - low.x >= high.y - low.y ? [{ x: low.x, y }, { x: high.x, y }] : [{ x, y: low.y }, { x, y: high.y }];
}

/** innerCorners are the corners of an outline that point into the roof. */
export function innerCorners(deck: Deck): readonly Corner[] {
  const c = deck.corners, n = c.length;
  return c.filter((p, i) => cross(minus(p, c[(i + n - 1) % n]!), minus(c[(i + 1) % n]!, p)) < -1e-6);
}

/** cornerLine runs from the outer corner that lies farthest to the one inner corner of an L; null where the outline has another shape. */
function cornerLine(deck: Deck): readonly [Point, Point] | null {
  const c = deck.corners, n = c.length, inner = innerCorners(deck);
  if (inner.length !== 1) return null;
  const from = inner[0]!, i = c.indexOf(from);
  // The corner over the way: three on, on an L of six.
  const to = n === 6 ? c[(i + 3) % n]! : null;
  return to ? [{ x: to.x, y: to.y }, { x: from.x, y: from.y }] : null;
}

/** hipPlanes fall away from a hip that rises from its first end, each a half turn of the corner from it. */
function hipPlanes([a, b]: readonly [Point, Point], ratio: number): Fields {
  const up = unit(minus(b, a)), side = right(up);
  return { left: { towards: wayWritten(minus(times(side, -1), up)), ratio }, right: { towards: wayWritten(minus(side, up)), ratio } };
}

/** turnFall of a plane downhill towards a direction; on a deck without a fall it makes one. */
export const turnFall: Command<{ readonly deck: Id; readonly plane: Plane; readonly towards: Point }> = {
  label: "turnFall", key: null,
  run(doc, { deck: id, plane, towards }) {
    const deck = deckOf(doc, id);
    if (!deck) return gone(id);
    if (!(size(towards) > 0)) return noFall;
    const fall = deck.fields["fall"], kind = kindOf(deck);
    if (!isFields(fall) || kind === "level" || kind === "to point") return write(doc, deck, { ratio: numberAt(fall, ["ratio"])
      ?? usualRatio, towards: wayWritten(towards) });
    if (plane === "only") return kind === "one way" ? write(doc, deck, { ...fall, towards: wayWritten(towards) }) : noFall;
    return turned(doc, deck, fall, plane, (p) => ({ ...p, towards: wayWritten(towards) }));
  },
};

/** turned changes one plane of two; both are written out, for the engine takes neither from the line once one is given. */
function turned(doc: Doc, deck: Deck, fall: Fields, plane: "left" | "right", change: (p: Fields) => Fields): Outcome {
  const arrows = arrowsOf(deck);
  if (arrows.length !== 2) return noFall;
  const planes: { [plane: string]: Json } = {};
  for (const a of arrows) {
    const said: Fields = { ratio: a.ratio ?? usualRatio, towards: wayWritten(a.towards) };
    planes[a.plane] = a.plane === plane ? change(said) : said;
  }
  return write(doc, deck, { ...fall, ...planes }, plane);
}

/** setRatio of a plane: the n of 1:n. */
export const setRatio: Command<{ readonly deck: Id; readonly plane: Plane; readonly ratio: number }> = {
  label: "setRatio", key: null,
  run(doc, { deck: id, plane, ratio }) {
    const deck = deckOf(doc, id);
    if (!deck) return gone(id);
    if (!(ratio >= 1 && ratio <= 1000)) return { why: { key: "number", field: "ratio", least: 1, most: 1000 } };
    const fall = deck.fields["fall"];
    if (!isFields(fall)) return write(doc, deck, { ratio });
    if (kindOf(deck) === "level") return noFall;
    return plane === "only" ? write(doc, deck, { ...fall, ratio }) : turned(doc, deck, fall, plane, (p) => ({ ...p, ratio }));
  },
};

/** moveFallLine moves one end of a ridge, hip or valley. */
export const moveFallLine: Command<{ readonly deck: Id; readonly end: 0 | 1; readonly to: Point }> = {
  label: "moveFallLine", key: null,
  run(doc, { deck: id, end, to }) {
    const deck = deckOf(doc, id), line = deck && lineOf(deck);
    if (!deck) return gone(id);
    if (!line || distance(line[1 - end]!, to) < 0.01) return noFall;
    return write(doc, deck, { ...(deck.fields["fall"] as Fields), line: line.map((p, i) => (i === end ? written(to) : [p.x, p.y])) });
  },
};

/** setExit puts the way off the roof at a point, or takes it away. */
export const setExit: Command<{ readonly deck: Id; readonly at: Point | null }> = {
  label: "setExit", key: null,
  run(doc, { deck: id, at: where }) {
    const deck = deckOf(doc, id);
    if (!deck) return gone(id);
    const change: Change | null = writing(doc, deck.id, ["exit"], where ? written(where) : undefined);
    return { changes: change ? [change] : [] };
  },
};

/** drawnArea is the area of a deck's outline as drawn, m²; openings are not taken off. */
export const drawnArea = (deck: Deck): number => areaOf(bends(deck.corners));
