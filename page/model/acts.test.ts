// What single commands do, worked out by hand; what the tape draws; where places lead.

import assert from "node:assert/strict";
import test from "node:test";
import { apply, join, setting } from "./change";
import { addCorner, addPiece, attempt, bendEdge, moveCorner, moveEdge, movePiece, removeCorner, repeatPiece, setDeck, setEdge, setFall,
  setLength, setRatio, tapeDeck, turnFall, type Made } from "./commands";
import type { Doc, Fields, Json } from "./doc";
import { arrowsOf } from "./falls";
import { deckOf, find, type Fresh } from "./find";
import { bends, lengthOf } from "./geometry";
import { historyOf, noHistory, parted, record, rejoined, settle, undo } from "./history";
import { offBy, offsetsOf, within } from "./pieces";
import { placeOf } from "./place";
import { docOf, roofOf } from "./roofjson";
import { snap } from "./snap";
import { called, closing, cornerName, laid, reversed, taped, walkText } from "./walk";
import type { Refused } from "./why";

const counted = (): Fresh => {
  let n = 0;
  return () => `m${++n}`;
};

function read(deck: Fields): Doc {
  const r = docOf({ name: "Invented roof", version: 1, deck }, counted());
  if ("why" in r) assert.fail(JSON.stringify(r.why));
  return r.doc;
}

const made = (r: Made | Refused): Doc => ("why" in r ? assert.fail(JSON.stringify(r.why)) : r.doc);
const why = (r: object): unknown => ("why" in r ? r.why : assert.fail("not refused"));
const corners = (doc: Doc): number[][] => doc.decks[0]!.corners.map((c) => [c.x, c.y]);

/** The L of the examples: ids m1 to m6 for its corners, m7 for its rooflight, m8 for the deck. */
const l: Fields = {
  edges: ["drip", "kerb", { condition: "wall", note: "house" }, "wall", "kerb", "drip"], exit: [7.2, 1.6],
  fall: { kind: "hip", left: { ratio: 40, towards: "west" }, line: [[0, 0], [3.2, 3.2]], right: { ratio: 40, towards: "south" } },
  openings: [{ from: [4.6, 0.9], kerb_mm: 150, kind: "rooflight", name: "RL1", to: [6.1, 1.9] }],
  outline: [[0, 0], [7.2, 0], [7.2, 3.2], [3.2, 3.2], [3.2, 5.6], [0, 5.6]],
};

test("a corner moved takes the hip and the exit along, the rooflight stays", () => {
  const doc = made(attempt(read(l), moveCorner, { corner: "m4", to: { x: 3, y: 3 } }));
  assert.deepEqual((roofOf(doc)["deck"] as Fields)["fall"], { ...(l["fall"] as Fields), line: [[0, 0], [3, 3]] });
  // A hip off the half of the corner: 1:40 to the west falls 3.2/40 along it, so 3 to the south wants 1:37.5; nothing becomes flatter.
  const askew = made(attempt(read(l), moveCorner, { corner: "m4", to: { x: 3.2, y: 3 } }));
  assert.deepEqual((roofOf(askew)["deck"] as Fields)["fall"], { kind: "hip", left: { ratio: 40, towards: "west" }, line: [[0, 0], [3.2, 3]],
    right: { ratio: 37.5, towards: "south" } });
  assert.deepEqual((roofOf(made(attempt(askew, setRatio, { deck: "m8", plane: "right", ratio: 75 })))["deck"] as Fields)["fall"],
    { kind: "hip", left: { ratio: 80, towards: "west" }, line: [[0, 0], [3.2, 3]], right: { ratio: 75, towards: "south" } });
  const wider = made(attempt(read(l), moveEdge, { corner: "m2", by: 0.8 }));
  assert.deepEqual(corners(wider).slice(1, 3), [[8, 0], [8, 3.2]]);
  assert.deepEqual(wider.decks[0]!.fields["exit"], [8, 1.6]);
  assert.deepEqual(wider.decks[0]!.openings, read(l).decks[0]!.openings);
});

test("a length typed takes the square corners beyond it along", () => {
  const end = made(attempt(read(l), setLength, { corner: "m1", length: 7, moves: "end" }));
  assert.deepEqual(corners(end), [[0, 0], [7, 0], [7, 3.2], [3.2, 3.2], [3.2, 5.6], [0, 5.6]]);
  const start = made(attempt(read(l), setLength, { corner: "m1", length: 7, moves: "start" }));
  assert.deepEqual(corners(start), [[0.2, 0], [7.2, 0], [7.2, 3.2], [3.2, 3.2], [3.2, 5.6], [0.2, 5.6]]);
  // Where the next edge stands askew, the end alone gives way.
  const skew = read({ outline: [[0, 0], [4, 0], [5, 3], [0, 3]], edges: ["drip", "drip", "drip", "drip"], fall: { towards: "south" } });
  assert.deepEqual(corners(made(attempt(skew, setLength, { corner: "m1", length: 4.5, moves: "end" }))), [[0, 0], [4.5, 0], [5, 3],
    [0, 3]]);
});

test("outlines that would cross are refused with the edges", () => {
  assert.deepEqual(why(attempt(read(l), moveCorner, { corner: "m4", to: { x: -1, y: 2 } })), { key: "crosses", first: 3, second: 6 });
  assert.deepEqual(why(attempt(read(l), setLength, { corner: "m3", length: 9, moves: "end" })), { key: "crosses", first: 3, second: 6 });
  assert.equal((why(attempt(read(l), moveCorner, { corner: "no", to: { x: 0, y: 0 } })) as { key: string }).key, "gone");
  const three = read({ outline: [[0, 0], [4, 0], [4, 3]], edges: ["drip", "drip", "drip"], fall: { towards: "south" } });
  assert.deepEqual(why(attempt(three, removeCorner, { corner: "m1" })), { key: "few corners", least: 3 });
  assert.equal((why(attempt(three, moveCorner, { corner: "m3", to: { x: 4, y: -3 } })) as { key: string }).key, "inside out");
});

test("an edge parted keeps what is known on both sides, an arc its circle", () => {
  const sill = made(attempt(read(l), setEdge, { corner: "m3", field: "thresholds", value: [{ from_m: 1, to_m: 3, upstand_mm: 150 }] }));
  const two = made(attempt(sill, addCorner, { corner: "m3", at: { x: 5.2, y: 3.2 }, id: "new" }));
  const edges = two.decks[0]!.corners.map((c) => c.edge);
  assert.deepEqual(edges[2], { condition: "wall", note: "house", thresholds: [{ from_m: 1, to_m: 2, upstand_mm: 150 }] });
  assert.deepEqual(edges[3], { condition: "wall", note: "house", thresholds: [{ from_m: 0, to_m: 1, upstand_mm: 150 }] });
  const bent = made(attempt(read(l), bendEdge, { corner: "m1", rise: 0.6 }));
  const ring = bends(bent.decks[0]!.corners), parted = made(attempt(bent, addCorner, { corner: "m1", at: { x: 2, y: -0.5 }, id: "new" }));
  const after = bends(parted.decks[0]!.corners);
  assert.ok(Math.abs(lengthOf(after[0]!) + lengthOf(after[1]!) - lengthOf(ring[0]!)) < 2e-4);
});

test("falls: the hip of an L runs from its outer to its inner corner, an arrow turned writes a word", () => {
  const one = made(attempt(read({ ...l, fall: { ratio: 60, towards: "south" } }), setFall, { deck: "m8", kind: "hip" }));
  assert.deepEqual(one.decks[0]!.fields["fall"], { kind: "hip", left: { ratio: 60, towards: "west" }, line: [[0, 0], [3.2, 3.2]], ratio: 60,
    right: { ratio: 60, towards: "south" } });
  const turned = made(attempt(one, turnFall, { deck: "m8", plane: "right", towards: { x: 0.3, y: 0 } }));
  assert.deepEqual(arrowsOf(deckOf(turned, "m8")!).map((a) => a.towards), [{ x: -1, y: 0 }, { x: 1, y: 0 }]);
  const ridge = made(attempt(read(l), setFall, { deck: "m8", kind: "ridge" }));
  assert.deepEqual(ridge.decks[0]!.fields["fall"], { kind: "ridge", line: [[0, 0], [3.2, 3.2]], ratio: 40 });
});

test("a roof file comes back as it was, whichever way things are written in it", () => {
  const roof = { date: "2026-04-14", deck: { ...l, name: "L" }, name: "x", version: 1 };
  const r = docOf(roof, counted());
  assert.ok("doc" in r);
  assert.deepEqual(roofOf(r.doc), roof);
  const turned = read({ outline: [[0, 0.9], [2.4, 0.9], [2.4, 0.6], [0, 0.6]], edges: ["wall", "kerb", { condition: "drip",
    arc: { radius_m: 1.5 } }, "ask"], fall: { towards: "ask" } });
  assert.deepEqual(corners(turned), [[0, 0.6], [2.4, 0.6], [2.4, 0.9], [0, 0.9]]);
  const edges = turned.decks[0]!.corners.map((c) => c.edge);
  // A radius of 1.5 over a chord of 2.4 rises 0.6: 1.5 − √(1.5² − 1.2²).
  assert.deepEqual(edges[0], { arc: { bulge: 0.5 }, condition: "drip" });
  assert.deepEqual(edges.slice(1), [{ condition: "kerb" }, { condition: "wall" }, {}]);
  const deck = roofOf(turned)["deck"] as Fields;
  assert.deepEqual([(deck["edges"] as Json[])[3], deck["fall"]], ["ask", { towards: "ask" }]);
  assert.deepEqual(why(docOf({ deck: { outline: [[0]] } }, counted())), { key: "shape", path: "decks[0].outline" });
});

test("the tape: the L as it is called", () => {
  const r = called("7.2, left, 3.2, left, 4.0, right 2.4 left 3.2 left 5.6 left");
  assert.ok("walk" in r);
  assert.equal(walkText(r.walk), "7.2 left 3.2 left 4 right 2.4 left 3.2 left 5.6 left");
  assert.deepEqual(laid(r.walk).corners.at(-1), { x: 0, y: 0 });
  const part = called("7.2 left 3.2 left 4 right 2.4 left");
  assert.ok("walk" in part);
  assert.deepEqual(closing(part.walk)?.two, { turn: 90, first: 3.2, second: 5.6, between: { x: 0, y: 5.6 }, hand: "left" });
  const nearly = called("4 left 3 left 4 left");
  assert.deepEqual("walk" in nearly && closing(nearly.walk), { gap: 3, one: { turn: 90, length: 3, turnAtA: 90 }, two: null });
  const bay = called("2.4 arc 0.3 left45 1.1 left 45° 2 left free ? right");
  assert.deepEqual("walk" in bay && bay.walk, [{ length: 2.4, rise: 0.3, turn: { hand: "left", deg: 45 } }, { length: 1.1,
    turn: { hand: "left", deg: 45 } },
    { length: 2, turn: { hand: "left", deg: "free" } }, { length: null, turn: { hand: "right", deg: "square" } }]);
  assert.deepEqual(why(called("7.2 left tree")), { key: "walk", part: "length", at: 1, said: "tree" });
  assert.deepEqual(why(called("7.2 up 3")), { key: "walk", part: "turn", at: 1, said: "up" });
  assert.deepEqual([cornerName(0), cornerName(25), cornerName(26)], ["A", "Z", "A2"]);
});

test("a walk that went clockwise is turned, with its letters, and lies where it lay", () => {
  const r = called("3 right 2 right 1 left 1 right 2 right 3 right");
  assert.ok("walk" in r);
  const back = reversed(r.walk);
  assert.equal(walkText(back), "3 left 2 left 1 right 1 left 2 left 3 left");
  const t = taped(r.walk, [{ from: "A", to: "C", length_m: 3.6 }], counted());
  assert.ok(!("why" in t));
  assert.deepEqual(t.survey["measured"], [{ from: "A", length_m: 3.6, to: "E" }]);
  // Called along +x and then to the right, it lies below: A at 0,0, the corner before it at 0,-3.
  assert.deepEqual(t.corners.map((c) => [c.x, c.y])[1], [0, -3]);
  const doc = made(attempt({ decks: [], fields: {} }, tapeDeck, { walk: r.walk, measured: [], fresh: counted() }));
  assert.equal((why(attempt(doc, moveCorner, { corner: doc.decks[0]!.corners[0]!.id, to: { x: 1, y: 1 } })) as { key: string }).key,
    "taped");
  const longer = made(attempt(doc, setLength, { corner: doc.decks[0]!.corners[0]!.id, length: 3.1, moves: "end" }));
  assert.equal(((longer.decks[0]!.fields["survey"]) as Fields)["walk"], "3.1 left 2 left 1 right 1 left 2 left 3 left");
});

test("places of the engine lead to members", () => {
  const doc = read({ ...l, name: "L", penetrations: [{ kind: "pipe", at: [1, 1] }, { kind: "pipe", at: [1, 2], name: "soil pipe" }] });
  const id = (place: string): unknown => { const i = placeOf(doc, place), f = i === null ? null : find(doc, i); return f
    ? `${f.what} ${f.at}` : null; };
  assert.deepEqual(["decks[L].edges[2].height_mm", "decks[L].openings[RL1].kerb_mm", "decks[L].penetrations[penetration 1]",
    "decks[L].penetrations[soil pipe].at",
    "decks[L].fall", 'deck "L", edge 3 of 6 (wall)', 'deck "L", opening "RL1"', "deck L, edge 6 (drip)", "site.lat_deg",
      "decks[other].edges[0]"].map(id),
  ["corner 2", "piece 0", "piece 0", "piece 1", "deck 0", "corner 2", "piece 0", "corner 5", null, null]);
});

test("undo brings back what was chosen; typing joins until the field is left", () => {
  let doc = read(l), h = noHistory;
  for (const value of [1, 15, 150]) {
    const m = attempt(doc, setEdge, { corner: "m3", field: "height_mm", value }, "height m3");
    assert.ok("act" in m);
    h = record(h, m.act, "m3");
    doc = m.doc;
  }
  assert.deepEqual(h.done.map((e) => e.changes), [[setting("m3", ["edge", "height_mm"], undefined, 150)]]);
  h = settle(h);
  const gone = attempt(doc, removeCorner, { corner: "m3" });
  assert.ok("act" in gone);
  h = record(h, gone.act, "m3");
  const back = undo(h, gone.doc);
  assert.ok(back && "doc" in back);
  assert.deepEqual([back.chosen, JSON.stringify(back.doc)], ["m3", JSON.stringify(doc)]);
});

test("a change that does not fit says why, and joins only what belongs together", () => {
  const doc = read(l);
  assert.deepEqual(why(apply(doc, [setting("m1", ["x"], 5, 6)])), { key: "changed", id: "m1", field: "x" });
  assert.deepEqual(why(apply(doc, [setting("m1", ["a", "b"], undefined, 6)])), { key: "changed", id: "m1", field: "a.b" });
  assert.deepEqual(join([setting("m1", ["x"], 0, 1)], [setting("m1", ["x"], 1, 0)]), []);
  assert.equal(join([setting("m1", ["edge"], {}, { a: 1 })], [setting("m1", ["edge", "a"], 1, 2)]).length, 2);
  const twice = attempt(doc, addPiece, { deck: "m8", list: "openings", fields: {}, id: "m1" });
  assert.deepEqual(why(twice), { key: "twice", id: "m1" });
  const two = { ...doc, decks: [...doc.decks, { ...read(l).decks[0]!, id: "d2", corners: [], openings: [], fields: { name: "low" } }] };
  assert.deepEqual(why(attempt(two, setDeck, { deck: "m8", path: ["name"], value: "low" })), { key: "name", name: "low" });
});

test("a finger goes to corners, lines, right angles and round lengths, and says to which", () => {
  const doc = read(l), how = { reach: 0.1, step: 0.05 };
  assert.deepEqual(snap(doc, { x: 7.15, y: 3.26 }, how).guides.map((g) => g.to), ["corner"]);
  // On from the edge x = 7.2, square to the anchor at height 4.4.
  const both = snap(doc, { x: 7.23, y: 4.44 }, { ...how, anchors: [{ x: 3.2, y: 4.4 }] });
  assert.deepEqual([both.at, both.guides.map((g) => g.to).sort()], [{ x: 7.2, y: 4.4 }, ["axis", "extension"]]);
  const round = snap(doc, { x: 5.03, y: 4.42 }, { ...how, anchors: [{ x: 3.2, y: 4.4 }] });
  assert.deepEqual([round.at, round.guides.at(-1)], [{ x: 5.05, y: 4.4 }, { to: "length", from: { x: 3.2, y: 4.4 }, length: 1.85 }]);
  assert.deepEqual(snap(doc, { x: 9.023, y: 7.019 }, how).at, { x: 9, y: 7 });
  assert.deepEqual(snap(doc, { x: 9.023, y: 7.018 }, { reach: 0.1, step: 0.005 }).at, { x: 9.025, y: 7.02 });
});

test("a piece is found by its distances off the edges: of a wall its ends count, past an inner corner too", () => {
  const doc = read({ ...l, openings: [{ name: "CH", kind: "chimney", from: [4, 2.75], to: [4.9, 3.2] }] }), deck = doc.decks[0]!,
    piece = deck.openings[0]!;
  const off = offsetsOf(deck, "openings", piece);
  assert.deepEqual(off, [{ edge: 2, gap: 0, beyond: false }, { edge: 1, gap: 2.3, beyond: false }, { edge: 3, gap: 0.8, beyond: true }]);
  const moved = made(attempt(doc, movePiece, { piece: piece.id, by: offBy(deck, off[2]!, 1.2) }));
  assert.deepEqual(moved.decks[0]!.openings[0]!.fields["from"], [4.4, 2.75]);
  const other = made(attempt(doc, movePiece, { piece: piece.id, by: offBy(deck, off[1]!, 2) }));
  assert.deepEqual(other.decks[0]!.openings[0]!.fields["to"], [5.2, 3.2]);
});

test("what is set down over an edge stands clear of it: a chimney at its wall, a rooflight 0.3 m off", () => {
  const deck = read(l).decks[0]!;
  assert.deepEqual(within(deck, "chimney", { x: 5, y: 3.2 }), { x: 5, y: 2.975 });
  assert.deepEqual(within(deck, "chimney", { x: 5, y: 4.1 }), { x: 5, y: 2.975 }, "a finger outside the roof means its edge");
  assert.deepEqual(within(deck, "rooflight", { x: 5, y: 3.1 }), { x: 5, y: 2.4 });
  assert.deepEqual(within(deck, "rooflight", { x: 2, y: 2 }), { x: 2, y: 2 });
});

test("an opening is repeated in rows, each with a name of its own, in one act", () => {
  const doc = read(l), fresh = counted();
  let n = 0;
  const six = attempt(doc, repeatPiece, { piece: "m7", across: 3, up: 2, apart: { x: 2, y: 1.5 }, fresh: () => `r${++n}${fresh()}` });
  assert.ok("doc" in six);
  const list = six.doc.decks[0]!.openings;
  assert.deepEqual(list.map((p) => p.fields["name"]), ["RL1", "RL2", "RL3", "RL4", "RL5", "RL6"]);
  assert.deepEqual(list.at(-1)!.fields["from"], [8.6, 2.4]);
  const back = undo(record(noHistory, six.act, null), six.doc);
  assert.deepEqual(back && "doc" in back && back.doc, doc);
  assert.equal((why(attempt(doc, repeatPiece, { piece: "m7", across: 0, up: 2, apart: { x: 1, y: 1 }, fresh })) as { key: string }).key,
    "number");
});

test("undo has no end: what was laid aside long ago is taken back as well", () => {
  let doc = read(l), h = noHistory;
  const first = JSON.stringify(doc), kept = new Map<string, string>();
  for (let i = 0; i < 37; i++) {
    const m = attempt(doc, setEdge, { corner: "m3", field: "height_mm", value: 150 + i });
    assert.ok("act" in m);
    h = record(h, m.act, "m3");
    doc = m.doc;
    const part = parted(h, 10, `part ${i}`);
    if (part) kept.set(part.history.aside!.at(-1)!, JSON.stringify(part.entries));
    if (part) h = part.history;
    assert.ok(h.done.length <= 10);
    h = historyOf(JSON.parse(JSON.stringify(h)))!;
  }
  let undone = 0;
  for (;;) {
    if (h.done.length === 0 && h.aside?.length) h = rejoined(h, JSON.parse(kept.get(h.aside.at(-1)!)!)) ?? assert.fail("not rejoined");
    const s = undo(h, doc);
    if (!s) break;
    assert.ok("doc" in s);
    ({ doc, history: h } = s);
    undone++;
  }
  assert.deepEqual([undone, JSON.stringify(doc)], [37, first]);
  assert.equal(rejoined(h, []), null, "nothing is left aside");
  assert.equal(rejoined({ ...h, aside: ["x"] }, "no entries"), null);
});
