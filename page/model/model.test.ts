// The model's properties: random rows of edits come home, outlines stay simple, and what goes to
// the engine has the shape of a roof file. The seed is printed; a failure prints the edits as code.

import assert from "node:assert/strict";
import test from "node:test";
import { apply, invert, join, type Change } from "./change";
import { addCorner, addDeck, addPiece, attempt, bendEdge, dropTape, moveCorner, moveDeck, moveEdge, moveFallLine, movePiece, nudge, remove, removeCorner, setDeck,
  setEdge, setExit, setFall, setJob, setLength, setPiece, setRatio, sizePiece, tapeDeck, turnFall, type Command, type Made } from "./commands";
import { whyFlawed } from "./command";
import type { Doc, Fields, Id, Json } from "./doc";
import { fallKinds } from "./falls";
import type { Fresh } from "./find";
import { areaOf, bends, type Point } from "./geometry";
import { historyOf, noHistory, record, redo, settle, undo, type History } from "./history";
import { isFields, isList } from "./json";
import { openingAt, openingKinds, penetrationAt, penetrationKinds } from "./pieces";
import { docOf, roofOf } from "./roofjson";
import { called } from "./walk";
import type { Refused } from "./why";

/** Random is a small generator with a seed (xorshift32). */
class Random {
  constructor(private state: number) {}
  next(): number {
    this.state ^= this.state << 13; this.state ^= this.state >>> 17; this.state ^= this.state << 5;
    return (this.state >>> 0) / 2 ** 32;
  }
  whole(n: number): number { return Math.floor(this.next() * n); }
  between(a: number, b: number): number { return a + (b - a) * this.next(); }
  of<T>(list: readonly T[]): T { return list[this.whole(list.length)]!; }
}

const counted = (): Fresh => {
  let n = 0;
  return () => `m${++n}`;
};

const start: Fields = { date: "2026-05-11", name: "Invented roof" };

/** Edit is one step of a row: what it is called and with what, so that it can be pasted into a test. */
interface Edit {
  readonly name: string;
  readonly args: unknown;
  readonly make: (doc: Doc) => Made | Refused;
}

const edit = <A>(name: string, command: Command<A>, args: A): Edit => ({ name, args, make: (doc) => attempt(doc, command, args) });

const conditions = ["drip", "verge", "kerb", "wall", "parapet", "tuck", "box gutter", "step up", "step down", "joins", undefined];
const walks = ["7.20 left 3.20 left 4.00 right 2.40 left 3.20 left 5.60 left", "3 right 2 right 3 right 2", "4 left 3 left 45 1 left 45 3.3 left 3.7", "2.4 arc 0.3 left 0.9 left 2.4 left 0.9"];

function randomEdit(doc: Doc, r: Random, fresh: Fresh): Edit {
  const point = (): Point => ({ x: r.between(-2, 9), y: r.between(-2, 9) });
  const decks = doc.decks.map((d) => d.id), deck = decks.length ? r.of(decks) : "none";
  const corners = doc.decks.flatMap((d) => d.corners.map((c) => c.id)), corner = corners.length ? r.of(corners) : "none";
  const pieces = doc.decks.flatMap((d) => [...d.openings, ...d.penetrations, ...d.movement_joints].map((p) => p.id)), piece = pieces.length ? r.of(pieces) : "none";
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
    () => edit("setEdge", setEdge, { corner, field: r.of(["height_mm", "limit_mm", "note"]), value: r.of<Json | undefined>([150, "50 mm", undefined, NaN]) }),
    () => edit("setEdge", setEdge, { corner, field: "thresholds", value: [{ from_m: 0.2, to_m: 1.1, upstand_mm: 150 }] }),
    () => edit("bendEdge", bendEdge, { corner, rise: r.between(-0.5, 0.5) }),
    () => edit("addPiece", addPiece, { deck, list: "openings", fields: openingAt(r.of(openingKinds), `o${r.whole(9)}`, point()), id: fresh() }),
    () => edit("addPiece", addPiece, { deck, list: "penetrations", fields: penetrationAt(r.of(penetrationKinds), "", point()), id: fresh() }),
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
    () => edit("setDeck", setDeck, { deck, path: r.of([["level_m"], ["base", "joist_spacing_mm"], ["survey", "measured"]]), value: r.of<Json | undefined>([400, undefined]) }),
    () => edit("setDeck", setDeck, { deck, path: ["name"], value: r.of(["main", "bay", "", "[odd]"]) }),
    () => edit("setJob", setJob, { path: r.of([["name"], ["site", "lat_deg"], ["spec", "top_coat", "colour"]]), value: r.of<Json | undefined>(["x", 51, undefined]) }),
    () => edit("dropTape", dropTape, { deck }),
    () => { const id = r.of([deck, corner, piece]); return { name: "remove", args: id, make: (d) => remove(d, id) }; },
    () => { const id = r.of([deck, corner, `${corner}@corner`, piece, `${deck}@fall`, `${deck}@exit`]), by = r.of([{ x: 0.05, y: 0 }, { x: 0, y: -0.005 }]); return { name: "nudge", args: { id, by }, make: (d) => nudge(d, id, by) }; },
  ];
  if (doc.decks.length < 3 && (doc.decks.length === 0 || r.next() < 0.05)) {
    const x = r.between(-3, 3);
    if (r.next() < 0.5) return edit("addDeck", addDeck, { corners: r.of([[{ x, y: 0 }, { x: x + 4, y: 0 }, { x: x + 4, y: 3 }], [{ x, y: 0 }, { x, y: 3 }, { x: 5, y: 3 }, { x: 5, y: 0 }]]), fresh });
    const w = called(r.of(walks));
    return edit("tapeDeck", tapeDeck, { walk: "walk" in w ? w.walk : [], measured: [{ from: "A", to: "C", length_m: 5 }], fresh, ...(r.next() < 0.3 && doc.decks.length ? { deck } : {}) });
  }
  return r.of(kinds)();
}

/** roofShape holds a roof's JSON against what a roof file must have. */
function roofShape(roof: Fields, doc: Doc): void {
  assert.equal(roof["version"], 1);
  const decks = roof["decks"] ?? (roof["deck"] === undefined ? [] : [roof["deck"]]);
  assert.ok(isList(decks) && decks.length === doc.decks.length);
  decks.forEach((d, i) => {
    assert.ok(isFields(d));
    const n = doc.decks[i]!.corners.length, outline = d["outline"], edges = d["edges"];
    assert.ok((outline === undefined) === isFields(d["survey"]), "one of outline and survey");
    assert.ok(outline === undefined || (isList(outline) && outline.length === n && outline.every((p) => isList(p) && p.length === 2 && p.every((x) => typeof x === "number" && Number.isFinite(x)))));
    assert.ok(isList(edges) && edges.length === n && edges.every((e) => typeof e === "string" || (isFields(e) && typeof e["condition"] === "string")));
    assert.ok(isFields(d["fall"]) && !("id" in d));
  });
  assert.ok(!JSON.stringify(roof).includes("null"), "no field is null");
}

/** done counts the edits that were made, so that a generator that is refused everything is noticed. */
const done: { [name: string]: number } = {};

/** run holds every property of a row of edits from a seed; a failing row is made as short as it still fails, and printed as code. */
function run(seed: number, steps: number): void {
  const fails = (n: number): unknown => {
    try {
      row(seed, n, []);
      return null;
    } catch (fault) {
      return fault;
    }
  };
  const fault = fails(steps);
  if (fault === null) return;
  let least = steps;
  while (least > 1 && fails(least - 1) !== null) least--;
  const log: string[] = [];
  try {
    row(seed, least, log);
  } catch { /* It is thrown below. */ }
  console.error(`seed ${seed}, ${log.length} edits:\n${log.join("\n")}`);
  throw fault;
}

/** row makes a row of edits, undoes it and makes it again. */
function row(seed: number, steps: number, log: string[]): void {
  const r = new Random(seed), fresh = counted();
  const first: Doc = { fields: start, decks: [] }, text = JSON.stringify(first);
  let doc = first, history: History = noHistory, chosen: Id | null = null;
  for (let i = 0; i < steps; i++) {
    const e = randomEdit(doc, r, fresh);
    log.push(`edit("${e.name}", ${e.name}, ${JSON.stringify(e.args)})`);
    const before = JSON.stringify(doc), made = e.make(doc);
    assert.equal(JSON.stringify(doc), before, "a document is never changed in place");
    if ("why" in made) continue;
    if (made.act.changes.length > 0) done[e.name] = (done[e.name] ?? 0) + 1;
    for (const d of made.doc.decks) if (!isFields(d.fields["survey"])) assert.equal(whyFlawed(d), null);
    history = record(history, made.act, chosen);
    doc = made.doc;
    chosen = made.act.chosen === undefined ? chosen : made.act.chosen;
    if (r.next() < 0.2) history = settle(history);
    if (r.next() < 0.15) {
      const back = undo(history, doc);
      if (back && "why" in back) assert.fail(JSON.stringify(back.why));
      if (back) ({ doc, history, chosen } = back);
    }
    roofShape(roofOf(doc), doc);
  }
  const last = JSON.stringify(doc);
  const again = docOf(roofOf(doc), counted());
  assert.ok("doc" in again, JSON.stringify(again));
  assert.deepEqual(roofOf(again.doc), roofOf(doc));
  history = historyOf(JSON.parse(JSON.stringify(history)))!;
  const all = history.done.reduce<readonly Change[]>((sum, h) => join(sum, h.changes), []);
  const whole = apply(doc, invert(all));
  assert.equal(JSON.stringify("doc" in whole && whole.doc), text, "inverted as one");
  let undone = 0;
  for (let s = undo(history, doc); s; s = undo(history, doc), undone++) {
    if ("why" in s) assert.fail(JSON.stringify(s.why));
    ({ doc, history } = s);
  }
  assert.equal(JSON.stringify(doc), text, "undone one by one");
  while (undone-- > 0) {
    const s = redo(history, doc);
    if (!s || "why" in s) assert.fail(JSON.stringify(s));
    ({ doc, history } = s);
  }
  assert.equal(JSON.stringify(doc), last, "redone");
}

test("ten thousand random rows of edits come home, and every one is a roof file", () => {
  const seed = Number(process.env["SEED"] ?? "20261130"), rows = Number(process.env["ROWS"] ?? "10000");
  console.log(`seed ${seed}`);
  for (let i = 0; i < rows; i++) run(seed + i * 7919, 12);
});

test("long rows too", () => {
  for (let i = 1; i <= 20; i++) run(i * 104729, 200);
  for (const name of ["moveCorner", "moveEdge", "setLength", "addCorner", "removeCorner", "setEdge", "bendEdge", "addPiece", "movePiece", "sizePiece", "turnFall",
    "setFall", "setRatio", "moveFallLine", "setExit", "moveDeck", "setDeck", "setJob", "dropTape", "tapeDeck", "addDeck", "remove", "nudge"]) {
    assert.ok((done[name] ?? 0) >= 10, `${name} was made only ${done[name] ?? 0} times`);
  }
});

test("the area is that of the drawing", () => {
  const d = docOf({ deck: { outline: [[0, 0], [2, 0, 1], [2, 2], [0, 2]], edges: ["drip", "kerb", "kerb", "kerb"], fall: { towards: "south" } } }, counted());
  assert.ok("doc" in d);
  // A square of 4 m² and half a circle of radius 1 on its right side.
  assert.ok(Math.abs(areaOf(bends(d.doc.decks[0]!.corners)) - (4 + Math.PI / 2)) < 1e-9);
});
