// Each change is kept as it is made: one after another, the newest document last. What has not been
// acknowledged is said to be waiting, and is tried again.

import { roofOf } from "../model/roofjson";
import { newId, office, Problem, type Document } from "./office";
import type { Session } from "./session";

/** mostEntries of the history are kept with a state, so that undo survives a reload. */
const mostEntries = 400;
const retryMS = 3000;
const who = "this computer";

/** documentOf is what is kept of a session. */
export function documentOf(s: Session): Document {
  const h = s.history.value;
  return { roof: roofOf(s.doc.value), page: { doc: s.doc.value, history: { done: h.done.slice(-mostEntries), undone: h.undone.slice(-mostEntries), open: null } } };
}

/** Keeping sends the states of one job. */
export class Keeping {
  private waiting: { readonly id: string; readonly what: string; readonly document: Document } | null = null;
  private sending = false;

  constructor(private readonly session: Session, readonly job: string, private seq: number) {
    session.kept.value = { state: "kept", at: new Date() };
    session.keep = (what) => this.keep(what);
  }

  /** keep takes up the session as it is now. */
  keep(what: string): void {
    this.waiting = { id: newId(), what, document: documentOf(this.session) };
    this.session.kept.value = { state: "waiting" };
    void this.send();
  }

  private async send(): Promise<void> {
    if (this.sending) return;
    this.sending = true;
    while (this.waiting) {
      const now = this.waiting;
      try {
        ({ seq: this.seq } = await office.append(this.job, now.id, this.seq, who, now.what, now.document));
        if (this.waiting === now) {
          this.waiting = null;
          this.session.kept.value = { state: "kept", at: new Date() };
        }
      } catch (why) {
        this.session.kept.value = { state: "not kept", why: why instanceof Error ? why.message : String(why) };
        if (why instanceof Problem) break; // the server said no: trying the same again helps nobody
        await new Promise((done) => setTimeout(done, retryMS));
      }
    }
    this.sending = false;
  }
}
