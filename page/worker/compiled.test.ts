// A program that was built without its engine says so in its page, with what to do.

import assert from "node:assert/strict";
import test from "node:test";
import { compiled } from "./compiled";

test("an engine that is not there is told in the server's words", async () => {
  const remedy = "Run 'bash scripts/build.sh' and start bin/gelwright: it carries the engine";
  const answers: readonly (readonly [string, RegExp])[] = [
    [JSON.stringify({ code: "unknown", detail: "the engine was not built into this program", remedy }),
      /^Error: the engine was not built into this program\. Run 'bash scripts\/build\.sh'/],
    ["<html>not found</html>", /^Error: the server answers 404 for desk\.wasm$/],
    ["{}", /^Error: the server answers 404 for desk\.wasm$/],
  ];
  for (const [body, said] of answers) {
    await assert.rejects(compiled("desk.wasm", async () => new Response(body, { status: 404 })), (why) => said.test(String(why)));
  }
});

test("an engine that is there is compiled", async () => {
  const empty = new Uint8Array([0, 0x61, 0x73, 0x6d, 1, 0, 0, 0]);
  const module = await compiled("desk.wasm", async () => new Response(empty, { headers: { "Content-Type": "application/wasm" } }));
  assert.ok(module instanceof WebAssembly.Module);
});
