// Commands on corners and edges of an outline.

import { setting, writing, type Change } from "./change";
import { gone, type Command, type Outcome } from "./command";
import type { Corner, Deck, Doc, Fields, Id, Json } from "./doc";
import { matched } from "./falls";
import { find } from "./find";
import { along, bends, bulgeOf, distance, dot, lengthOf, meet, minus, nearestOn, outward, plus, pointOf, pointsOf, right, tidy, times, unit,
  written,
  type Bend, type Point } from "./geometry";
import { at, isFields, isList, numberAt, ordered } from "./json";
import { called, laid, walkOf, walkText } from "./walk";

/** Moves are the new places of corners by their ids. */
export type Moves = ReadonlyMap<Id, Point>;

/** isTaped tells a deck whose outline comes from a tape survey. */
export const isTaped = (deck: Deck): boolean => isFields(deck.fields["survey"]);

const taped: Outcome = { why: { key: "taped" } };

/**
 * reshaped is a deck's corners moved; what lies on them (an end of the fall's line, the outlet it runs to, the exit) follows, openings
 * stay.
 */
export function reshaped(doc: Doc, deck: Deck, moves: Moves): Change[] {
  const changes: Change[] = [];
  const corners = deck.corners.map((c) => {
    const to = moves.get(c.id);
    if (!to) return c;
    const x = tidy(to.x), y = tidy(to.y);
    if (x !== c.x) changes.push(setting(c.id, ["x"], c.x, x));
    if (y !== c.y) changes.push(setting(c.id, ["y"], c.y, y));
    return { ...c, x, y };
  });
  return [...changes, ...following(doc, deck, corners)];
}

function following(doc: Doc, deck: Deck, corners: readonly Corner[]): Change[] {
  const before = bends(deck.corners), after = bends(corners), out: Change[] = [];
  const follow = (path: readonly string[], read: Json | undefined): void => {
    const change = read === undefined ? null : writing(doc, deck.id, path, read);
    if (change) out.push(change);
  };
  const moved = (p: Point): Point => followed(before, after, p);
  const exit = pointOf(deck.fields["exit"]), fall = deck.fields["fall"];
  if (exit) follow(["exit"], kept(exit, moved(exit)));
  const low = pointOf(at(fall, ["to_point"])), line = pointsOf(at(fall, ["line"]));
  if (low) follow(["fall", "to_point"], kept(low, moved(low)));
  if (line?.some((p) => moved(p) !== p)) {
    const along = line.map((p) => kept(p, moved(p)) ?? [p.x, p.y]), whole = matched({ ...(fall as Fields), line: along });
    for (const name of ["left", "line", "right"]) follow(["fall", name], whole[name]);
  }
  return out;
}

const kept = (p: Point, q: Point): readonly Json[] | undefined => (p === q ? undefined : written(q));

/** onIt: nearer than this a point lies on a corner or an edge, m. */
const onIt = 2e-3;

/** followed is where a point of the old outline lies on the new one; a point that lies on neither corner nor edge stays, the same value. */
function followed(before: readonly Bend[], after: readonly Bend[], p: Point): Point {
  const corner = before.findIndex((e) => distance(e.a, p) < onIt);
  if (corner >= 0) return same(before[corner]!.a, after[corner]!.a) ? p : after[corner]!.a;
  for (let i = 0; i < before.length; i++) {
    const e = before[i]!, n = nearestOn(e, p);
    if (n.off < onIt) return same(e.a, after[i]!.a) && same(e.b, after[i]!.b) && e.bulge === after[i]!.bulge ? p : along(after[i]!, n.t);
  }
  return p;
}

const same = (p: Point, q: Point): boolean => p.x === q.x && p.y === q.y;

const cornerAt = (doc: Doc, id: Id): { readonly deck: Deck; readonly corner: Corner; readonly at: number } | null => {
  const f = find(doc, id);
  return f?.what === "corner" ? f : null;
};

/** moveCorner to a point. */
export const moveCorner: Command<{ readonly corner: Id; readonly to: Point }> = {
  label: "moveCorner", key: null,
  run(doc, { corner, to }) {
    const f = cornerAt(doc, corner);
    if (!f) return gone(corner);
    return isTaped(f.deck) ? taped : { changes: reshaped(doc, f.deck, new Map([[corner, to]])) };
  },
};

/** moveEdge out of the roof by metres, into it negative; its neighbours keep their directions where they can. */
export const moveEdge: Command<{ readonly corner: Id; readonly by: number }> = {
  label: "moveEdge", key: null,
  run(doc, { corner, by }) {
    const f = cornerAt(doc, corner);
    if (!f) return gone(corner);
    if (isTaped(f.deck)) return taped;
    const ring = bends(f.deck.corners), n = ring.length, e = ring[f.at]!;
    const way = minus(e.b, e.a), off = times(right(unit(way)), by), next = f.deck.corners[(f.at + 1) % n]!;
    const slid = (from: Point, neighbour: Bend): Point => {
      const d = minus(neighbour.b, neighbour.a), square = Math.abs(dot(unit(d), unit(way)));
      // A neighbour that runs nearly alike would carry the corner far away: it is turned instead.
      if (neighbour.bulge !== 0 || square > 0.94) return plus(from, off);
      return meet(plus(from, off), way, neighbour.a, d) ?? plus(from, off);
    };
    return { changes: reshaped(doc, f.deck, new Map([[corner, slid(e.a, ring[(f.at + n - 1) % n]!)],
      [next.id, slid(e.b, ring[(f.at + 1) % n]!)]])) };
  },
};

/**
 * setLength of an edge, of its chord where it is curved, m; moves says which end gives way: the corners beyond it follow along right
 * angles.
 */
export const setLength: Command<{ readonly corner: Id; readonly length: number; readonly moves: "end" | "start" }> = {
  label: "setLength", key: null,
  run(doc, { corner, length, moves }) {
    const f = cornerAt(doc, corner);
    if (!f) return gone(corner);
    if (!(length >= 0.01 && length <= 500)) return { why: { key: "number", field: "length", least: 0.01, most: 500 } };
    if (isTaped(f.deck)) return tapedLength(doc, f.deck, f.at, length);
    const ring = bends(f.deck.corners), n = ring.length, e = ring[f.at]!, way = unit(minus(e.b, e.a));
    const by = times(way, (length - distance(e.a, e.b)) * (moves === "end" ? 1 : -1));
    const places = new Map<Id, Point>(), step = moves === "end" ? 1 : -1;
    for (let k = 0, i = moves === "end" ? (f.at + 1) % n : f.at; k < n - 1; k++, i = (i + step + n) % n) {
      const c = f.deck.corners[i]!;
      places.set(c.id, plus(c, by));
      // The edge beyond this corner takes the next one along only where it stands square.
      const beyond = ring[moves === "end" ? i : (i + n - 1) % n]!;
      if (Math.abs(dot(unit(minus(beyond.b, beyond.a)), way)) > 0.01) break;
    }
    return { changes: reshaped(doc, f.deck, places) };
  },
};

/** tapedLength changes a length in the walk and lays it out again. */
function tapedLength(doc: Doc, deck: Deck, side: number, length: number): Outcome {
  const walk = walkOf(deck);
  if (!walk?.[side]) return { why: { key: "taped" } };
  return relaid(doc, deck, walkText(walk.with(side, { ...walk[side], length })));
}

/** relaid writes another walk with as many sides into a taped deck, and its corners as called. */
export function relaid(doc: Doc, deck: Deck, text: string): Outcome {
  const r = called(text);
  if ("why" in r) return r;
  const { corners } = laid(r.walk, pointOf(at(deck.fields, ["survey", "start"])) ?? undefined, numberAt(deck.fields,
    ["survey", "bearing_deg"]) ?? 0);
  const write = writing(doc, deck.id, ["survey", "walk"], text);
  return { changes: [...(write ? [write] : []), ...reshaped(doc, deck, new Map(deck.corners.map((c, i) => [c.id, corners[i] ?? c])))] };
}

/** addCorner on the edge that leaves a corner; both parts keep what is known of the edge. id is the new corner's. */
export const addCorner: Command<{ readonly corner: Id; readonly at: Point; readonly id: Id }> = {
  label: "addCorner", key: null,
  run(doc, { corner, at: where, id }) {
    const f = cornerAt(doc, corner);
    if (!f) return gone(corner);
    if (isTaped(f.deck)) return taped;
    const e = bends(f.deck.corners)[f.at]!, on = nearestOn(e, where), p = e.bulge === 0 ? where : on.at;
    const [first, second] = parted(f.corner.edge, e, on.t);
    const member: Corner = { id, x: tidy(p.x), y: tidy(p.y), edge: second };
    const changes: Change[] = [{ kind: "insert", of: f.deck.id, list: "corners", member, next: f.deck.corners[f.at + 1]?.id ?? null }];
    const write = writing(doc, corner, ["edge"], first);
    return { changes: write ? [...changes, write] : changes, chosen: id };
  },
};

/** parted shares an edge's fields between its parts before and after fraction t. */
function parted(edge: Fields, e: Bend, t: number): [Fields, Fields] {
  const { arc: _, thresholds, ...rest } = edge as { arc?: Json; thresholds?: Json } & Fields;
  const bulge = (part: number): Fields => e.bulge === 0 ? {}
    : { arc: { bulge: Math.round(Math.tan(part * Math.atan(e.bulge)) * 1e8) / 1e8 } };
  const here = lengthOf(e) * t, sills = isList(thresholds) ? thresholds : [];
  const before: Json[] = [], after: Json[] = [];
  for (const s of sills) {
    const from = numberAt(s, ["from_m"]) ?? 0, to = numberAt(s, ["to_m"]) ?? from;
    if (!isFields(s)) continue;
    if (from < here) before.push({ ...s, to_m: tidy(Math.min(to, here)) });
    if (to > here) after.push({ ...s, from_m: tidy(Math.max(from - here, 0)), to_m: tidy(to - here) });
  }
  const withSills = (list: Json[]): Fields => (list.length > 0 ? { thresholds: list } : {});
  return [ordered({ ...rest, ...bulge(t), ...withSills(before) }) as Fields, ordered({ ...rest, ...bulge(1 - t),
    ...withSills(after) }) as Fields];
}

/** removeCorner; the edge before it runs on to the next corner, straight. */
export const removeCorner: Command<{ readonly corner: Id }> = {
  label: "removeCorner", key: "Delete",
  run(doc, { corner }) {
    const f = cornerAt(doc, corner);
    if (!f) return gone(corner);
    if (isTaped(f.deck)) return taped;
    const n = f.deck.corners.length;
    if (n <= 3) return { why: { key: "few corners", least: 3 } };
    const before = f.deck.corners[(f.at + n - 1) % n]!;
    const changes: Change[] = [{ kind: "remove", of: f.deck.id, list: "corners", member: f.corner, next: f.deck.corners[f.at + 1]?.id
      ?? null }];
    if (bulgeOf(before) !== 0) changes.push(setting(before.id, ["edge", "arc"], before.edge["arc"], undefined));
    return { changes, chosen: before.id };
  },
};

/** setEdge writes one field of the edge that leaves a corner: condition, height_mm, limit_mm, cavity_tray …; undefined takes it away. */
export const setEdge: Command<{ readonly corner: Id; readonly field: string; readonly value: Json | undefined }> = {
  label: "setEdge", key: null,
  run(doc, { corner, field, value }) {
    const f = cornerAt(doc, corner);
    if (!f) return gone(corner);
    if (typeof value === "number" && !Number.isFinite(value)) return { why: { key: "number", field, least: 0, most: 3000 } };
    const write = writing(doc, corner, ["edge", field], value);
    return { changes: write ? [write] : [] };
  },
};

/** mostBulge: half a circle is 1; beyond this an edge is nearly a whole one. */
const mostBulge = 4;

/** bendEdge gives an edge a rise out of the roof over its chord, m, into the roof negative; less than a millimetre is straight. */
export const bendEdge: Command<{ readonly corner: Id; readonly rise: number }> = {
  label: "bendEdge", key: null,
  run(doc, { corner, rise }) {
    const f = cornerAt(doc, corner);
    if (!f) return gone(corner);
    const e = bends(f.deck.corners)[f.at]!, half = distance(e.a, e.b) / 2, bulge = Math.round((rise / half) * 1e6) / 1e6;
    if (!(Math.abs(bulge) <= mostBulge)) return { why: { key: "number", field: "rise", least: tidy(-mostBulge * half),
      most: tidy(mostBulge * half) } };
    const write = writing(doc, corner, ["edge", "arc"], Math.abs(rise) < 1e-3 ? undefined : { bulge });
    if (!write) return { changes: [] };
    const bent = f.deck.corners.with(f.at, { ...f.corner, edge: { ...f.corner.edge, arc: Math.abs(rise) < 1e-3 ? null : { bulge } } });
    return { changes: [write, ...following(doc, f.deck, bent)] };
  },
};

/** riseAt is the rise that bends an edge through a point beside it, m. */
export function riseAt(e: Bend, p: Point): number {
  const out = outward({ ...e, bulge: 0 }, 0.5);
  return dot(minus(p, times(plus(e.a, e.b), 0.5)), out);
}
