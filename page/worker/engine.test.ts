// Random rows of edits, planned by the very engine that the page runs: whatever a hand makes of a roof, the engine plans it or
// says why not. It needs the engine: 'bash scripts/engine.sh 5' builds it.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { runInThisContext } from "node:vm";
import { brotliDecompressSync } from "node:zlib";
import { attempt, setEdge, turnFall } from "../model/commands";
import type { Doc } from "../model/doc";
import { apply, invert } from "../model/change";
import { arrowsOf, kindOf } from "../model/falls";
import type { Act } from "../model/history";
import { roofText } from "../model/roofjson";
import { counted, Random, randomEdit, start } from "../model/wander";
import type { Answer, Ground, Refusal } from "./answers";

type Ask = (kind: string, question: string, stop: null, step: (s: string) => void) => { readonly answer?: string;
  readonly refusal?: string };

/** stepsOfRow: short enough that one row in five has a plan. */
const stepsOfRow = 6;

/** started is the engine in this process. */
async function started(): Promise<Ask> {
  const scope = globalThis as unknown as { Go: new () => { importObject: WebAssembly.Imports; run(i: WebAssembly.Instance): Promise<void> };
    gelwrightAsk: Ask };
  runInThisContext(readFileSync("web/engine/wasm_exec.js", "utf8"));
  const go = new scope.Go(), engine = brotliDecompressSync(readFileSync("web/engine/desk.wasm.br"));
  void go.run(await WebAssembly.instantiate(await WebAssembly.compile(new Uint8Array(engine)), go.importObject));
  return scope.gelwrightAsk;
}

/** said makes a roof of which everything is said that a plan must know: what stays open is answered at random. */
function said(doc: Doc, r: Random): Doc {
  let now = doc;
  const take = (m: ReturnType<typeof attempt>): void => { if ("doc" in m) now = m.doc; };
  for (const d of doc.decks) {
    for (const c of d.corners) {
      if (c.edge["condition"] === undefined) take(attempt(now, setEdge, { corner: c.id, field: "condition", value: r.of(["drip", "kerb",
        "wall", "verge"]) }));
    }
    const kind = kindOf(d);
    if (kind === null || (kind === "one way" && arrowsOf(d).length === 0)) {
      take(attempt(now, turnFall, { deck: d.id, plane: "only", towards: r.of([{ x: 0, y: -1 }, { x: 1, y: 0 }, { x: -0.4, y: 1 }]) }));
    }
  }
  return now;
}

/** explained holds a refusal to what a person needs: why, and of a fault in the roof its place and what would mend it. */
function explained(why: Refusal): void {
  assert.ok(why.message.length > 10, JSON.stringify(why));
  assert.doesNotMatch(why.message, /panic|runtime error|goroutine|nil pointer|index out of range/);
  for (const f of why.faults) assert.ok(f.message !== "" && (f.remedy !== "" || f.warning), JSON.stringify(f));
}

test("whatever is drawn is planned, or it is said why not", async () => {
  const ask = await started(), seed = Number(process.env["SEED"] ?? "20261130"), rows = Number(process.env["PLANNED"] ?? "300");
  const answer = <T>(kind: string, question: object): T | null => {
    const a = ask(kind, JSON.stringify(question), null, () => {});
    if (a.refusal !== undefined) explained(JSON.parse(a.refusal) as Refusal);
    return a.answer === undefined ? null : (JSON.parse(a.answer) as T);
  };
  let planned = 0, figures = 0;
  console.log(`seed ${seed}, ${rows} rows`);
  for (let i = 0; i < rows; i++) {
    const r = new Random(seed + i * 7919), fresh = counted(), acts: Act[] = [];
    let doc: Doc = { fields: start, decks: [] };
    for (let k = 0; k < stepsOfRow; k++) {
      const e = randomEdit(doc, r, fresh), made = e.make(doc);
      if ("why" in made) continue;
      acts.push(made.act);
      doc = made.doc;
    }
    if (doc.decks.length === 0) continue;
    const roof = said(doc, r), text = { name: "roof.yaml", text: roofText(roof) };
    const where = `row ${i} of seed ${seed}: ${text.text}`;
    const ground = answer<Ground>("ground", text), plan = answer<Answer>("plan", { ...text, firm: "", forecast: "", from: "",
      temp_c: null });
    if (plan) {
      planned++;
      figures += plan.figures.length;
      assert.ok(ground && plan.figures.every((f) => Number.isFinite(Number(f.value))), where);
      assert.ok(plan.worries.every((w) => w.title !== ""), where);
    }
    const back = acts.toReversed().reduce<Doc>((d, a) => { const u = apply(d, invert(a.changes)); return "doc" in u ? u.doc
      : assert.fail(where); }, doc);
    assert.deepEqual(back, { fields: start, decks: [] }, where);
  }
  console.log(`${planned} of ${rows} are planned, the others told why not`);
  assert.ok(planned >= rows / 10 && figures > 0, `only ${planned} rows have a plan: the hands try too little`);
});
