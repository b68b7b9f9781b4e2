// Hands on the sheet without a screen: where a drag leads, what a drop puts in, how pixels and
// metres go over into each other.

import assert from "node:assert/strict";
import test from "node:test";
import type { Doc, Fields } from "../model/doc";
import { kindOf } from "../model/falls";
import { bends, inside } from "../model/geometry";
import { docOf } from "../model/roofjson";
import { en } from "../words/en";
import { dragged, hitOf, hitText } from "./gesture";
import { dropped, scaledBy } from "./mode";
import { pinched } from "./pointers";
import { arrowBox } from "./marks";
import { arrowsAt, clearOf, fitsIn, jointHasRoom, roomiest, wordsAt } from "./room";
import { edgePath, joistLines, lieOf, upright } from "./shape";
import { sayAct, sayWhy } from "./speech";
import { extent, fit, inMetres, onSheet, zoomed } from "./view";

function read(deck: Fields): Doc {
  let n = 0;
  const r = docOf({ name: "Invented roof", version: 1, deck }, () => `m${++n}`);
  if ("why" in r) assert.fail(JSON.stringify(r.why));
  return r.doc;
}

const l = (): Doc => read({
  edges: ["drip", "kerb", "wall", "wall", "kerb", "drip"], exit: [7.2, 1.6], fall: { ratio: 40, towards: "south" },
  openings: [{ from: [4.6, 0.9], kind: "rooflight", name: "RL1", to: [6.1, 1.9] }], outline: [[0, 0], [7.2, 0], [7.2, 3.2], [3.2, 3.2],
    [3.2, 5.6], [0, 5.6]] });

const how = { reach: 0.1, step: 0.05 };

test("a drag is drawn to what is near, and the sheet is told to what", () => {
  const doc = l(), before = JSON.stringify(doc);
  const corner = dragged(doc, { kind: "corner", id: "m4", part: "" }, { x: 3.2, y: 3.2 }, { x: 2.97, y: 3.23 }, how);
  assert.ok("doc" in corner.made);
  assert.deepEqual(corner.made.doc.decks[0]!.corners[3], { id: "m4", x: 2.95, y: 3.2, edge: { condition: "wall" } });
  assert.deepEqual(corner.guides.map((g) => g.to), ["axis", "length"]);
  // The right edge, half a metre out: the edge before it becomes 7.70, a round length.
  const edge = dragged(doc, { kind: "edge", id: "m2", part: "" }, { x: 7.2, y: 1 }, { x: 7.717, y: 1.4 }, how);
  assert.deepEqual("doc" in edge.made && edge.made.doc.decks[0]!.corners[1]!.x, 7.7);
  // The top of the long arm comes in line with the inner corner's edge.
  const line = dragged(doc, { kind: "edge", id: "m5", part: "" }, { x: 1, y: 5.6 }, { x: 1, y: 3.26 }, how);
  assert.equal(line.guides[0]?.to, "extension");
  // A rooflight goes against the wall.
  const piece = dragged(doc, { kind: "piece", id: "m7", part: "" }, { x: 5, y: 1 }, { x: 5.01, y: 2.33 }, how);
  assert.deepEqual("doc" in piece.made && piece.made.doc.decks[0]!.openings[0]!.fields["to"], [6.11, 3.2]);
  const arrow = dragged(doc, { kind: "fall", id: "m8", part: "only" }, { x: 0, y: 0 }, { x: 9, y: 2.3 }, how);
  assert.deepEqual("doc" in arrow.made && arrow.made.doc.decks[0]!.fields["fall"], { ratio: 40, towards: "east" });
  const size = dragged(doc, { kind: "size", id: "m7", part: "2" }, { x: 6.1, y: 1.9 }, { x: 6.52, y: 2.41 }, how);
  assert.deepEqual("doc" in size.made && size.made.doc.decks[0]!.openings[0]!.fields["to"], [6.5, 2.4]);
  const bend = dragged(doc, { kind: "bend", id: "m1", part: "" }, { x: 3.6, y: 0 }, { x: 3.6, y: -0.72 }, how);
  assert.deepEqual("doc" in bend.made && bend.made.doc.decks[0]!.corners[0]!.edge["arc"], { bulge: 0.2 });
  const cross = dragged(doc, { kind: "corner", id: "m4", part: "" }, { x: 3.2, y: 3.2 }, { x: -1, y: 3 }, how);
  assert.deepEqual("why" in cross.made && sayWhy(en, cross.made.why), "Edges 3 and 6 would cross.");
  assert.equal(JSON.stringify(doc), before);
});

test("what is dropped stands in the deck that it was dropped on, with a name of its own", () => {
  const first = dropped(l(), "chimney", [{ x: 1, y: 4 }], (k) => k);
  assert.ok("doc" in first);
  assert.deepEqual(first.doc.decks[0]!.openings[1]!.fields, { from: [0.7, 3.775], kind: "chimney", name: "chimney 1", to: [1.3, 4.225] });
  const second = dropped(first.doc, "chimney", [{ x: 1, y: 1 }], (k) => k);
  assert.deepEqual("doc" in second && second.doc.decks[0]!.openings[2]!.fields["name"], "chimney 2");
  const joint = dropped(l(), "joint", [{ x: 3, y: 0 }, { x: 3, y: 5 }], (k) => k);
  assert.deepEqual("doc" in joint && joint.doc.decks[0]!.movement_joints[0]!.fields, { line: [[3, 0], [3, 5]] });
  assert.ok("why" in dropped({ fields: {}, decks: [] }, "pipe", [{ x: 0, y: 0 }], (k) => k));
});

test("pixels and metres", () => {
  const v = fit(extent(l()), 1000, 800, 84), p = { x: 3.2, y: 5.6 };
  const there = inMetres(v, onSheet(v, p));
  assert.ok(Math.hypot(there.x - p.x, there.y - p.y) < 1e-9);
  for (const c of l().decks[0]!.corners) {
    const q = onSheet(v, c);
    assert.ok(q.x > 80 && q.x < 920 && q.y > 60 && q.y < 740, "room for names and dimensions");
  }
  const z = zoomed(v, { x: 400, y: 300 }, 2), held = inMetres(v, { x: 400, y: 300 });
  assert.ok(Math.abs(onSheet(z, held).x - 400) < 1e-9 && z.scale === 2 * v.scale);
  const apart = pinched(v, new Map([[1, { x: 100, y: 100 }], [2, { x: 200, y: 100 }]]), new Map([[1, { x: 100, y: 100 }],
    [2, { x: 300, y: 100 }]]));
  assert.equal(apart.scale, 2 * v.scale);
  const u = scaledBy({ url: "", width: 100, height: 50, at: { x: 0, y: 0 }, scale: 0.01 }, { x: 0.2, y: 0.2 }, { x: 0.7, y: 0.2 }, 5);
  assert.ok(Math.abs(u.scale - 0.1) < 1e-12 && Math.hypot(u.at.x + 1.8, u.at.y + 1.8) < 1e-12);
});

test("how edges lie and are drawn", () => {
  const doc = l(), ring = bends(doc.decks[0]!.corners);
  assert.deepEqual(ring.map((_, i) => lieOf(doc, ring, i, 0).free), [true, true, false, false, true, true]);
  assert.deepEqual([{ x: 1, y: 0 }, { x: -1, y: 0 }, { x: 0, y: 1 }, { x: 0, y: -1 }].map(upright), [0, 0, -90, -90]);
  assert.equal(edgePath({ scale: 100, x0: 0, y0: 0 }, { a: { x: 0, y: 0 }, b: { x: 2, y: 0 }, bulge: 1 }), "M0,0A100 100 0 0 0 200,0");
  assert.ok(inside(ring, roomiest(ring, [{ low: { x: 4.6, y: 0.9 }, high: { x: 6.1, y: 1.9 } }], []).at));
  assert.deepEqual([hitOf(hitText("size", "m7", "2")), hitOf("nothing:x:"), hitOf(null)], [{ kind: "size", id: "m7", part: "2" }, null,
    null]);
  assert.deepEqual([sayAct(en, "moveEdge"), sayAct(en, "other"), kindOf(doc.decks[0]!)], ["Edge moved", "other", "one way"]);
});

test("joists lie as the fields say: from the lowest corner on, so far apart, in their direction", () => {
  const deck = l().decks[0]!, with_ = (base: Fields) => joistLines({ ...deck, fields: { ...deck.fields, base } });
  const up = with_({ joist_bearing_deg: 90, joist_spacing_mm: 400 });
  assert.equal(up.length, 19, "7.2 m over 0.4 m, and the first");
  assert.deepEqual(up.map(([a]) => Math.round(a.x * 10) / 10).toSorted((a, b) => a - b).slice(0, 3), [0, 0.4, 0.8]);
  assert.ok(up.every(([a, b]) => Math.abs(a.x - b.x) < 1e-9 && Math.abs(Math.abs(a.y - b.y) - 5.6) < 1e-9));
  const across = with_({ joist_bearing_deg: 0, joist_spacing_mm: 600 });
  assert.deepEqual([across.length, across[0]![0].y, across[1]![0].y], [10, 0, 0.6]);
  assert.deepEqual([with_({ joist_spacing_mm: 400 }).length, with_({ joist_bearing_deg: 0 }).length, with_({ joist_bearing_deg: 0,
    joist_spacing_mm: 4 }).length], [0, 0, 0]);
});

test("a deck's words stand clear of its arrows, openings and folds; an arrow goes off a rooflight to the nearer side", () => {
  const deck = l().decks[0]!, at = wordsAt(deck, 60).at, arrow = arrowsAt(deck, 60)[0]!;
  assert.ok(Math.hypot(at.x - arrow.where.x, at.y - arrow.where.y) > 0.6,
    `words at ${at.x}, ${at.y}, arrow at ${arrow.where.x}, ${arrow.where.y}`);
  const lit = { ...deck, openings: [{ id: "o", fields: { kind: "rooflight", from: [arrow.at.x - 0.2, arrow.at.y - 0.5],
    to: [arrow.at.x + 0.8, arrow.at.y + 0.5] } }] };
  const moved = arrowsAt(lit, 60)[0]!.where;
  assert.ok(moved.x + 24 / 60 <= arrow.at.x - 0.2 || moved.x - 24 / 60 >= arrow.at.x + 0.8 - 1e-9, `the arrow stays at ${moved.x}`);
});

test("words keep off rooflights and joints, and within the outline: what has no room is not said", () => {
  const hall = read({ edges: ["drip", "kerb", "kerb", "kerb"], fall: { ratio: 40, towards: "south" }, outline: [[0, 0], [40, 0], [40, 25],
    [0, 25]], movement_joints: [[[20, 0], [20, 25]]], openings: [{ from: [10, 10], kind: "rooflight", name: "RL1",
      to: [12, 12] }] }).decks[0]!;
  const box = arrowBox({ x: 0, y: -1 }, "fall 1:40"), near = { x: 8, y: 11 };
  assert.deepEqual([8, 80].map((scale) => clearOf(hall, scale, near, box)), [false, true], "beside a rooflight, far off and near");
  assert.deepEqual([8, 80].map((scale) => clearOf(hall, scale, { x: 18, y: 5 }, box)), [false, true], "beside a joint");
  assert.deepEqual(arrowBox({ x: 1, y: 0 }, "fall 1:40"), { left: 31.5, right: 31.5, up: 20, down: 0 });
  assert.deepEqual([8, 80].map((scale) => fitsIn(hall, scale, { x: 38, y: 5 }, box)), [false, true], "beside the edge");
  const arrow = arrowsAt(hall, 25)[0]!.where, area = { left: 40, right: 40, up: 12, down: 8 };
  assert.ok(clearOf(hall, 25, arrow, box), `the arrow in the middle goes off the joint, not to ${arrow.x}, ${arrow.y}`);
  assert.ok(clearOf(hall, 25, wordsAt(hall, 25, area).at, area), "so do the words of the deck");
  assert.deepEqual(arrowsAt(hall, 3.2)[0]!.where, { x: 20, y: 12.5 }, "with no room for its words it stays, not at the edge");
  assert.deepEqual([{ x: 20, y: 6 }, { x: 5, y: 6 }].map((p) => jointHasRoom(hall, 8, p, 0)), [false, true], "across a joint, and not");
  assert.deepEqual([{ x: 12, y: 11 }, { x: 30, y: 11 }].map((p) => jointHasRoom(hall, 8, p, -90)), [false, true], "by a rooflight");
  assert.equal(wordsAt(hall, 2, { ...area, left: 200, right: 200 }).room, 0, "or there is no room");
});
