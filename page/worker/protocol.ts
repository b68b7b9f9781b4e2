// What passes between the page and its worker: a closed union each way.

import type { Questions, Refusal } from "./answers";

/** Kind of a question. */
export type Kind = keyof Questions;

/** Ask is a question with its id; stop lies over shared memory where the browser has it. */
export interface Ask {
  readonly id: number;
  readonly kind: Kind;
  readonly question: string;
  readonly stop: Int32Array | null;
}

/** Start gives the worker its engine: compiled, or the bytes compressed with gzip. */
export interface Start {
  readonly start: WebAssembly.Module | Uint8Array;
}

/** Told is what the worker says: the engine stands, a step begins, an answer, a refusal. */
export type Told =
  | { readonly kind: "ready"; readonly ms: number }
  | { readonly kind: "broken"; readonly message: string }
  | { readonly kind: "step"; readonly id: number; readonly step: string }
  | { readonly kind: "answer"; readonly id: number; readonly answer: string; readonly ms: number }
  | { readonly kind: "refusal"; readonly id: number; readonly refusal: Refusal; readonly ms: number };
