// The server joins documents in the page's own form (package joining) and writes their roof anew: these documents, of random edits,
// are what it is held to. RENEW=1 writes them.

import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import test from "node:test";
import type { Doc } from "./doc";
import { noHistory, record, type History } from "./history";
import { roofOf } from "./roofjson";
import { counted, Random, randomEdit, start } from "./wander";

const file = "joining/testdata/page.json";

/** document is what the page keeps after a row of random edits. */
function document(seed: number, steps: number): unknown {
  const r = new Random(seed), fresh = counted();
  let doc: Doc = { fields: start, decks: [] }, history: History = noHistory;
  for (let i = 0; i < steps; i++) {
    const made = randomEdit(doc, r, fresh).make(doc);
    if ("why" in made) continue;
    history = record(history, made.act, null);
    doc = made.doc;
  }
  return { page: { doc, history: { ...history, done: history.done.slice(-2), open: null } }, roof: roofOf(doc) };
}

test("the roofs of these documents are those that the server's joining is held to", () => {
  const written = `[${Array.from({ length: 12 }, (_, i) => JSON.stringify(document(20261130 + i * 7919, 6 + 4 * i))).join(",\n")}]\n`;
  if (process.env["RENEW"] === "1") writeFileSync(file, written);
  assert.equal(readFileSync(file, "utf8"), written, "run with RENEW=1, then look at what changed");
});
