// The server under the office: chart, calendar, sheets, search. One door; its types and paths are those of the API's description.

import { operations, type ChartLine, type ChartPage, type Crew as CrewOf, type Found as FoundOf, type Operations, type Overtaken,
  type RecordOfCrew } from "./api";

export type { Customer, Day, Outlook, Overtaken, Row, Run, Site, Stand, Standing, Step, Wait } from "./api";
export type { CalendarOf as Calendar, File as KeptFile, Job as JobSheet } from "./api";
export type Line = ChartLine;
export type Chart = ChartPage;
export type Crew = CrewOf;
export type Found = FoundOf;

/** one is a sheet of each list by its name. */
const one = { jobs: "job", customers: "customer", sites: "site", crews: "crew", days: "day" } as const;
export type Many = keyof typeof one;
type One<M extends Many> = `office_${(typeof one)[M]}`;
type Put<M extends Many> = `office_put_${(typeof one)[M]}`;

/** Sheets are the kinds of sheets by the names of their lists. */
export type Sheets = { readonly [M in Many]: Operations[One<M>]["answer"]["sheet"] };

/** Rec is a sheet as it is kept; version 0 was never written. */
export type Rec<S> = Omit<RecordOfCrew, "sheet"> & { readonly sheet: S };

/** Refusal is what the server refuses with. */
export class Refusal extends Error {
  constructor(readonly code: string, message: string, readonly remedy: string, readonly overtaken: Overtaken | null) {
    super(remedy ? `${message}. ${remedy}` : message);
  }
}

/** Asked is what an operation is asked with. */
interface Asked<K extends keyof Operations> {
  readonly path?: Operations[K]["path"];
  readonly query?: Operations[K]["query"];
  readonly body?: Operations[K]["body"];
}

/** refusalOf is why there is no answer. */
async function refusalOf(answer: Response): Promise<Refusal> {
  const e = await answer.json().catch(() => null) as { code?: string; detail?: string; remedy?: string; overtaken?: Overtaken } | null;
  return new Refusal(e?.code ?? String(answer.status), e?.detail ?? answer.statusText, e?.remedy ?? "", e?.overtaken ?? null);
}

/** call asks an operation of the API; what is empty is not asked for. */
async function call<K extends keyof Operations>(id: K, { path, query, body }: Asked<K>): Promise<Operations[K]["answer"]> {
  const [method, pattern] = operations[id];
  const at = pattern.replace(/\{(\w+)\}/g, (_, name: string) => encodeURIComponent((path as { readonly [name: string]: string })[name]!));
  const asked = new URLSearchParams();
  for (const [name, value] of Object.entries(query ?? {}) as [string, unknown][]) {
    if (value !== "" && value !== 0 && value !== false && value !== undefined) asked.append(name, String(value));
  }
  const init: RequestInit = { method, headers: body === undefined ? {} : { "Content-Type": "application/json" } };
  if (body !== undefined) init.body = JSON.stringify(body);
  const answer = await fetch(asked.size > 0 ? `${at}?${asked}` : at, init);
  if (!answer.ok) throw await refusalOf(answer);
  return await answer.json() as Operations[K]["answer"];
}

/** newId is a random id, 128 bits. */
export function newId(): string {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
}

/** Reminder is what somebody is to be told of a job, found on a day. */
export type Reminder = Operations["listReminders"]["answer"]["reminders"][number];

/** server is every call that the office makes. */
export const server = {
  chart: (stage: string, find: string, page: number) => call("office_chart",
    { query: { ...(stage === "open" ? { open: true } : { stage }), find, page } }),
  standing: (id: string) => call("office_standing", { path: { id } }),
  standings: (jobs: readonly string[]) => call("office_standings", { query: { jobs } }).then((r) => r.standings),
  run: (id: string, query: Operations["office_run"]["query"]) => call("office_run", { path: { id }, query }),
  reminders: () => call("listReminders", { query: {} }).then((r) => r.reminders),
  calendar: (week: string, weeks: number) => call("office_calendar", { query: { week, weeks } }),
  find: (find: string) => call("office_find", { query: { find } }).then((r) => r.found),
  one: <M extends Many>(many: M, id: string) => call(`office_${one[many]}` as One<M>, { path: { id } }) as Promise<Rec<Sheets[M]>>,
  all: <M extends Exclude<Many, "jobs">>(many: M) =>
    call(`office_${many}`, {}).then((r) => r.sheets as readonly Rec<unknown>[] as readonly Rec<Sheets[M]>[]),
  versions: <M extends Many>(many: M, id: string) => call(`office_${one[many]}_versions`, { path: { id } })
    .then((r) => r.sheets as readonly Rec<unknown>[] as readonly Rec<Sheets[M]>[]),
  put: <M extends Many>(many: M, id: string, based_on: number, what: string, sheet: Sheets[M]) =>
    call(`office_put_${one[many]}` as Put<M>, { path: { id }, body: { based_on, what, sheet } as Operations[Put<M>]["body"] }) as
      Promise<Rec<Sheets[M]>>,
  putDays: (what: string, days: Operations["office_put_days"]["body"]["days"]) => call("office_put_days", { body: { what, days } })
    .then((r) => r.sheets),
  stage: (id: string, based_on: number, stage: string, why: string) =>
    call("office_stage", { path: { id }, body: { based_on, stage, why } }),
  job: (id: string) => call("job", { path: { id } }),
  files: (id: string) => call("listFiles", { path: { id } }).then((r) => r.files),
  fileAt: (job: string, name: string) => `/api/jobs/${encodeURIComponent(job)}/files/${encodeURIComponent(name)}`,
  putFile: async (job: string, file: File): Promise<void> => {
    const answer = await fetch(server.fileAt(job, file.name), { method: "PUT", body: file,
      headers: { "Content-Type": file.type || "application/octet-stream" } });
    if (!answer.ok) throw await refusalOf(answer);
  },
};
