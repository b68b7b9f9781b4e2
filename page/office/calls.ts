// The server under the office: chart, calendar, sheets, search. One door; what comes in is checked here.

/** Rec is a sheet as it is kept; version 0 was never written. */
export interface Rec<S> {
  readonly id: string;
  readonly version: number;
  readonly when: string;
  readonly who: string;
  readonly what: string;
  readonly sheet: S;
}

export interface JobSheet {
  readonly stage: string;
  readonly why: string;
  readonly reached: readonly { readonly stage: string; readonly date: string }[];
  readonly customer: string;
  readonly site: string;
  readonly waits: readonly { readonly what: string; readonly by: string }[];
  readonly ordered: string;
  readonly note: string;
}

export interface Customer {
  readonly name: string;
  readonly address: readonly string[];
  readonly telephone: string;
  readonly mail: string;
  readonly note: string;
  readonly away: boolean;
}

export interface Site {
  readonly name: string;
  readonly address: readonly string[];
  readonly access: string;
  readonly place: string;
  readonly note: string;
  readonly away: boolean;
}

export interface Crew {
  readonly name: string;
  readonly people: readonly string[];
  readonly mark: string;
  readonly note: string;
  readonly away: boolean;
}

export interface Day {
  readonly job: string;
  readonly crew: string;
  readonly date: string;
  readonly part: string;
  readonly note: string;
  readonly off: boolean;
}

/** Sheets are the kinds of sheets by the names of their lists. */
export interface Sheets { jobs: JobSheet; customers: Customer; sites: Site; crews: Crew; days: Day }
export type Many = keyof Sheets;

export interface Wait {
  readonly for: string;
  readonly n: number;
  readonly p: number;
  readonly date: string;
  readonly text: string;
  readonly late: boolean;
}

export interface Step { readonly stage: string; readonly done: boolean; readonly here: boolean; readonly date: string }

export interface Line {
  readonly id: string;
  readonly title: string;
  readonly place: string;
  readonly customer: string;
  readonly stage: string;
  readonly why: string;
  readonly version: number;
  readonly steps: readonly Step[];
  readonly waits: readonly Wait[];
  readonly next: string;
  readonly crew: string;
}

export interface Chart {
  readonly today: string;
  readonly stages: readonly { readonly stage: string; readonly jobs: number }[];
  readonly lines: readonly Line[];
  readonly crews: readonly Rec<Crew>[];
  readonly total: number;
  readonly more: boolean;
}

export interface Chance {
  readonly date: string;
  readonly p: number;
  readonly at: string;
  readonly finish: string;
  readonly sure: boolean;
  readonly why: string;
}

export interface Standing {
  readonly stage: string;
  readonly steps: readonly Step[];
  readonly waits: readonly Wait[];
  readonly days: readonly Rec<Day>[];
  readonly next: string;
  readonly roof: {
    readonly decks: number;
    readonly area_m2: number;
    readonly outlook: { readonly target: number; readonly days: readonly Chance[]; readonly none: string };
  };
}

export interface Stand {
  readonly id: string;
  readonly version: number;
  readonly job: string;
  readonly title: string;
  readonly site: string;
  readonly date: string;
  readonly part: string;
  readonly note: string;
  readonly nth: number;
}

export interface Row {
  readonly crew: string;
  readonly mark: string;
  readonly name: string;
  readonly people: number;
  readonly days: readonly (readonly Stand[])[];
}

export interface Calendar {
  readonly today: string;
  readonly week: string;
  readonly dates: readonly string[];
  readonly rows: readonly Row[];
  readonly twice: readonly { readonly crew: string; readonly date: string }[];
}

export interface Found {
  readonly in: string;
  readonly total: number;
  readonly hits: readonly { readonly kind: string; readonly id: string; readonly job: string; readonly title: string;
    readonly place: string; readonly text: string }[];
}

export interface KeptFile { readonly name: string; readonly mediaType: string; readonly when: string;
  readonly who: string; readonly size: number }

/** Overtaken is what is there in place of what a change was made from. */
export interface Overtaken {
  readonly version: number;
  readonly who: string;
  readonly what: string;
  readonly sheet: unknown;
  readonly differs: readonly { readonly field: string; readonly mine: unknown; readonly theirs: unknown; readonly both: boolean }[];
  readonly joined: unknown;
}

/** Refusal is what the server refuses with. */
export class Refusal extends Error {
  constructor(readonly code: string, message: string, readonly remedy: string, readonly overtaken: Overtaken | null) {
    super(remedy ? `${message}. ${remedy}` : message);
  }
}

async function call<T>(method: string, path: string, body?: unknown): Promise<T> {
  const init: RequestInit = { method, headers: body === undefined ? {} : { "Content-Type": "application/json" } };
  if (body !== undefined) init.body = JSON.stringify(body);
  const answer = await fetch(path, init);
  const said: unknown = await answer.json().catch(() => null);
  if (answer.ok) return said as T;
  const e = said as { code?: string; detail?: string; remedy?: string; overtaken?: Overtaken } | null;
  throw new Refusal(e?.code ?? String(answer.status), e?.detail ?? answer.statusText, e?.remedy ?? "", e?.overtaken ?? null);
}

const at = (many: Many, id: string, rest = ""): string => `/api/office/${many}/${encodeURIComponent(id)}${rest}`;
const query = (of: { readonly [name: string]: string | number }): string => Object.entries(of)
  .filter(([, v]) => v !== "" && v !== 0).map(([k, v]) => `${k}=${encodeURIComponent(v)}`).join("&");

/** newId is a random id, 128 bits. */
export function newId(): string {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
}

/** server is every call that the office makes. */
export const server = {
  chart: (stage: string, find: string, page: number) => call<Chart>("GET", `/api/office/chart?${query({ stage, find, page })}`),
  standing: (job: string, people = 0) => call<Standing>("GET", `${at("jobs", job, "/standing")}?${query({ people })}`),
  calendar: (week: string, weeks: number) => call<Calendar>("GET", `/api/office/calendar?${query({ week, weeks })}`),
  find: (find: string) => call<{ found: readonly Found[] }>("GET", `/api/office/find?${query({ find })}`).then((r) => r.found),
  one: <M extends Many>(many: M, id: string) => call<Rec<Sheets[M]>>("GET", at(many, id)),
  all: <M extends Exclude<Many, "jobs">>(many: M) =>
    call<{ sheets: readonly Rec<Sheets[M]>[] }>("GET", `/api/office/${many}`).then((r) => r.sheets),
  versions: <M extends Many>(many: M, id: string) =>
    call<{ sheets: readonly Rec<Sheets[M]>[] }>("GET", at(many, id, "/versions")).then((r) => r.sheets),
  put: <M extends Many>(many: M, id: string, based_on: number, what: string, sheet: Sheets[M]) =>
    call<Rec<Sheets[M]>>("PUT", at(many, id), { based_on, what, sheet }),
  stage: (job: string, based_on: number, stage: string, why: string) =>
    call<Rec<JobSheet>>("POST", at("jobs", job, "/stage"), { based_on, stage, why }),
  job: (id: string) => call<{ title: string; site: string }>("GET", `/api/jobs/${encodeURIComponent(id)}`),
  files: (job: string) => call<{ files: readonly KeptFile[] }>("GET", `/api/jobs/${encodeURIComponent(job)}/files`).then((r) => r.files),
  fileAt: (job: string, name: string) => `/api/jobs/${encodeURIComponent(job)}/files/${encodeURIComponent(name)}`,
  putFile: async (job: string, file: File): Promise<void> => {
    const answer = await fetch(server.fileAt(job, file.name), { method: "PUT", body: file,
      headers: { "Content-Type": file.type || "application/octet-stream" } });
    if (answer.ok) return;
    const e = await answer.json().catch(() => null) as { code?: string; detail?: string; remedy?: string } | null;
    throw new Refusal(e?.code ?? String(answer.status), e?.detail ?? answer.statusText, e?.remedy ?? "", null);
  },
};
