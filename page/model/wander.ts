// Hands that try anything: the edits of the property tests, drawn from a seed. Tests alone use it.

import { addCorner, addDeck, addPiece, attempt, bendEdge, dropTape, moveCorner, moveDeck, moveEdge, moveFallLine, movePiece, nudge, remove,
  removeCorner, setDeck,
  setEdge, setExit, setFall, setJob, setLength, setPiece, setRatio, sizePiece, tapeDeck, turnFall, type Command,
    type Made } from "./commands";
import type { Doc, Fields, Json } from "./doc";
import { fallKinds } from "./falls";
import type { Fresh } from "./find";
import type { Point } from "./geometry";
import { openingAt, openingKinds, penetrationAt, penetrationKinds } from "./pieces";
import { called } from "./walk";
import type { Refused } from "./why";

/** Random is a small generator with a seed (xorshift32). */
export class Random {
  constructor(private state: number) {}
  next(): number {
    this.state ^= this.state << 13; this.state ^= this.state >>> 17; this.state ^= this.state << 5;
    return (this.state >>> 0) / 2 ** 32;
  }
  whole(n: number): number { return Math.floor(this.next() * n); }
  between(a: number, b: number): number { return a + (b - a) * this.next(); }
  of<T>(list: readonly T[]): T { return list[this.whole(list.length)]!; }
}

export const counted = (): Fresh => {
  let n = 0;
  return () => `m${++n}`;
};

export const start: Fields = { date: "2026-05-11", name: "Invented roof" };

/** Edit is one step of a row: what it is called and with what, so that it can be pasted into a test. */
export interface Edit {
  readonly name: string;
  readonly args: unknown;
  readonly make: (doc: Doc) => Made | Refused;
}

const edit = <A>(name: string, command: Command<A>, args: A): Edit => ({ name, args, make: (doc) => attempt(doc, command, args) });

const conditions = ["drip", "verge", "kerb", "wall", "parapet", "tuck", "box gutter", "step up", "step down", "joins", undefined];
const walks = ["7.20 left 3.20 left 4.00 right 2.40 left 3.20 left 5.60 left", "3 right 2 right 3 right 2",
  "4 left 3 left 45 1 left 45 3.3 left 3.7", "2.4 arc 0.3 left 0.9 left 2.4 left 0.9"];

/** randomEdit is any edit that a hand could try on a document, sensible or not. */
export function randomEdit(doc: Doc, r: Random, fresh: Fresh): Edit {
  const point = (): Point => ({ x: r.between(-2, 9), y: r.between(-2, 9) });
  const decks = doc.decks.map((d) => d.id), deck = decks.length ? r.of(decks) : "none";
  const corners = doc.decks.flatMap((d) => d.corners.map((c) => c.id)), corner = corners.length ? r.of(corners) : "none";
  const pieces = doc.decks.flatMap((d) => [...d.openings, ...d.penetrations, ...d.movement_joints].map((p) => p.id)), piece = pieces.length
    ? r.of(pieces) : "none";
  const near = (): Point => {
    const c = doc.decks.flatMap((d) => d.corners).find((x) => x.id === corner);
    return c && r.next() < 0.8 ? { x: c.x + r.between(-0.8, 0.8), y: c.y + r.between(-0.8, 0.8) } : point();
  };
  const kinds: (() => Edit)[] = [
    () => edit("moveCorner", moveCorner, { corner, to: near() }),
    () => edit("moveEdge", moveEdge, { corner, by: r.between(-1, 1) }),
    () => edit("setLength", setLength, { corner, length: r.between(-0.1, 6), moves: r.next() < 0.5 ? "end" : "start" }),
    () => edit("addCorner", addCorner, { corner, at: near(), id: fresh() }),
    () => edit("removeCorner", removeCorner, { corner }),
    () => edit("setEdge", setEdge, { corner, field: "condition", value: r.of(conditions) }),
    () => edit("setEdge", setEdge, { corner, field: r.of(["height_mm", "limit_mm", "note"]), value: r.of<Json | undefined>([150, "50 mm",
      undefined, NaN]) }),
    () => edit("setEdge", setEdge, { corner, field: "thresholds", value: [{ from_m: 0.2, to_m: 1.1, upstand_mm: 150 }] }),
    () => edit("bendEdge", bendEdge, { corner, rise: r.between(-0.5, 0.5) }),
    () => edit("addPiece", addPiece, { deck, list: "openings", fields: openingAt(r.of(openingKinds), `o${r.whole(9)}`, point()),
      id: fresh() }),
    () => edit("addPiece", addPiece, { deck, list: "penetrations", fields: penetrationAt(r.of(penetrationKinds), "", point()),
      id: fresh() }),
    () => edit("addPiece", addPiece, { deck, list: "movement_joints", fields: { line: [[1, 0], [1, 3]] }, id: fresh() }),
    () => edit("movePiece", movePiece, { piece, by: point() }),
    () => edit("sizePiece", sizePiece, { piece, from: point(), to: point() }),
    () => edit("setPiece", setPiece, { piece, field: r.of(["kerb_mm", "diameter_m"]), value: r.of<Json | undefined>([150, undefined]) }),
    () => edit("turnFall", turnFall, { deck, plane: r.of(["only", "left", "right"] as const), towards: point() }),
    () => edit("setFall", setFall, { deck, kind: r.of(fallKinds) }),
    () => edit("setRatio", setRatio, { deck, plane: r.of(["only", "left", "right"] as const), ratio: r.of([0, 40, 80]) }),
    () => edit("moveFallLine", moveFallLine, { deck, end: r.of([0, 1] as const), to: point() }),
    () => edit("setExit", setExit, { deck, at: r.next() < 0.3 ? null : near() }),
    () => edit("moveDeck", moveDeck, { deck, by: point() }),
    () => edit("setDeck", setDeck, { deck, path: r.of([["level_m"], ["base", "joist_spacing_mm"], ["survey", "measured"]]), value: r.of<Json
      | undefined>([400, undefined]) }),
    () => edit("setDeck", setDeck, { deck, path: ["name"], value: r.of(["main", "bay", "", "[odd]"]) }),
    () => edit("setJob", setJob, { path: r.of([["name"], ["site", "lat_deg"], ["spec", "top_coat", "colour"]]), value: r.of<Json
      | undefined>(["x", 51, undefined]) }),
    () => edit("dropTape", dropTape, { deck }),
    () => { const id = r.of([deck, corner, piece]); return { name: "remove", args: id, make: (d) => remove(d, id) }; },
    () => { const id = r.of([deck, corner, `${corner}@corner`, piece, `${deck}@fall`, `${deck}@exit`]), by = r.of([{ x: 0.05, y: 0 },
      { x: 0, y: -0.005 }]); return { name: "nudge", args: { id, by }, make: (d) => nudge(d, id, by) }; },
  ];
  if (doc.decks.length < 3 && (doc.decks.length === 0 || r.next() < 0.05)) {
    const x = r.between(-3, 3);
    if (r.next() < 0.5) return edit("addDeck", addDeck, { corners: r.of([[{ x, y: 0 }, { x: x + 4, y: 0 }, { x: x + 4, y: 3 }],
      [{ x, y: 0 }, { x, y: 3 }, { x: 5, y: 3 }, { x: 5, y: 0 }]]), fresh });
    const w = called(r.of(walks));
    return edit("tapeDeck", tapeDeck, { walk: "walk" in w ? w.walk : [], measured: [{ from: "A", to: "C", length_m: 5 }], fresh,
      ...(r.next() < 0.3 && doc.decks.length ? { deck } : {}) });
  }
  return r.of(kinds)();
}
