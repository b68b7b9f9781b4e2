// The worker: the engine as WebAssembly, one question after another. It has no view of the page.

import type { Ask, Start, Told } from "./protocol";

interface Asked {
  readonly answer?: string;
  readonly refusal?: string;
}

interface GoRuntime {
  readonly importObject: WebAssembly.Imports;
  run(instance: WebAssembly.Instance): Promise<void>;
}

interface Scope {
  Go?: new () => GoRuntime;
  readonly location: Location;
  gelwrightAsk: (kind: string, question: string, stop: Int32Array | null, progress: (step: string) => void) => Asked;
  onmessage: ((e: MessageEvent<Ask | Start>) => void) | null;
  postMessage(told: Told): void;
  importScripts: (address: string) => void;
}

const scope = globalThis as unknown as Scope;
const tell = (told: Told): void => scope.postMessage(told);

async function start(from: WebAssembly.Module | Uint8Array): Promise<void> {
  const began = performance.now();
  // The runtime's own script lies beside this one; the one-file job has both in one.
  if (!scope.Go) scope.importScripts(new URL("wasm_exec.js", scope.location.href).href);
  const go = new scope.Go!();
  const engine = from instanceof WebAssembly.Module ? from : await unpacked(from), instance = await WebAssembly.instantiate(engine,
    go.importObject);
  void go.run(instance); // ends with the worker
  tell({ kind: "ready", ms: performance.now() - began });
}

/** unpacked is the engine of a one-file job. */
async function unpacked(packed: Uint8Array): Promise<WebAssembly.Module> {
  const wide = new Blob([packed as BlobPart]).stream().pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compile(await new Response(wide).arrayBuffer());
}

function ask(q: Ask): void {
  const began = performance.now();
  const a = scope.gelwrightAsk(q.kind, q.question, q.stop, (step) => tell({ kind: "step", id: q.id, step }));
  const ms = performance.now() - began;
  if (a.refusal !== undefined) tell({ kind: "refusal", id: q.id, refusal: JSON.parse(a.refusal), ms });
  else tell({ kind: "answer", id: q.id, answer: a.answer ?? "null", ms });
}

scope.onmessage = (e) => {
  if ("start" in e.data) start(e.data.start).catch((why: unknown) => tell({ kind: "broken", message: String(why) }));
  else ask(e.data);
};
