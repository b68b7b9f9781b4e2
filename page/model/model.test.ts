// The model's properties: random rows of edits come home, outlines stay simple, and what goes to
// the engine has the shape of a roof file. The seed is printed; a failure prints the edits as code.

import assert from "node:assert/strict";
import test from "node:test";
import { apply, invert, join, type Change } from "./change";
import { whyFlawed } from "./command";
import type { Doc, Fields, Id } from "./doc";
import { areaOf, bends } from "./geometry";
import { historyOf, noHistory, record, redo, settle, undo, type History } from "./history";
import { isFields, isList } from "./json";
import { docOf, roofOf } from "./roofjson";
import { counted, Random, randomEdit, start } from "./wander";

/** roofShape holds a roof's JSON against what a roof file must have. */
function roofShape(roof: Fields, doc: Doc): void {
  assert.equal(roof["version"], 1);
  const decks = roof["decks"] ?? (roof["deck"] === undefined ? [] : [roof["deck"]]);
  assert.ok(isList(decks) && decks.length === doc.decks.length);
  decks.forEach((d, i) => {
    assert.ok(isFields(d));
    const n = doc.decks[i]!.corners.length, outline = d["outline"], edges = d["edges"];
    assert.ok((outline === undefined) === isFields(d["survey"]), "one of outline and survey");
    assert.ok(outline === undefined || (isList(outline) && outline.length === n && outline.every((p) => isList(p) && p.length === 2
      && p.every((x) => typeof x === "number" && Number.isFinite(x)))));
    assert.ok(isList(edges) && edges.length === n && edges.every((e) => typeof e === "string" || (isFields(e) && typeof e["condition"] ===
      "string")));
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
  for (const name of ["moveCorner", "moveEdge", "setLength", "addCorner", "removeCorner", "setEdge", "bendEdge", "addPiece", "movePiece",
    "sizePiece", "turnFall",
    "setFall", "setRatio", "moveFallLine", "setExit", "moveDeck", "setDeck", "setJob", "dropTape", "tapeDeck", "addDeck", "remove",
      "nudge"]) {
    assert.ok((done[name] ?? 0) >= 10, `${name} was made only ${done[name] ?? 0} times`);
  }
});

test("the area is that of the drawing", () => {
  const d = docOf({ deck: { outline: [[0, 0], [2, 0, 1], [2, 2], [0, 2]], edges: ["drip", "kerb", "kerb", "kerb"],
    fall: { towards: "south" } } }, counted());
  assert.ok("doc" in d);
  // A square of 4 m² and half a circle of radius 1 on its right side.
  assert.ok(Math.abs(areaOf(bends(d.doc.decks[0]!.corners)) - (4 + Math.PI / 2)) < 1e-9);
});
