// Each change is kept as it is made: one after another, the newest document last. What has not been
// acknowledged is said to be waiting, and is tried again.

import type { Json } from "../model/doc";
import { freshIds } from "../model/find";
import { historyOf, noHistory, parted } from "../model/history";
import { docOf, roofOf } from "../model/roofjson";
import { newId, office, Problem, type Choices, type Document } from "./office";
import type { Session } from "./session";

/**
 * mostEntries of the history are kept with each state, so that undo survives a reload; older ones are laid aside, once, in a file of the
 * job.
 */
export const mostEntries = 400;
const retryMS = 3000;
const who = "this computer";

/** documentOf is what is kept of a session. */
export function documentOf(s: Session): Document {
  return { roof: roofOf(s.doc.value), page: { doc: s.doc.value, history: { ...s.history.value, open: null } } };
}

/** Keeping sends the states of one job. */
export class Keeping {
  private waiting: { readonly id: string; readonly what: string; document: Document | null } | null = null;
  private sending = false;

  constructor(private readonly session: Session, readonly job: string, private seq: number) {
    session.kept.value = { state: "kept", at: new Date() };
    session.keep = (what) => this.keep(what);
    session.fetchAside = (name) => office.file(job, name);
  }

  /** keep takes up the session as it is now. */
  keep(what: string): void {
    this.waiting = { id: newId(), what, document: null };
    this.session.kept.value = { state: "waiting" };
    void this.send();
  }

  /** layAside puts the oldest of a long history into a file of the job, before a state names it. */
  private async layAside(): Promise<void> {
    const before = this.session.history.value, part = parted(before, mostEntries, `undo-${newId()}.json`),
      name = part?.history.aside?.at(-1);
    if (!part || name === undefined) return;
    await office.putFile(this.job, name, JSON.stringify(part.entries));
    // What was done meanwhile stands after it; an undo that went below the cut leaves all as it was.
    const now = this.session.history.value, cut = part.entries.length;
    if (now.aside === before.aside && now.done.length >= cut && now.done[cut - 1] === before.done[cut - 1]) {
      this.session.history.value = { ...now, done: now.done.slice(cut), ...(part.history.aside ? { aside: part.history.aside } : {}) };
    }
  }

  /** differ asks what differs from what somebody else has kept, and with choices keeps both. */
  private async differ(choices: Choices, state = ""): Promise<void> {
    const doc = this.session.doc.value;
    const r = await office.join(this.job, state, this.seq, who, documentOf(this.session), choices);
    if (!r.kept) {
      this.session.differing.value = { differences: r.differences, join: (chosen) => this.differ(chosen, newId()) };
      return;
    }
    const made = r.document.page ? { doc: r.document.page.doc } : docOf(r.document.roof as Json, freshIds);
    // What was done while the answer was on its way is not in it: it is held against what was kept once more.
    if ("why" in made || this.session.doc.value !== doc) return this.differ({});
    this.seq = r.seq;
    this.session.differing.value = null;
    this.waiting = null;
    this.session.open(made.doc, historyOf(r.document.page?.history) ?? noHistory);
    this.session.kept.value = { state: "kept", at: new Date() };
  }

  private async send(): Promise<void> {
    if (this.sending) return;
    this.sending = true;
    while (this.waiting) {
      const now = this.waiting;
      try {
        await this.layAside();
        // Tried again, a state is what it was the first time.
        now.document ??= documentOf(this.session);
        ({ seq: this.seq } = await office.append(this.job, now.id, this.seq, who, now.what, now.document));
        if (this.waiting === now) {
          this.waiting = null;
          this.session.kept.value = { state: "kept", at: new Date() };
        }
      } catch (why) {
        this.session.kept.value = { state: "not kept", why: why instanceof Error ? why.message : String(why) };
        if (why instanceof Problem && why.code === "conflict") await this.differ({}).catch(() => {}); // that it is not kept is said
        if (why instanceof Problem) break; // the server said no: trying the same again helps nobody
        await new Promise((done) => setTimeout(done, retryMS));
      }
    }
    this.sending = false;
  }
}
