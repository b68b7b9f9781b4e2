// Undo and redo without end. The history is plain JSON that lives beside the document, so that it
// survives a reload; what is chosen is no part of the document and comes back with each step.

import { apply, invert, join, type Change } from "./change";
import type { Doc, Id, Json } from "./doc";
import { equal } from "./json";
import type { Refused } from "./why";

/** Act is one act of a person: what it is called in the catalogue and what it changes. */
export interface Act {
  readonly label: string;
  readonly changes: readonly Change[];
  /** What is chosen after it; missing: as before. */
  readonly chosen?: Id | null;
  /** Acts that follow each other with the same join are one entry (typing in one field). */
  readonly join?: string;
}

/** Entry is one step back. */
export interface Entry {
  readonly label: string;
  readonly changes: readonly Change[];
  readonly chosenBefore: Id | null;
  readonly chosenAfter: Id | null;
}

/** History is what can be undone, the last act last, and what can be done again, the next one last. */
export interface History {
  readonly done: readonly Entry[];
  readonly undone: readonly Entry[];
  /** The join of the last act, while its field has not been left. */
  readonly open: string | null;
  /** Names of what was laid aside of it, the oldest first: undo goes on there when done is empty. */
  readonly aside?: readonly string[];
}

/** Step is what undo and redo lead to; changes are those that were made, for whoever keeps them. */
export interface Step {
  readonly doc: Doc;
  readonly history: History;
  readonly changes: readonly Change[];
  readonly chosen: Id | null;
  readonly label: string;
}

export const noHistory: History = { done: [], undone: [], open: null };

/** record keeps an act that was applied; chosen is what was chosen before it. An act that changes nothing leaves the history as it is. */
export function record(h: History, act: Act, chosen: Id | null): History {
  if (act.changes.length === 0) return h;
  const open = act.join ?? null, last = h.done.at(-1);
  const after = act.chosen === undefined ? chosen : act.chosen;
  if (open !== null && open === h.open && last && h.undone.length === 0) {
    const changes = join(last.changes, act.changes), rest = h.done.slice(0, -1);
    // An entry that came to nothing takes its join with it, or the next key would join the one before.
    return changes.length ? { ...h, done: [...rest, { ...last, changes, chosenAfter: after }], undone: [], open } : { ...h, done: rest,
      undone: [], open: null };
  }
  return { ...h, done: [...h.done, { label: act.label, changes: act.changes, chosenBefore: chosen, chosenAfter: after }], undone: [],
    open };
}

/** settle ends the joining: the field was left. */
export function settle(h: History): History {
  return h.open === null ? h : { ...h, open: null };
}

/** undo takes the last act back; null where there is none. */
export function undo(h: History, doc: Doc): Step | Refused | null {
  const e = h.done.at(-1);
  if (!e) return null;
  const changes = invert(e.changes), r = apply(doc, changes);
  if ("why" in r) return r;
  return { doc: r.doc, changes, chosen: e.chosenBefore, label: e.label,
    history: { ...h, done: h.done.slice(0, -1), undone: [...h.undone, e], open: null } };
}

/** redo makes the act again that was undone last; null where there is none. */
export function redo(h: History, doc: Doc): Step | Refused | null {
  const e = h.undone.at(-1);
  if (!e) return null;
  const r = apply(doc, e.changes);
  if ("why" in r) return r;
  return { doc: r.doc, changes: e.changes, chosen: e.chosenAfter, label: e.label,
    history: { ...h, done: [...h.done, e], undone: h.undone.slice(0, -1), open: null } };
}

/** Parted is a history whose oldest entries are laid aside. */
export interface Parted {
  readonly history: History;
  readonly entries: readonly Entry[];
}

/**
 * parted lays the oldest entries aside under a name, once there are more than most; half of most stay at hand. Null where there are not.
 */
export function parted(h: History, most: number, name: string): Parted | null {
  if (h.done.length <= most) return null;
  const cut = h.done.length - Math.floor(most / 2);
  return { history: { ...h, done: h.done.slice(cut), aside: [...(h.aside ?? []), name] }, entries: h.done.slice(0, cut) };
}

/** rejoined is a history with what was laid aside last before it; null where nothing was, or what comes back is no list of entries. */
export function rejoined(h: History, entries: unknown): History | null {
  const aside = h.aside ?? [], read = historyOf({ done: entries, undone: [] });
  return aside.length === 0 || !read ? null : { ...h, done: [...read.done, ...h.done], aside: aside.slice(0, -1) };
}

/** historyOf reads a kept history back; null where it is none. What its changes say is held against the document when they are used. */
export function historyOf(kept: unknown): History | null {
  if (typeof kept !== "object" || kept === null) return null;
  const h = kept as Partial<History>;
  const entries = (list: unknown): boolean => Array.isArray(list) && list.every((e: unknown) =>
    typeof e === "object" && e !== null && Array.isArray((e as Partial<Entry>).changes) && typeof (e as Partial<Entry>).label === "string");
  const aside = Array.isArray(h.aside) && h.aside.every((name: unknown) => typeof name === "string") ? { aside: h.aside } : {};
  return entries(h.done) && entries(h.undone) ? { done: h.done!, undone: h.undone!, open: null, ...aside } : null;
}

/** same tells whether two documents say the same to the last byte. */
export function same(a: Doc, b: Doc): boolean {
  return equal(a as unknown as Json, b as unknown as Json);
}
