// Plans a roof with the WebAssembly build of the desk in node: the plan as JSON on the
// standard output, how long it took on the error stream.
//
//   GOOS=js GOARCH=wasm go build -o desk.wasm ./cmd/wasm
//   node --stack-size=8192 scripts/wasm-run.mjs desk.wasm "$(go env GOROOT)/lib/wasm/wasm_exec.js" ROOF.yaml [--runs N] [--stop MS]
//
// cold    the first plan, code still being compiled by the browser's engine
// warm    a roof a tenth of a millimetre longer, median of N (7): nothing kept helps
// temp    the first roof at another temperature, median of N
// kept    the first roof again, median of N
// stop    with --stop MS: how long after being told so a plan under way ended
import { readFileSync } from "node:fs";
import { basename } from "node:path";
import { createRequire } from "node:module";
import { Worker } from "node:worker_threads";

const args = process.argv.slice(2);
const option = (name, otherwise) => {
  const at = args.indexOf(name);
  return at < 0 ? otherwise : Number(args.splice(at, 2)[1]);
};
const runs = option("--runs", 7);
const stopAfterMS = option("--stop", 0);
const [wasm, exec, roofPath] = args;
if (!roofPath) {
  console.error("usage: node scripts/wasm-run.mjs DESK.wasm wasm_exec.js ROOF.yaml [--runs N] [--stop MS]");
  process.exit(2);
}

createRequire(import.meta.url)(exec.startsWith("/") ? exec : `${process.cwd()}/${exec}`);
const go = new globalThis.Go();
const { instance } = await WebAssembly.instantiate(readFileSync(wasm), go.importObject);
go.run(instance); // ends with the process

const roof = readFileSync(roofPath, "utf8");
const ask = { roof, name: basename(roofPath) };

const timed = (question, progress) => {
  const from = performance.now(), busy = process.cpuUsage();
  const answer = globalThis.gelwrightPlan(question, progress);
  return { answer, ms: performance.now() - from, cpuMS: process.cpuUsage(busy).user / 1000 };
};
const median = (list) => list.sort((a, b) => a - b)[Math.floor(list.length / 2)];
// Clock time, and the processor time of this process: on a busy machine the second counts.
const told = (name, list) =>
  console.error(`${name.padEnd(5)} ${median(list.map((x) => x.ms)).toFixed(0).padStart(6)} ms, user CPU ` +
    `${median(list.map((x) => x.cpuMS)).toFixed(0).padStart(6)} ms`);

const first = timed(ask);
for (const w of first.answer.warnings) console.error(w);
if (first.answer.error) {
  console.error(first.answer.error);
  process.exit(first.answer.kind === "faulty" ? 3 : 1);
}
process.stdout.write(first.answer.plan + "\n");
told("cold", [first]);

if (runs > 0) {
  // Other corners are another roof to every step: what is kept helps none of them.
  const warm = [], temp = [], kept = [];
  for (let i = 0; i < runs; i++) {
    warm.push(timed({ ...ask, roof: moved(roof, i + 1) }));
    timed(ask);
    temp.push(timed({ ...ask, temp: 15 + i }));
    timed(ask);
    kept.push(timed(ask));
  }
  told("warm", warm);
  told("temp", temp);
  told("kept", kept);
}
if (stopAfterMS > 0) await stopped();
process.exit(0);

// moved is the roof with the second corner of its first outline i tenths of a millimetre on.
function moved(text, i) {
  let done = false;
  const out = text.replace(/(outline:\s*\[\[[^\]]*\],\s*\[)\s*([0-9.]+)/, (_, head, number) => {
    done = true;
    return `${head}${(Number(number) + i * 0.0001).toFixed(4)}`;
  });
  return done ? out : `${text}\n`;
}

// stopped begins a plan of another roof and has another thread say stop.
async function stopped() {
  const shared = new SharedArrayBuffer(16);
  const flag = new Int32Array(shared);
  const clock = new BigInt64Array(shared, 8);
  const thread = new Worker(
    `const { workerData: w } = require("node:worker_threads");
     const flag = new Int32Array(w.shared), at = new BigInt64Array(w.shared, 8);
     Atomics.wait(flag, 1, 0);
     Atomics.wait(flag, 1, 1, w.ms);
     at[0] = process.hrtime.bigint();
     Atomics.store(flag, 0, 1);`,
    { eval: true, workerData: { shared, ms: stopAfterMS } },
  );
  await new Promise((ready) => thread.once("online", ready));
  Atomics.store(flag, 1, 1);
  Atomics.notify(flag, 1);
  const { answer } = timed({ ...ask, roof: moved(roof, 999), stop: flag });
  const late = Number(process.hrtime.bigint() - clock[0]) / 1e6;
  if (answer.kind === "stopped") console.error(`stop  ${late.toFixed(0).padStart(6)} ms after being told so`);
  else console.error(`stop  the plan was done before (${answer.kind ?? "done"})`);
  await thread.terminate();
}
