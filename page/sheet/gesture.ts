// Gestures: what was hit and where the finger is make a command, tried on the document as it was
// when the finger came down. Nothing is changed before the finger goes up.

import { attempt, bendEdge, moveCorner, moveDeck, moveEdge, moveFallLine, movePiece, setExit, setFall, sizePiece, turnFall,
  type Made } from "../model/commands";
import { gone } from "../model/command";
import type { Deck, Doc, Id } from "../model/doc";
import { arrowsOf, type Plane } from "../model/falls";
import { deckOf, find } from "../model/find";
import { bends, distance, dot, lengthOf, minus, outward, plus, pointOf, tidy, times, turned, unit, type Point } from "../model/geometry";
import { riseAt } from "../model/outline";
import { extentOf } from "../model/pieces";
import { snap, type Guide, type Snapping } from "../model/snap";
import type { Refused } from "../model/why";

/** Hit is what lies under a finger: a kind and the id it belongs to, with a number where one member has several. */
export interface Hit {
  readonly kind: "corner" | "edge" | "bend" | "deck" | "piece" | "size" | "fall" | "line" | "point" | "exit";
  readonly id: Id;
  readonly part: string;
}

/** hitText and hitOf write a hit into the drawing and read it back. */
export const hitText = (kind: Hit["kind"], id: Id, part = ""): string => `${kind}:${id}:${part}`;

const kinds: readonly string[] = ["corner", "edge", "bend", "deck", "piece", "size", "fall", "line", "point", "exit"];

export function hitOf(text: string | null | undefined): Hit | null {
  const [kind, id, part] = (text ?? "").split(":");
  return kind && id && kinds.includes(kind) ? { kind: kind as Hit["kind"], id, part: part ?? "" } : null;
}

/** Dragged is a gesture under way: what it would do, and what it was drawn to. */
export interface Dragged {
  readonly made: Made | Refused;
  readonly guides: readonly Guide[];
}

/** How a drag is drawn to things. */
export interface Drawn {
  readonly reach: number;
  readonly step: number;
}

/** dragged tries the gesture from one point to another, m. */
export function dragged(doc: Doc, hit: Hit, from: Point, to: Point, how: Drawn): Dragged {
  switch (hit.kind) {
    case "corner": return cornerDragged(doc, hit.id, to, how);
    case "edge": return edgeDragged(doc, hit.id, from, to, how);
    case "bend": return bendDragged(doc, hit.id, to, how);
    case "deck": return deckDragged(doc, hit.id, minus(to, from), how);
    case "piece": return pieceDragged(doc, hit.id, minus(to, from), how);
    case "size": return sizeDragged(doc, hit.id, Number(hit.part), to, how);
    case "fall": return fallDragged(doc, hit.id, hit.part as Plane, to);
    case "line": {
      const s = snap(doc, to, how);
      return { made: attempt(doc, moveFallLine, { deck: hit.id, end: hit.part === "1" ? 1 : 0, to: s.at }), guides: s.guides };
    }
    case "point": {
      const s = snap(doc, to, how);
      return { made: attempt(doc, setFall, { deck: hit.id, kind: "to point", point: outletAt(doc, to, how.reach) ?? s.at }),
        guides: s.guides };
    }
    case "exit": {
      const s = snap(doc, to, how);
      return { made: attempt(doc, setExit, { deck: hit.id, at: s.at }), guides: s.guides };
    }
  }
}

/** outletAt is the middle of an outlet within reach. */
function outletAt(doc: Doc, p: Point, reach: number): Point | null {
  const ats = doc.decks.flatMap((d) => d.penetrations.map((x) => pointOf(x.fields["at"]))).filter((q) => q !== null);
  return ats.find((q) => distance(p, q) <= reach * 1.5) ?? null;
}

const nothing = (id: Id): Dragged => ({ made: gone(id), guides: [] });

function cornerDragged(doc: Doc, id: Id, to: Point, how: Drawn): Dragged {
  const f = find(doc, id);
  if (f?.what !== "corner") return nothing(id);
  const c = f.deck.corners, n = c.length;
  const s = snap(doc, to, { ...how, skip: new Set([id]), anchors: [c[(f.at + n - 1) % n]!, c[(f.at + 1) % n]!] });
  return { made: attempt(doc, moveCorner, { corner: id, to: s.at }), guides: s.guides };
}

function edgeDragged(doc: Doc, id: Id, from: Point, to: Point, how: Drawn): Dragged {
  const f = find(doc, id);
  if (f?.what !== "corner") return nothing(id);
  const ring = bends(f.deck.corners), n = ring.length, e = ring[f.at]!, out = outward({ ...e, bulge: 0 }, 0.5);
  const by = dot(minus(to, from), out), line = inLine(doc, f.deck, f.at, plus(e.a, times(out, by)), out, how.reach);
  if (line) return { made: attempt(doc, moveEdge, { corner: id, by: tidy(by + line.off) }), guides: [line.guide] };
  const before = ring[(f.at + n - 1) % n]!, way = minus(before.b, before.a), square = Math.abs(dot(unit(way), out)) > 0.999;
  // Where the edge before it stands square, its length goes round, else the way moved.
  const base = square ? distance(before.a, before.b) * Math.sign(dot(way, out)) : 0;
  const round = how.step > 0 ? Math.round((base + by) / how.step) * how.step - base : by;
  const made = attempt(doc, moveEdge, { corner: id, by: tidy(round) });
  return { made, guides: square ? [{ to: "length", from: before.a, length: tidy(Math.abs(base + round)) }] : [] };
}

/** inLine finds a corner that the moved edge would stand in line with. */
function inLine(doc: Doc, deck: Deck, at: number, p: Point, out: Point, reach: number): { readonly off: number; readonly guide: Guide }
  | null {
  const own = new Set([deck.corners[at]!.id, deck.corners[(at + 1) % deck.corners.length]!.id]);
  let best: { readonly off: number; readonly guide: Guide } | null = null;
  for (const d of doc.decks) for (const c of d.corners) {
    const off = dot(minus(c, p), out);
    if (own.has(c.id) || Math.abs(off) > Math.min(reach, Math.abs(best?.off ?? reach))) continue;
    best = { off, guide: { to: "extension", id: c.id, from: c, way: turned(out, 90) } };
  }
  return best;
}

function bendDragged(doc: Doc, id: Id, to: Point, how: Drawn): Dragged {
  const f = find(doc, id);
  if (f?.what !== "corner") return nothing(id);
  const raw = riseAt(bends(f.deck.corners)[f.at]!, to), step = Math.min(how.step, 0.01);
  const rise = Math.abs(raw) < how.reach ? 0 : step > 0 ? Math.round(raw / step) * step : raw;
  return { made: attempt(doc, bendEdge, { corner: id, rise: tidy(rise) }), guides: [] };
}

function deckDragged(doc: Doc, id: Id, by: Point, how: Drawn): Dragged {
  const deck = deckOf(doc, id);
  if (!deck) return nothing(id);
  const others = { ...doc, decks: doc.decks.filter((d) => d.id !== id) };
  return moved(deck.corners, by, others, how, (b) => attempt(doc, moveDeck, { deck: id, by: b }));
}

function pieceDragged(doc: Doc, id: Id, by: Point, how: Drawn): Dragged {
  const f = find(doc, id);
  if (f?.what !== "piece") return nothing(id);
  const { low, high } = extentOf(f.list, f.piece);
  const middle = { x: (low.x + high.x) / 2, y: (low.y + high.y) / 2 };
  const points = f.list === "openings" ? [low, high, { x: low.x, y: high.y }, { x: high.x, y: low.y }] : [f.list === "penetrations" ? middle
    : low];
  return moved(points, by, doc, how, (b) => attempt(doc, movePiece, { piece: id, by: b }));
}

/** moved draws one of several points that move together to what is near it. */
function moved(points: readonly Point[], by: Point, near: Doc, how: Drawn, make: (by: Point) => Made | Refused): Dragged {
  let best: { readonly by: Point; readonly guides: readonly Guide[]; readonly off: number } | null = null;
  for (const p of points) {
    const to = plus(p, by), s = snap(near, to, how), off = distance(s.at, to);
    const loose = s.guides.every((g) => g.to === "grid" || g.to === "extension");
    if (!loose && off < (best?.off ?? Infinity)) best = { by: minus(s.at, p), guides: s.guides, off };
  }
  const first = points[0] ?? { x: 0, y: 0 }, round = (m: number): number => (how.step > 0 ? Math.round(m / how.step) * how.step : m);
  const to = best?.by ?? minus({ x: round(first.x + by.x), y: round(first.y + by.y) }, first);
  return { made: make({ x: tidy(to.x), y: tidy(to.y) }), guides: best?.guides ?? [] };
}

/** sizeDragged moves one corner of an opening's bounds (0 low left, then anticlockwise), or one end of a joint. */
function sizeDragged(doc: Doc, id: Id, corner: number, to: Point, how: Drawn): Dragged {
  const f = find(doc, id);
  if (f?.what !== "piece") return nothing(id);
  const handles = handlesOf(f.list, f.piece), fixed = handles[(corner + handles.length / 2) % handles.length];
  if (!fixed) return nothing(id);
  const anchors: Snapping = { ...how, anchors: [] }, s = snap(doc, to, anchors);
  const joint = f.list === "movement_joints" && corner === 1;
  return { made: attempt(doc, sizePiece, { piece: id, from: joint ? fixed : s.at, to: joint ? s.at : fixed }), guides: s.guides };
}

/** handlesOf are the points that size a piece: four of an opening, two of a joint, none of a pipe. */
export function handlesOf(list: "openings" | "penetrations" | "movement_joints", piece: Deck["openings"][number]): readonly Point[] {
  if (list === "penetrations") return [];
  if (list === "movement_joints") {
    const line = piece.fields["line"];
    return Array.isArray(line) ? line.map((p: readonly number[]) => ({ x: p[0] ?? 0, y: p[1] ?? 0 })) : [];
  }
  const { low, high } = extentOf(list, piece);
  return [low, { x: high.x, y: low.y }, high, { x: low.x, y: high.y }];
}

/** near: an arrow this close to square or to half a right angle goes there, degrees. */
const near = 6;

function fallDragged(doc: Doc, id: Id, plane: Plane, to: Point): Dragged {
  const deck = deckOf(doc, id), arrow = deck && arrowsOf(deck).find((a) => a.plane === plane);
  if (!deck || !arrow) return nothing(id);
  const way = minus(to, arrow.at), deg = (Math.atan2(way.y, way.x) * 180) / Math.PI;
  let best = Math.round(deg), off = near, guides: readonly Guide[] = [];
  for (const e of bends(deck.corners)) {
    const edge = (Math.atan2(e.b.y - e.a.y, e.b.x - e.a.x) * 180) / Math.PI;
    for (const turn of [0, 90, 180, 270]) {
      const d = Math.abs((((deg - edge - turn) % 360) + 540) % 360 - 180);
      if (d < off && lengthOf(e) > 0) [best, off, guides] = [edge + turn, d, [{ to: "axis", from: arrow.at, way: turned({ x: 1, y: 0 },
        edge + turn) }]];
    }
  }
  for (let k = 0; k < 8 && off === near; k++) if (Math.abs((((deg - k * 45) % 360) + 540) % 360 - 180) < near) best = k * 45;
  return { made: attempt(doc, turnFall, { deck: id, plane, towards: turned({ x: 1, y: 0 }, best) }), guides };
}
