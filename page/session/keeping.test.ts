// Keeping without a server: what is sent, what is laid aside, and that it all comes back.

import assert from "node:assert/strict";
import test from "node:test";
import { attempt, setJob } from "../model/commands";
import { historyOf } from "../model/history";
import type { Engine } from "../worker/bridge";
import { Keeping, mostEntries } from "./keeping";
import type { Document } from "./office";
import { emptyDoc, Session } from "./session";

/** Server answers what the page asks of it, in memory; fails is how often in a row nobody answers. */
class Server {
  readonly files = new Map<string, string>();
  readonly states: { readonly id: string; readonly document: Document }[] = [];
  fails = 0;
  readonly fetch = async (path: string, init?: RequestInit): Promise<Response> => {
    if (this.fails-- > 0) throw new TypeError("nobody answers");
    const name = /\/files\/(.+)$/.exec(path)?.[1];
    if (name !== undefined && init?.method === "PUT") this.files.set(name, String(init.body));
    else if (name !== undefined) return new Response(this.files.get(name) ?? null, { status: this.files.has(name) ? 200 : 404 });
    else this.states.push(JSON.parse(String(init?.body)) as (typeof this.states)[number]);
    return Response.json({ seq: this.states.length });
  };
}

const silent = { ask: () => new Promise(() => {}), onReady: () => {}, onBroken: () => {} } as unknown as Engine;

/** until waits for what promises bring about. */
async function until(what: string, holds: () => boolean): Promise<void> {
  for (let k = 0; k < 5000; k++) {
    if (holds()) return;
    await new Promise((done) => setImmediate(done));
  }
  assert.fail(what);
}

const kept = (s: Session) => (): boolean => s.kept.value.state === "kept";

test("undo goes on where the history was laid aside, after a reload too", async () => {
  const server = new Server(), s = new Session(silent), first = emptyDoc("", "2026-05-11"), acts = mostEntries + 50;
  globalThis.fetch = server.fetch as typeof fetch;
  s.open(first, { done: [], undone: [], open: null });
  new Keeping(s, "job", 0);
  for (let i = 1; i <= acts; i++) {
    s.made(attempt(s.doc.value, setJob, { path: ["name"], value: `name ${i}` }));
    if (i % 25 === 0) await until("kept", kept(s));
  }
  await until("kept", kept(s));
  assert.equal(server.files.size, 1, "the oldest were laid aside once");
  const last = server.states.at(-1)!.document.page!;
  assert.ok(server.states.every((x) => x.document.page!.history.done.length <= mostEntries));
  const again = new Session(silent);
  again.open(last.doc, historyOf(last.history)!);
  new Keeping(again, "job", server.states.length);
  let undone = 0;
  for (; again.canUndo.value; undone++) {
    const before = again.doc.value;
    again.undo();
    await until("undone", () => again.doc.value !== before);
  }
  assert.deepEqual([undone, again.doc.value], [acts, first]);
  await until("kept", kept(again));
});

test("what nobody acknowledged is sent again as it was, and a state that cannot be laid aside waits", async () => {
  const server = new Server(), s = new Session(silent);
  globalThis.fetch = server.fetch as typeof fetch;
  s.open(emptyDoc("", "2026-05-11"), { done: [], undone: [], open: null });
  new Keeping(s, "job", 0);
  server.fails = 1;
  s.made(attempt(s.doc.value, setJob, { path: ["name"], value: "a" }));
  await until("told", () => s.kept.value.state === "not kept");
  assert.equal(server.states.length, 0);
  await new Promise((done) => setTimeout(done, 3200));
  await until("kept", kept(s));
  assert.deepEqual(server.states.map((x) => (x.document.roof as { name: string }).name), ["a"]);
});

test("what somebody else kept meanwhile is told and joined, and nothing is kept over it", async () => {
  const s = new Session(silent), sent: { path: string; body: { based_on: number; id?: string; choices?: unknown } }[] = [];
  const difference = { key: "/name", where: "", field: "name", before: "a", mine: "b", theirs: "c", clash: true, taken: "mine",
    chosen: false };
  const theirs: Document = { roof: { name: "c" }, page: { doc: { fields: { name: "c" }, decks: [] }, history: { done: [], undone: [],
    open: null } } };
  globalThis.fetch = (async (path: string, init?: RequestInit): Promise<Response> => {
    const body = JSON.parse(String(init?.body)) as (typeof sent)[number]["body"];
    sent.push({ path, body });
    if (path.endsWith("/states")) {
      return body.based_on === 1 ? Response.json({ code: "conflict", detail: "the job has moved on", remedy: "" }, { status: 409 })
        : Response.json({ seq: body.based_on + 1 });
    }
    const kept = body.id !== undefined && JSON.stringify(body.choices) === '{"/name":"theirs"}';
    return Response.json({ seq: kept ? 3 : 2, kept, open: kept ? 0 : 1, document: theirs, differences: [difference] });
  }) as typeof fetch;
  s.open(emptyDoc("a", "2026-05-11"), { done: [], undone: [], open: null });
  new Keeping(s, "job", 1);
  s.made(attempt(s.doc.value, setJob, { path: ["name"], value: "b" }));
  await until("told", () => s.differing.value !== null);
  assert.deepEqual([s.kept.value.state, s.differing.value!.differences], ["not kept", [difference]]);
  await s.differing.value!.join({});
  assert.equal(s.doc.value.fields["name"], "b", "an open clash joins nothing");
  await s.differing.value!.join({ "/name": "theirs" });
  assert.deepEqual([s.differing.value, s.kept.value.state, s.doc.value.fields["name"]], [null, "kept", "c"]);
  s.made(attempt(s.doc.value, setJob, { path: ["name"], value: "d" }));
  await until("kept", kept(s));
  assert.equal(sent.at(-1)!.body.based_on, 3, "what follows is based on what was joined");
});
