// What the office has open: the place that the address names, what was refused, what can be taken back.

import { signal } from "@preact/signals";
import { office as words } from "../words/spoken";
import { Refusal, server, type Day, type Many, type Overtaken, type Rec, type Sheets } from "./calls";

export type View = "chart" | "calendar" | "find" | "names" | "job";

/** Place is what the address names: a view, and of it a job, a week or words. */
export interface Place { readonly view: View; readonly of: string }

/** placeOf reads an address's part behind the #. */
export function placeOf(hash: string): Place {
  const m = /^#(chart|calendar|find|names|job)(?:=(.*))?$/.exec(hash);
  return m ? { view: m[1] as View, of: decodeURIComponent(m[2] ?? "") } : { view: "chart", of: "" };
}

/** hashOf is the address's part of a place. */
export const hashOf = (view: View, of = ""): string => `#${view}${of === "" ? "" : `=${encodeURIComponent(of)}`}`;

export const place = signal<Place>(placeOf(location.hash));

/** notice is what the office has to say; stop says that it is a refusal. */
export const notice = signal<{ readonly text: string; readonly stop: boolean }>({ text: "", stop: false });
export const say = (text: string): void => { notice.value = { text, stop: false }; };
export const refuse = (why: unknown): void => { notice.value = { text: why instanceof Error ? why.message : String(why), stop: true }; };

/** Clash is a change that came second, and what is there now. */
export interface Clash {
  readonly many: Many;
  readonly id: string;
  readonly what: string;
  readonly there: Overtaken;
  readonly after: () => void;
  /** over does it all the same, on top of a version, with another sheet in place of its own where one is given. */
  readonly over: (version: number, sheet?: unknown) => Promise<unknown>;
}
export const clash = signal<Clash | null>(null);

/** done is what can be taken back, the last at the end: how, and what it was. */
export const done = signal<readonly { readonly what: string; readonly back: () => Promise<void> }[]>([]);

/** undo takes the last change back. */
export async function undo(): Promise<void> {
  const last = done.value.at(-1);
  if (!last) return;
  done.value = done.value.slice(0, -1);
  await last.back();
  say(words.undone(last.what));
}

/** ours are the sheets as this page last wrote them: what is typed quickly is one upon the other, and no clash with oneself. */
const ours = new Map<string, Rec<unknown>>();

/** line is the writing under way; writes wait for each other. */
let line: Promise<unknown> = Promise.resolve();

/** inLine does something when what was begun before it is done. */
export function inLine<T>(f: () => Promise<T>): Promise<T> {
  const mine = line.then(f, f);
  line = mine.catch(() => null);
  return mine;
}

/** wrote takes note of a sheet that this page has written. */
export function wrote<S>(now: Rec<S>): Rec<S> {
  ours.set(now.id, now);
  return now;
}

/** basis is the newest that this page knows of a sheet: as it was read, or as it was written since. */
export function basis<S>(was: Rec<S>): Rec<S> {
  const own = ours.get(was.id) as Rec<S> | undefined;
  return own && own.version > was.version ? own : was;
}

/** onto puts what was changed of a sheet on top of another version of it. */
function onto<S extends object>(was: S, changed: S, base: S): S {
  const out = { ...base };
  for (const k of Object.keys(changed) as (keyof S)[]) if (JSON.stringify(was[k]) !== JSON.stringify(changed[k])) out[k] = changed[k];
  return out;
}

/**
 * write keeps a sheet in place of the version that it was made from, and remembers how to take it back. Where somebody was faster
 * it shows what differs and gives null; after is then called when it is settled.
 */
export function write<M extends Many>(many: M, was: Rec<Sheets[M]>, what: string, sheet: Sheets[M], after: () => void):
  Promise<Rec<Sheets[M]> | null> {
  return inLine(async () => {
    const base = basis(was), mine = base === was ? sheet : onto(was.sheet as object, sheet as object, base.sheet as object) as Sheets[M];
    try {
      const now = wrote(await server.put(many, was.id, base.version, what, mine));
      if (base.version > 0) {
        const back = async (): Promise<void> => {
          // Its own step is no step to be taken back.
          if (await write(many, basis(now), words.undone(what), base.sheet, after)) done.value = done.value.slice(0, -1);
          after();
        };
        done.value = [...done.value, { what, back }];
      }
      notice.value = { text: "", stop: false };
      return now;
    } catch (why) {
      clashed(why, { many, id: was.id, what, after, over: (version, sheet) => server.put(many, was.id, version, what,
        (sheet ?? mine) as Sheets[M]) });
      return null;
    }
  });
}

/** DayChange is a day on the roof as it is and as it is to be; version 0 is a new one. */
export interface DayChange { readonly was: Rec<Day>; readonly sheet: Day }

/**
 * writeDays keeps several days as one change, and remembers how to take it back: new ones are then taken off. Where somebody was
 * faster at one of them none is kept, and what differs is shown.
 */
export function writeDays(changes: readonly DayChange[], what: string, after: () => void): Promise<boolean> {
  const put = (all: readonly DayChange[]): Promise<readonly Rec<Day>[]> =>
    server.putDays(what, all.map((c) => ({ id: c.was.id, based_on: c.was.version, sheet: c.sheet })));
  return inLine(async () => {
    try {
      const kept = (await put(changes)).map(wrote);
      const back = async (): Promise<void> => {
        const undone = kept.map((k, i) => ({ was: basis(k), sheet: changes[i]!.was.version === 0 ? { ...k.sheet, off: true }
          : changes[i]!.was.sheet }));
        // Its own step is no step to be taken back.
        if (await writeDays(undone, words.undone(what), after)) done.value = done.value.slice(0, -1);
        after();
      };
      done.value = [...done.value, { what, back }];
      notice.value = { text: "", stop: false };
      return true;
    } catch (why) {
      const late = why instanceof Refusal ? why.overtaken?.id ?? "" : "";
      clashed(why, { many: "days", id: late, what, after, over: (version, sheet) => put(changes.map((c) => (c.was.id !== late ? c
        : { was: { ...c.was, version }, sheet: (sheet as Day | undefined) ?? c.sheet }))) });
      return false;
    }
  });
}

/** clashed shows what somebody else has changed meanwhile, or why it cannot be done at all. */
export function clashed(why: unknown, c: Omit<Clash, "there">): void {
  if (why instanceof Refusal && why.overtaken) clash.value = { ...c, there: why.overtaken };
  else refuse(why);
}

/** dayWords are a date as a person says it. */
export function dayWords(date: string): string {
  if (date === "") return "";
  const t = new Date(`${date}T12:00:00Z`);
  return t.toLocaleDateString(words.locale, { weekday: "short", day: "numeric", month: "short", timeZone: "UTC" }).replace(",", "");
}

/** waitWords are what a job waits for. */
export function waitWords(w: { readonly for: string; readonly n: number; readonly p: number; readonly date: string; readonly text: string;
  readonly late: boolean }): string {
  const say = words.waits[w.for as keyof typeof words.waits] as ((w: unknown, day: string) => string) | undefined;
  return say ? say(w, dayWords(w.date)) : w.text;
}

/** shiftDate is the date so many days later. */
export function shiftDate(date: string, days: number): string {
  const t = new Date(`${date}T12:00:00Z`);
  t.setUTCDate(t.getUTCDate() + days);
  return t.toISOString().slice(0, 10);
}

/** weekOf is a date's week by ISO 8601, "2026-W23". */
export function weekOf(date: string): string {
  const t = new Date(`${date}T12:00:00Z`);
  t.setUTCDate(t.getUTCDate() + 4 - (t.getUTCDay() || 7));
  const first = Date.UTC(t.getUTCFullYear(), 0, 1);
  const n = Math.ceil(((t.getTime() - first) / 86400000 + 1) / 7);
  return `${t.getUTCFullYear()}-W${String(n).padStart(2, "0")}`;
}
