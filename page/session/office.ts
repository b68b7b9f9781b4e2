// The server under the page: jobs, their states, papers. One door; what comes in is checked here.

import type { Doc, Json } from "../model/doc";
import type { History } from "../model/history";

/** Problem is what the server refuses with. */
export class Problem extends Error {
  constructor(readonly code: string, message: string, readonly remedy: string) {
    super(remedy ? `${message}. ${remedy}` : message);
  }
}

/** Side is one of two who changed a job. */
export type Side = "mine" | "theirs";

/** Difference is what one of two changed, or both; what is missing is not there. */
export interface Difference {
  readonly key: string;
  readonly where: string;
  readonly field: string;
  readonly before?: Json;
  readonly mine?: Json;
  readonly theirs?: Json;
  readonly clash: boolean;
  readonly taken: Side;
  readonly chosen: boolean;
}

/** Joined is what became of two documents; kept only where no clash is open. */
export interface Joined {
  readonly seq: number;
  readonly kept: boolean;
  readonly open: number;
  readonly document: Document;
  readonly differences: readonly Difference[];
}

/** JobRow is a job in the list. */
export interface JobRow {
  readonly id: string;
  readonly title: string;
  readonly site: string;
  readonly changed: string;
  readonly states: number;
}

/** StateRow is a state in a job's history. */
export interface StateRow {
  readonly seq: number;
  readonly when: string;
  readonly who: string;
  readonly what: string;
}

/** Document is what is kept of a state: the roof file that the server reads, and the page's own. */
export interface Document {
  readonly roof: unknown;
  readonly page: { readonly doc: Doc; readonly history: History } | null;
}

/** Job is a job at its newest state. */
export interface Job {
  readonly id: string;
  readonly title: string;
  readonly seq: number;
  readonly document: Document;
}

/** Alternative is one of several roofs of one survey, in the figures by which they are held against each other. */
export interface Alternative {
  readonly id: string;
  readonly title: string;
  readonly seq: number;
  readonly refusal?: { readonly detail: string };
  readonly area_m2: number;
  readonly boards: number;
  readonly resin_kg: number;
  readonly buckets: number;
  readonly wet_days: number;
  readonly failed: readonly string[];
  readonly open: readonly string[];
}

/** Choices say of clashes by their keys whose change is taken. */
export type Choices = { readonly [key: string]: Side };

/** WorkRow is a piece of the work behind the page. */
export interface WorkRow {
  readonly id: string;
  readonly title: string;
  readonly state: "waiting" | "running" | "done" | "failed" | "cancelled";
  readonly done: number;
  readonly whole: number;
  readonly said: string;
  readonly result?: string;
  readonly ended?: string;
}

/** newId is a random name for a state, 128 bits. */
export function newId(): string {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
}

async function call<T>(method: string, path: string, body?: unknown): Promise<T> {
  const init: RequestInit = { method, headers: body === undefined ? {} : { "Content-Type": "application/json" } };
  if (body !== undefined) init.body = JSON.stringify(body);
  const answer = await fetch(path, init);
  const said: unknown = await answer.json().catch(() => null);
  if (answer.ok) return said as T;
  const e = said as { code?: string; detail?: string; remedy?: string } | null;
  throw new Problem(e?.code ?? String(answer.status), e?.detail ?? answer.statusText, e?.remedy ?? "");
}

const at = (id: string, rest = ""): string => `/api/jobs/${encodeURIComponent(id)}${rest}`;

/** office is every call that the page makes. */
export const office = {
  jobs: (find: string) => call<{ jobs: JobRow[]; more: boolean }>("GET", `/api/jobs?find=${encodeURIComponent(find)}`),
  create: (title: string, who: string, what: string, document: Document) =>
    call<{ id: string; seq: number }>("POST", "/api/jobs", { title, who, state: { id: newId(), what, document } }),
  job: (id: string) => call<Job>("GET", at(id)),
  append: (id: string, state: string, basedOn: number, who: string, what: string, document: Document) =>
    call<{ seq: number }>("POST", at(id, "/states"), { id: state, based_on: basedOn, who, what, document }),
  join: (id: string, state: string, basedOn: number, who: string, document: Document, choices: Choices) =>
    call<Joined>("POST", at(id, "/join"), { ...(state ? { id: state } : {}), based_on: basedOn, who, document, choices }),
  states: (id: string, before?: number) => call<{ states: StateRow[]; more: boolean }>("GET",
    at(id, `/states?size=50${before ? `&before=${before}` : ""}`)),
  restore: (id: string, seq: number, who: string) => call<{ seq: number }>("POST", at(id, "/restore"), { seq, id: newId(), who }),
  copy: (id: string, title: string, alternative: boolean) => call<{ id: string }>("POST", at(id, "/copy"), { title, alternative }),
  alternatives: (id: string) => call<{ alternatives: Alternative[] }>("GET", at(id, "/alternatives")),
  papers: (id: string) => call<{ papers: { name: string; title?: string; bytes?: number }[] }>("GET", at(id, "/papers")),
  paper: (id: string, name: string) => at(id, `/papers/${name.split("/").map(encodeURIComponent).join("/")}`),
  workOf: (id: string) => call<{ work: WorkRow[] }>("GET", `/api/tasks?size=5&about=${encodeURIComponent(id)}`),
  orderPapers: (id: string) => call<WorkRow>("POST", at(id, "/papers"), {}),
  cancelWork: (id: string) => call<WorkRow>("POST", `/api/tasks/${encodeURIComponent(id)}/cancel`, {}),
  roofFile: (id: string) => at(id, "/roof.yaml"),
  oneFile: (id: string) => at(id, "/onefile.html"),
  exported: (id: string) => at(id, "/export"),
  examples: () => call<{ examples: { name: string; title: string }[] }>("GET", "/api/examples"),
  example: async (name: string) => {
    const answer = await fetch(`/api/examples/${encodeURIComponent(name)}`);
    if (!answer.ok) throw new Problem(String(answer.status), answer.statusText, "");
    return answer.text();
  },
  putFile: async (id: string, name: string, text: string) => {
    const answer = await fetch(at(id, `/files/${encodeURIComponent(name)}`), { method: "PUT", headers: { "Content-Type": "text/plain" },
      body: text });
    if (!answer.ok) throw new Problem(String(answer.status), answer.statusText, "");
  },
  file: async (id: string, name: string) => {
    const answer = await fetch(at(id, `/files/${encodeURIComponent(name)}`));
    return answer.ok ? answer.text() : "";
  },
};
