import assert from "node:assert/strict";
import test from "node:test";
import { formatArea, formatLength, parseLength, withUnit } from "./length";

test("lengths as they are written", () => {
  // 1 ft = 0.3048 m and 1 in = 25.4 mm, exactly (ISO 80000-3, international yard and pound agreement of 1959).
  const cases: [string, number | null][] = [["6.2", 6.2], ["6,20 m", 6.2], ["620 cm", 6.2], ["6200mm", 6.2], ["20' 4 1/2\"", 6.2103],
    ["8 ft 6 in", 2.5908],
    ["8'6\"", 2.5908], ["8'", 2.4384], ["4 1/2\"", 0.1143], ["6 in", 0.1524], [".5", 0.5], ["", null], ["left", null], ["6.2.1", null],
      ["8 ft 1/0 in", null], ["5 4", null]];
  for (const [text, want] of cases) assert.equal(parseLength(text), want, text);
  assert.equal(parseLength("10", "feet"), 3.048);
});

test("lengths as they are shown, and read back", () => {
  assert.deepEqual([7.2, 7.205, 0.05, -1.5].map((m) => formatLength(m)), ["7.20", "7.205", "0.05", "−1.50"]);
  assert.deepEqual([6.2103, 2.5908, 0.1143, 0.0127, 2.4384].map((m) => formatLength(m, "feet")), ["20' 4 1/2\"", "8' 6\"", "4 1/2\"",
    "1/2\"", "8' 0\""]);
  assert.equal(withUnit(7.2, "metres", ","), "7,20 m");
  assert.deepEqual([formatArea(29.24), formatArea(29.24, "feet")], ["29.2 m²", "315 sq ft"]);
  for (let k = 0; k < 2000; k++) {
    const m = k * 0.0127;
    assert.ok(Math.abs(parseLength(formatLength(m, "feet"))! - m) < 1e-4, formatLength(m, "feet"));
  }
});
