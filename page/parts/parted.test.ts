// Fields of the roof file fall into the parts that their paths name.

import assert from "node:assert/strict";
import test from "node:test";
import { parted, partOf } from "./parted";

test("a length says whose it is: fields stand under the part that their path names", () => {
  const fields = ["spec.board.length_m", "spec.resin", "spec.insulation.material", "spec.board.material", "name"];
  assert.deepEqual(parted(fields, (f) => partOf(f, false)), [
    { part: "", rows: ["name"] }, { part: "board", rows: ["spec.board.length_m", "spec.board.material"] },
    { part: "resin", rows: ["spec.resin"] },
    { part: "insulation", rows: ["spec.insulation.material"] }]);
  assert.deepEqual(["spec.end_lap_mm", "spec.coat_resin", "spec.top_coat.coats", "spec.build_up", "use.below"].map((f) =>
    partOf(f, false)), ["mat", "top_coat", "top_coat", "", ""]);
  assert.deepEqual(["base.joist_span_m", "level_m"].map((f) => partOf(f, true)), ["base", ""]);
  assert.deepEqual(parted([], () => ""), []);
});
