// The page's end of the bridge: a question is a promise; a newer one of its kind voids the older.

import type { Questions, Refusal } from "./answers";
import { compiled } from "./compiled";
import type { Ask, Kind, Start, Told } from "./protocol";

/** Refused is a question without an answer; its refusal says why, where and what would help. */
export class Refused extends Error {
  constructor(readonly refusal: Refusal) {
    super(refusal.message);
  }
}

/** voided is what an overtaken question ends with. */
const voided: Refusal = { kind: "stopped", message: "overtaken by a newer question", faults: [] };

interface Waiting {
  readonly ask: Ask;
  readonly done: (answer: unknown) => void;
  readonly fail: (why: Refused) => void;
  readonly step: ((step: string) => void) | undefined;
}

/** timed leaves how long the worker took for something among the browser's own measures, for whoever looks. */
const timed = (what: string, ms: number): void => void performance.measure(`worker: ${what}`, { start: performance.now() - ms,
  duration: ms });

/** Source is where the engine comes from: the worker's script, and the engine for it by its address, or packed with gzip. */
export interface Source {
  worker(): Worker;
  readonly engine: string | Uint8Array;
}

/** Engine asks the worker, one question at a time; those of a kind that are overtaken are dropped or stopped. */
export class Engine {
  private readonly worker: Worker;
  private readonly line: Waiting[] = [];
  private running: Waiting | null = null;
  private next = 1;
  private isReady = false;
  /** ready is called once, with the milliseconds that the start took; broken with why there is no engine. */
  onReady: (ms: number) => void = () => {};
  onBroken: (message: string) => void = () => {};

  constructor(source: Source) {
    this.worker = source.worker();
    this.worker.onmessage = (e: MessageEvent<Told>) => this.hear(e.data);
    this.worker.onerror = (e) => this.onBroken(e.message);
    const begin = (start: Start): void => this.worker.postMessage(start);
    if (typeof source.engine !== "string") begin({ start: source.engine });
    // The page has begun to fetch the engine before its scripts ran (index.html); the worker starts meanwhile.
    else compiled(source.engine).then((start) => begin({ start }), (why: Error) => this.onBroken(why.message));
  }

  /** ask puts a question; step is told each step of a plan as it begins. */
  ask<K extends Kind>(kind: K, question: Questions[K]["ask"], step?: (step: string) => void): Promise<Questions[K]["answer"]> {
    return new Promise((done, fail) => {
      for (let i = this.line.length - 1; i >= 0; i--) {
        const waiting = this.line[i];
        if (waiting?.ask.kind === kind && this.overtakes(kind)) {
          this.line.splice(i, 1);
          waiting.fail(new Refused(voided));
        }
      }
      if (this.running?.ask.kind === kind && this.overtakes(kind) && this.running.ask.stop) Atomics.store(this.running.ask.stop, 0, 1);
      const stop = typeof SharedArrayBuffer === "undefined" ? null : new Int32Array(new SharedArrayBuffer(4));
      const ask: Ask = { id: this.next++, kind, question: JSON.stringify(question), stop };
      this.line.push({ ask, done: done as (answer: unknown) => void, fail, step });
      this.pump();
    });
  }

  /** overtakes: a newer question of these kinds makes the older one void; others are each answered. */
  private overtakes(kind: Kind): boolean {
    return kind === "plan" || kind === "ground" || kind === "survey";
  }

  private pump(): void {
    if (!this.isReady || this.running) return;
    const next = this.line.shift();
    if (!next) return;
    this.running = next;
    this.worker.postMessage(next.ask);
  }

  private hear(told: Told): void {
    switch (told.kind) {
      case "ready":
        this.isReady = true;
        timed("engine", told.ms);
        this.onReady(told.ms);
        return this.pump();
      case "broken":
        return this.onBroken(told.message);
      case "step":
        if (this.running?.ask.id === told.id) this.running.step?.(told.step);
        return;
    }
    const asked = this.running;
    if (asked?.ask.id !== told.id) return;
    this.running = null;
    timed(asked.ask.kind, told.ms);
    if (told.kind === "answer") asked.done(JSON.parse(told.answer));
    else asked.fail(new Refused(told.refusal));
    this.pump();
  }
}
