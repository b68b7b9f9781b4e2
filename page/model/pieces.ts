// Commands on what stands in, goes through or parts a deck: openings, pipes and outlets, joints.

import { writing, type Change } from "./change";
import { gone, type Command } from "./command";
import type { Deck, Doc, Fields, Id, Json, Piece } from "./doc";
import { deckOf, find, type Fresh, type PieceList } from "./find";
import { bends, boundsOf, distance, dot, inside, minus, nearestOn, plus, pointOf, pointsOf, right, tidy, times, unit, written, type Bounds,
  type Point } from "./geometry";
import { isList, numberAt, ordered, textAt } from "./json";

/** Kinds in the words of the roof file. */
export const openingKinds = ["rooflight", "hatch", "chimney", "void"] as const;
export const penetrationKinds = ["pipe", "outlet", "overflow", "flue", "post"] as const;
export type OpeningKind = (typeof openingKinds)[number];
export type PenetrationKind = (typeof penetrationKinds)[number];

/** usualSize of a piece that is dropped on the roof, m, until it is measured. */
const usualSize: { readonly [kind in OpeningKind]: readonly [number, number] } = {
  rooflight: [1, 1], hatch: [0.8, 0.8], chimney: [0.6, 0.45], void: [1, 1] };
const usualBore: { readonly [kind in PenetrationKind]: number } = { pipe: 110, outlet: 80, overflow: 50, flue: 150, post: 60 };

/** openingAt and penetrationAt are the fields of a piece dropped with its middle at a point. */
export function openingAt(kind: OpeningKind, name: string, p: Point): Fields {
  const [w, d] = usualSize[kind], half = { x: w / 2, y: d / 2 };
  return { from: written({ x: p.x - half.x, y: p.y - half.y }), kind, name, to: written(plus(p, half)) };
}

export function penetrationAt(kind: PenetrationKind, name: string, p: Point): Fields {
  return { at: written(p), diameter_mm: usualBore[kind], kind, name };
}

/** addPiece to a deck; its fields are the roof file's, a movement joint has a line. */
export const addPiece: Command<{ readonly deck: Id; readonly list: PieceList; readonly fields: Fields; readonly id: Id }> = {
  label: "addPiece", key: null,
  run(doc, { deck: of, list, fields, id }) {
    const deck = deckOf(doc, of);
    if (!deck) return gone(of);
    const member: Piece = { id, fields: ordered(fields) as Fields };
    return { changes: [{ kind: "insert", of: deck.id, list, member, next: null }], chosen: id };
  },
};

const pieceAt = (doc: Doc, id: Id): { readonly deck: Deck; readonly list: PieceList; readonly piece: Piece; readonly at: number } | null =>
  {
  const f = find(doc, id);
  return f?.what === "piece" ? f : null;
};

/** mostRepeats: a hall of 10 000 m² has no more rooflights in a row. */
const mostRepeats = 40;

/**
 * repeatPiece stands the same piece in rows: so many across and up in all, so many metres apart from middle to middle; each has a name of
 * its own.
 */
export const repeatPiece: Command<{ readonly piece: Id; readonly across: number; readonly up: number; readonly apart: Point;
  readonly fresh: Fresh }> = {
  label: "addPiece", key: null,
  run(doc, { piece, across, up, apart, fresh }) {
    const f = pieceAt(doc, piece);
    if (!f) return gone(piece);
    for (const n of [across, up]) if (!(Number.isInteger(n) && n >= 1 && n <= mostRepeats)) return { why: { key: "number", field: "rows",
      least: 1, most: mostRepeats } };
    const names = new Set(f.deck[f.list].map((p) => textAt(p.fields, ["name"]) ?? "")), [, stem, gap] =
      /^(.*?)( ?)[0-9]*$/.exec(textAt(f.piece.fields, ["name"]) ?? "") ?? [];
    const next = f.deck[f.list][f.at + 1]?.id ?? null, changes: Change[] = [];
    const named = (n: number): string => `${stem}${gap}${n}`;
    for (let k = 1, n = 1; k < across * up; k++) {
      while (names.has(named(n))) n++;
      names.add(named(n));
      const by = { x: (k % across) * apart.x, y: Math.floor(k / across) * apart.y }, fields = ordered({ ...shifted(f.piece.fields, by),
        ...(stem ? { name: named(n) } : {}) }) as Fields;
      changes.push({ kind: "insert", of: f.deck.id, list: f.list, member: { id: fresh(), fields }, next });
    }
    return { changes, chosen: piece };
  },
};

/** shifted are the fields of a piece with every point moved. */
function shifted(fields: Fields, by: Point): Fields {
  const out: { [name: string]: Json } = { ...fields };
  for (const name of Object.keys(fields)) {
    const v = fields[name], p = pointOf(v), many = pointsOf(v);
    if (isList(v) && p) out[name] = written(plus(p, by));
    else if (isList(v) && many) out[name] = v.map((w, i) => [...written(plus(many[i]!, by)), ...(isList(w) ? w.slice(2) : [])]);
  }
  return out;
}

/** removePiece from its deck. */
export const removePiece: Command<{ readonly piece: Id }> = {
  label: "removePiece", key: "Delete",
  run(doc, { piece }) {
    const f = pieceAt(doc, piece);
    if (!f) return gone(piece);
    return { changes: [{ kind: "remove", of: f.deck.id, list: f.list, member: f.piece, next: f.deck[f.list][f.at + 1]?.id ?? null }],
      chosen: f.deck.id };
  },
};

/** movedFields are the changes that move every point of a piece. */
export function movedFields(doc: Doc, id: Id, fields: Fields, by: Point): Change[] {
  const to = shifted(fields, by);
  return Object.keys(fields).map((name) => writing(doc, id, [name], to[name])).filter((c) => c !== null);
}

/** movePiece by metres. */
export const movePiece: Command<{ readonly piece: Id; readonly by: Point }> = {
  label: "movePiece", key: null,
  run(doc, { piece, by }) {
    const f = pieceAt(doc, piece);
    return f ? { changes: movedFields(doc, piece, f.piece.fields, by) } : gone(piece);
  },
};

/** setPiece writes one field: kind, name, kerb_mm, diameter_m …; undefined takes it away. */
export const setPiece: Command<{ readonly piece: Id; readonly field: string; readonly value: Json | undefined }> = {
  label: "setPiece", key: null,
  run(doc, { piece, field, value }) {
    if (!pieceAt(doc, piece)) return gone(piece);
    if (typeof value === "number" && !Number.isFinite(value)) return { why: { key: "number", field, least: 0, most: 3000 } };
    const change = writing(doc, piece, [field], value);
    return { changes: change ? [change] : [] };
  },
};

/**
 * sizePiece gives a rectangle its two corners, an opening by corners the same bounds, a round one the diameter that fits, a joint its ends.
 */
export const sizePiece: Command<{ readonly piece: Id; readonly from: Point; readonly to: Point }> = {
  label: "sizePiece", key: null,
  run(doc, { piece, from, to }) {
    const f = pieceAt(doc, piece);
    if (!f) return gone(piece);
    const { low, high } = boundsOf([from, to]), w = tidy(high.x - low.x), d = tidy(high.y - low.y);
    const write = (name: string, v: Json): Change[] => [writing(doc, piece, [name], v)].filter((c) => c !== null);
    if (f.list === "movement_joints") return w + d >= 0.01 ? { changes: write("line", [written(from), written(to)]) } : flat("length");
    if (f.list === "penetrations") return { changes: [...write("at", written(pointOf(f.piece.fields["at"]) ?? low))] };
    if (!(w >= 0.05 && d >= 0.05)) return flat("size");
    if (numberAt(f.piece.fields, ["diameter_m"]) !== undefined) {
      return { changes: [...write("diameter_m", Math.max(w, d)), ...write("centre", written({ x: (low.x + high.x) / 2,
        y: (low.y + high.y) / 2 }))] };
    }
    const corners = pointsOf(f.piece.fields["corners"]);
    if (!corners) return { changes: [...write("from", written(low)), ...write("to", written(high))] };
    return { changes: write("corners", stretched(f.piece.fields["corners"]!, corners, { low, high })) };
  },
};

const flat = (field: string): { readonly why: { readonly key: "number"; readonly field: string; readonly least: number;
  readonly most: number } } =>
  ({ why: { key: "number", field, least: 0.05, most: 50 } });

function stretched(written0: Json, corners: readonly Point[], to: Bounds): Json {
  const from = boundsOf(corners), sx = (to.high.x - to.low.x) / (from.high.x - from.low.x),
    sy = (to.high.y - to.low.y) / (from.high.y - from.low.y);
  return corners.map((p, i) => {
    const w = isList(written0) ? written0[i] : undefined;
    return [...written({ x: to.low.x + (p.x - from.low.x) * sx, y: to.low.y + (p.y - from.low.y) * sy }), ...(isList(w) ? w.slice(2) : [])];
  });
}

/**
 * Offset is how far a piece stands off the line of an edge, m, by the edge's place in the outline, from 0; beyond is on its outer side, as
 * past an inner corner.
 */
export interface Offset {
  readonly edge: number;
  readonly gap: number;
  readonly beyond: boolean;
}

/**
 * offsetsOf a piece are those by which a tape finds it: off the straight edge that is nearest, and along that edge from either end, off the
 * edges that meet it there.
 */
export function offsetsOf(deck: Deck, list: PieceList, p: Piece): readonly Offset[] {
  const { low, high } = extentOf(list, p), middle = { x: (low.x + high.x) / 2, y: (low.y + high.y) / 2 };
  const points = list === "penetrations" ? [middle] : [low, high, { x: low.x, y: high.y }, { x: high.x, y: low.y }],
    ring = bends(deck.corners), n = ring.length;
  const off = (edge: number): Offset => {
    const e = ring[edge]!, far = points.map((c) => dot(minus(c, e.a), right(unit(minus(e.b, e.a))))), beyond = Math.min(...far) > -1e-6
      && Math.max(...far) > 1e-6;
    return { edge, gap: tidy(beyond ? Math.min(...far) : -Math.max(...far)), beyond };
  };
  const beside = ring.map((e, edge) => ({ edge, e, at: dot(minus(middle, e.a), unit(minus(e.b, e.a))) }))
    .filter(({ e, at }) => e.bulge === 0 && at >= 0 && at <= distance(e.a, e.b)).map(({ edge }) => off(edge)).filter((o) => !o.beyond);
  const first = beside.toSorted((a, b) => Math.abs(a.gap) - Math.abs(b.gap))[0];
  if (!first) return [];
  const way = (edge: number): Point => unit(minus(ring[edge]!.b, ring[edge]!.a));
  const ends = [(first.edge + n - 1) % n, (first.edge + 1) % n].filter((k) => ring[k]!.bulge === 0
    && Math.abs(dot(way(k), way(first.edge))) < 0.5);
  return [first, ...ends.map(off)];
}

/** offBy is the way that takes a piece from one distance off an edge to another. */
export function offBy(deck: Deck, from: Offset, gap: number): Point {
  const e = bends(deck.corners)[from.edge]!;
  return times(right(unit(minus(e.b, e.a))), (from.gap - gap) * (from.beyond ? -1 : 1));
}

/** clearOf is how far off an edge an opening is set down where a finger would put it over the edge, m: a chimney stands at its wall. */
const clearOf: { readonly [kind in OpeningKind]: number } = { rooflight: 0.3, hatch: 0.3, chimney: 0, void: 0 };

/** within is where the middle of an opening must be so that it stands clear in the deck; a point that is clear already stays. */
export function within(deck: Deck, kind: OpeningKind, p: Point): Point {
  const [w, d] = usualSize[kind], ring = bends(deck.corners);
  let at = ring.length < 3 || inside(ring, p) ? p : ring.map((e) => nearestOn(e, p)).reduce((a, b) => (b.off < a.off ? b : a)).at;
  for (const e of ring) {
    const way = unit(minus(e.b, e.a)), out = right(way), along = dot(minus(at, e.a), way), half = (Math.abs(out.x) * w
      + Math.abs(out.y) * d) / 2;
    const gap = -dot(minus(at, e.a), out) - half - clearOf[kind], beside = (Math.abs(way.x) * w + Math.abs(way.y) * d) / 2;
    if (e.bulge === 0 && gap < 0 && gap > -(2 * half + clearOf[kind]) && along > -beside && along < distance(e.a, e.b) + beside) at =
      plus(at, times(out, gap));
  }
  return { x: tidy(at.x), y: tidy(at.y) };
}

/** extentOf a piece on the drawing, m. */
export function extentOf(list: PieceList, p: Piece): Bounds {
  const f = p.fields, centre = pointOf(f["centre"]) ?? pointOf(f["at"]);
  if (centre) {
    const w = (numberAt(f, ["diameter_m"]) ?? (numberAt(f, ["diameter_mm"]) ?? numberAt(f, ["width_mm"]) ?? 100) / 1000) / 2;
    const d = numberAt(f, ["depth_mm"]) === undefined ? w : numberAt(f, ["depth_mm"])! / 2000;
    return { low: { x: centre.x - w, y: centre.y - d }, high: { x: centre.x + w, y: centre.y + d } };
  }
  const corners = pointsOf(f[list === "movement_joints" ? "line" : "corners"]);
  if (corners) return boundsOf(corners);
  return boundsOf([pointOf(f["from"]), pointOf(f["to"])].filter((q) => q !== null));
}
