// The tape pressed key by key: the L of the sketch, with what would close it on the way.

import assert from "node:assert/strict";
import test from "node:test";
import { walkText } from "../model/walk";
import { parseLength } from "../words/length";
import { closesWith, pressed, sketchOf, startTaping, tapedAgain, type Key, type Taping } from "./taping";

/** press reads keys as they are pressed: digits, L and R, N for next, < for erase, O other turn, ? not reached, C close it so. */
function press(keys: string, t: Taping = startTaping): Taping {
  const named: { readonly [key: string]: Key } = { L: "left", R: "right", N: "next", "<": "erase", O: "other", "?": "unreached",
    C: "closing", A: "arc", F: "free", f: "from", t: "to" };
  for (const k of keys.replaceAll(" ", "")) t = pressed(t, named[k] ?? { digit: k }, parseLength);
  return t;
}

test("the L is called with its turns, and its last side needs none", () => {
  const part = press("7.2 L 3.2 L 4 R 2.4");
  assert.deepEqual(sketchOf(part, parseLength).closing?.two, { turn: 90, first: 3.2, second: 5.6, between: { x: 0, y: 5.6 },
    hand: "left" });
  const last = press("L 3.2 L 5.6", part);
  assert.equal(closesWith(last, 5.6), true);
  const done = press("N", last);
  assert.equal(walkText(done.walk), "7.2 left 3.2 left 4 right 2.4 left 3.2 left 5.6");
  assert.equal(done.asks, "diagonal");
  assert.deepEqual(press("7.88 N", done).measured, [{ from: "A", length_m: 7.88, to: "C" }]);
});

test("next alone goes round a rectangle; a wrong key is taken back", () => {
  assert.equal(walkText(press("4 N 3 N 4 N 3 N").walk), "4 left 3 left 4 left 3");
  assert.equal(walkText(press("4 N 33 < N < < 3 N 4 N 3.05 N").walk), "4 left 3 left 4 left 3.05");
  assert.equal(walkText(press("4 R 3 N 4 N 3 N").walk), "4 right 3 right 4 right 3");
  assert.deepEqual(press("N L R . N"), { ...startTaping, typed: "." });
  assert.equal(press("4 L 12.5 L <").typed, "12.5");
  assert.equal(press("4 O <").typed, "4");
});

test("feet and inches are typed and taken back as such; a survey goes on where it was left", () => {
  const feet = (text: string): number | null => parseLength(text, "feet");
  let t = startTaping;
  for (const k of [..."7'6"].map((digit): Key => ({ digit }))) t = pressed(t, k, feet);
  t = pressed(t, "left", feet);
  assert.deepEqual([t.walk[0]?.length, pressed(t, "erase", feet).typed], [2.286, "7'6"]);
  const again = tapedAgain([{ length: 4, turn: { hand: "left", deg: "square" } }, { length: 3 }, { length: null }],
    [{ from: "A", length_m: 5, to: "C" }], String);
  assert.deepEqual([again.asks, pressed(again, "erase", feet).measured, pressed(pressed(again, "erase", feet), "erase", feet).walk.length],
    ["diagonal", [], 2]);
});

test("turns of any angle, curves, sides not reached", () => {
  assert.equal(walkText(press("4 O 60 L 2 O R 1 O F").walk), "4 left 60° 2 right 45° 1 free");
  assert.deepEqual(press("2.4 O A 0.3 L").walk, [{ length: 2.4, rise: 0.3, turn: { hand: "left", deg: "square" } }]);
  const so = press("7.2 L 3.2 L 4 R 2.4 L C");
  assert.equal(walkText(so.walk), "7.2 left 3.2 left 4 right 2.4 left ? left ? left");
  // A turn that was worked out from the drawing is never called as measured.
  const askew = press("4 L 3 L C");
  assert.equal(walkText(askew.walk), "4 left 3 left ? left ? left");
  const point = press("4 O 120 L 4 L C");
  const end = sketchOf(point, parseLength).corners.at(-1)!;
  assert.equal(walkText(point.walk), "4 left 120° 4 left free ?");
  assert.ok(Math.hypot(end.x, end.y) < 1e-3, "drawn back to A");
  assert.deepEqual([so.asks, so.walk.map((s) => s.drawn)], ["diagonal", [undefined, undefined, undefined, undefined, 3.2, 5.6]]);
  assert.deepEqual([press("f", so).from, press("t", so).to], [1, 3]);
});

test("a walk that does not close is ended all the same, and its reading is mended at its place", () => {
  const short = press("7.2 L 3.2 L 4 R 2.4 L 3.2 L 4.6");
  assert.equal(closesWith(short, 4.6), false);
  const ended = pressed(short, "ends", parseLength);
  assert.deepEqual([ended.asks, walkText(ended.walk)], ["diagonal", "7.2 left 3.2 left 4 right 2.4 left 3.2 left 4.6"]);
  assert.equal(pressed(press("4 N 3"), "ends", parseLength).asks, "length", "two sides are no outline");
  // The engine names F–A: it becomes what the rest wants, or is measured anew.
  const mended = pressed(ended, { mend: { from: "F", to: "A" }, length: 5.6 }, parseLength);
  assert.deepEqual([mended.walk[5]!.length, mended.walk.length], [5.6, 6]);
  const again = pressed(ended, { again: { from: "F", to: "A" } }, parseLength);
  assert.equal(again.asks, "again");
  assert.deepEqual([press("5.61 N", again).walk[5]!.length, press("5.61 N", again).asks], [5.61, "diagonal"]);
  assert.equal(press("<", again).asks, "diagonal");
  assert.deepEqual(pressed(ended, { mend: { from: "F", to: "Z" }, length: 5.6 }, parseLength), ended);
});

test("two corners tapped are a diagonal, two neighbours the side between; what the engine wants waits for nobody's half typed figure",
  () => {
  const done = press("7.2 L 3.2 L 4 R 2.4 L 3.2 L 5.6 N");
  const tap = (t: Taping, ...corners: number[]): Taping => corners.reduce((x, corner) => pressed(x, { corner }, parseLength), t);
  assert.deepEqual([tap(done, 1).picked, tap(done, 1, 5).from, tap(done, 1, 5).to, tap(done, 1, 5).asks], [1, 1, 5, "diagonal"]);
  assert.deepEqual([tap(done, 3, 4).asks, tap(done, 0, 5).asks, tap(done, 2, 2).picked, tap(done, 6).picked], ["again", "again", null,
    null]);
  const two = press("9.1 N", tap(done, 1, 5));
  assert.deepEqual(two.measured, [{ from: "B", length_m: 9.1, to: "F" }]);
  const better = pressed(two, { mend: { from: "F", to: "B" }, length: 9.121 }, parseLength);
  assert.deepEqual(better.measured, [{ from: "B", length_m: 9.121, to: "F" }]);
  assert.deepEqual(pressed(better, { drop: 0 }, parseLength).measured, []);
  const wanted: Key = { wanted: { from: "B", to: "E" } };
  assert.deepEqual([pressed(done, wanted, parseLength).from, pressed(done, wanted, parseLength).to], [1, 4]);
  const half = press("9", done);
  assert.deepEqual(pressed(half, wanted, parseLength), half);
});
