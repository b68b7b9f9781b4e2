// What is open on this page: the document with its history, what the engine says of it, and whether
// it is kept. One way round: an act changes the document, the engine answers, the views draw.

import { computed, signal } from "@preact/signals";
import { apply } from "../model/change";
import { withOutline } from "../model/commands";
import { isTaped } from "../model/outline";
import type { Doc, Id } from "../model/doc";
import { noHistory, record, redo, rejoined, settle, undo, type Act, type History, type Step } from "../model/history";
import { roofText } from "../model/roofjson";
import type { Why } from "../model/why";
import type { Answer, Fault, Ground, Refusal, View } from "../worker/answers";
import { Refused, type Engine } from "../worker/bridge";
import type { Choices, Difference } from "./office";

/** ViewKey names a sheet of the set. */
export const viewKeys = ["survey", "build-up", "set-out", "day", "settle", "order", "papers"] as const;
export type ViewKey = (typeof viewKeys)[number];

/** Kept is how far the last change got. */
export type Kept = { readonly state: "kept"; readonly at: Date } | { readonly state: "waiting" } | { readonly state: "alone" }
  | { readonly state: "not kept"; readonly why: string };

/** Differing is what differs from what somebody else has kept meanwhile; join keeps both as they are chosen. */
export interface Differing {
  readonly differences: readonly Difference[];
  readonly join: (choices: Choices) => Promise<void>;
}

/** emptyDoc is a job without a roof. */
export const emptyDoc = (name: string, date: string): Doc => ({ fields: { name, date }, decks: [] });

/** Session is one job on one page. */
export class Session {
  readonly doc = signal<Doc>(emptyDoc("", ""));
  readonly history = signal<History>(noHistory);
  readonly chosen = signal<Id | null>(null);
  readonly view = signal<ViewKey>("survey");
  /** differing is what stands in the way of keeping; null while nothing does. */
  readonly differing = signal<Differing | null>(null);
  /** refusal is why the last act could not be made. */
  readonly refusal = signal<Why | null>(null);
  /** firm and forecast are the texts of these files, empty for none. */
  readonly firm = signal("");
  readonly forecast = signal("");

  /** answer is of answered; while that is not the document it is as before the last change. */
  readonly answer = signal<Answer | null>(null);
  readonly answered = signal<Doc | null>(null);
  readonly ground = signal<Ground | null>(null);
  readonly grounded = signal<Doc | null>(null);
  /** live is a document under a finger, with what the engine says of it at once; null while nothing is dragged. */
  readonly live = signal<{ readonly doc: Doc; readonly ground: Ground | null } | null>(null);
  private grounding = false;
  readonly fresh = computed(() => this.answered.value === this.doc.value && this.step.value === null);
  /** shown is the document as the sheet draws it: a taped deck where the engine's survey puts its corners. */
  readonly shown = computed(() => {
    const doc = this.doc.value, ground = this.grounded.value === doc ? this.ground.value : null;
    return doc.decks.reduce((d, deck, i) => {
      const at = ground?.decks[i]?.outline;
      return at && isTaped(deck) ? withOutline(d, deck.id, at.map(([x, y]) => ({ x, y }))) : d;
    }, doc);
  });
  /** step is what the engine is at; trouble why it gives no plan. */
  readonly step = signal<string | null>(null);
  readonly trouble = signal<Refusal | null>(null);
  readonly engineMS = signal<number | null>(null);
  readonly broken = signal<string | null>(null);

  /** layer is the drawing that lies on the roof, drawn what it looks like. */
  readonly layer = signal<string | null>(null);
  readonly drawn = signal<View | null>(null);

  readonly kept = signal<Kept>({ state: "waiting" });
  /** keep is called after each change with what was done. */
  keep: (what: string) => void = () => {};

  constructor(private readonly engine: Engine) {
    engine.onReady = (ms) => { this.engineMS.value = ms; };
    engine.onBroken = (why) => { this.broken.value = why; };
  }

  /** open shows a document that was kept. */
  open(doc: Doc, history: History): void {
    this.doc.value = doc;
    this.history.value = history;
    this.chosen.value = null;
    this.refusal.value = null;
    this.ground.value = this.grounded.value = this.answer.value = this.answered.value = this.drawn.value = null;
    this.plan();
  }

  /** act makes an act. */
  act(a: Act): void {
    const r = apply(this.doc.value, a.changes);
    if ("why" in r) {
      this.refusal.value = r.why;
      return;
    }
    this.refusal.value = null;
    this.history.value = record(this.history.value, a, this.chosen.value);
    if (a.chosen !== undefined) this.chosen.value = a.chosen;
    this.doc.value = r.doc;
    this.changed(a.label);
  }

  /** made takes what a command made, or its refusal. */
  made(m: { readonly act: Act } | { readonly why: Why }): boolean {
    if ("why" in m) {
      this.refusal.value = m.why;
      return false;
    }
    this.act(m.act);
    return true;
  }

  settle(): void { this.history.value = settle(this.history.value); }
  /** undo takes the last act back; what was laid aside long ago is fetched first. */
  undo(): void {
    const h = this.history.value, name = h.done.length === 0 ? h.aside?.at(-1) : undefined;
    if (name === undefined) return this.back(undo(h, this.doc.value), "undo");
    this.fetchAside(name).then((text) => {
      const whole = rejoined(h, JSON.parse(text) as unknown);
      if (this.history.value === h && whole) this.back(undo(whole, this.doc.value), "undo");
    }).catch((why: unknown) => { this.kept.value = { state: "not kept", why: why instanceof Error ? why.message : String(why) }; });
  }
  /** canUndo tells whether anything is left to take back. */
  readonly canUndo = computed(() => this.history.value.done.length + (this.history.value.aside?.length ?? 0) > 0);
  /** fetchAside gets what was laid aside of the history by its name. */
  fetchAside: (name: string) => Promise<string> = () => Promise.reject(new Error("nothing was laid aside"));
  redo(): void { this.back(redo(this.history.value, this.doc.value), "redo"); }

  private back(step: Step | { readonly why: Why } | null, what: string): void {
    if (!step) return;
    if ("why" in step) {
      this.refusal.value = step.why;
      return;
    }
    this.refusal.value = null;
    this.history.value = step.history;
    this.doc.value = step.doc;
    this.chosen.value = step.chosen;
    this.changed(`${what} ${step.label}`);
  }

  private changed(what: string): void {
    this.plan();
    this.keep(what);
  }

  /** drag is told the document under a finger; the newest is asked about when the one before is answered. */
  drag(doc: Doc | null): void {
    this.live.value = doc && { doc, ground: this.live.value?.ground ?? null };
    if (!doc || this.grounding) return;
    this.grounding = true;
    this.engine.ask("ground", { name: "roof.yaml", text: roofText(doc) }).then((g) => g, () => null).then((g) => {
      this.grounding = false;
      const now = this.live.value;
      if (!now) return;
      this.live.value = { doc: now.doc, ground: g ?? now.ground };
      if (now.doc !== doc) this.drag(now.doc);
    });
  }

  /**
   * heights of corners, and under a deck's id of its highest point, above the lowest point of their deck, mm, of what is shown: of the roof
   * under a finger as it goes.
   */
  readonly heights = computed((): ReadonlyMap<Id, number> => {
    const live = this.live.value, doc = live?.doc ?? this.doc.value, out = new Map<Id, number>();
    const ground = live ? live.ground : this.grounded.value === doc ? this.ground.value : null;
    doc.decks.forEach((deck, i) => {
      const g = ground?.decks[i];
      if (!g) return;
      out.set(deck.id, g.highest_mm);
      deck.corners.forEach((c, k) => { if (g.corner_height_mm[k] !== undefined) out.set(c.id, g.corner_height_mm[k]!); });
    });
    return out;
  });

  /** plan asks the engine anew; a plan that is under way for an older document ends. */
  plan(): void {
    const doc = this.doc.value;
    if (doc.decks.length === 0) {
      this.answer.value = this.answered.value = this.ground.value = this.grounded.value = this.drawn.value = this.trouble.value = null;
      return;
    }
    const roof = { name: "roof.yaml", text: roofText(doc) };
    const ground = (): void => void this.engine.ask("ground", roof).then((g) => {
      if (this.doc.value !== doc) return;
      this.ground.value = g;
      this.grounded.value = doc;
    }, () => {});
    // While nothing is known yet the plan is what is waited for; after that the figures that follow at once.
    const first = this.answer.value === null && !doc.decks.some(isTaped);
    if (!first) ground();
    this.step.value = "";
    this.engine.ask("plan", { ...roof, firm: this.firm.value, forecast: this.forecast.value, from: "", temp_c: null },
      (step) => { if (this.doc.value === doc) this.step.value = step; }).finally(() => { if (first) ground(); }).then(
      (a) => {
        if (this.doc.value !== doc) return;
        this.answer.value = a;
        this.answered.value = doc;
        this.trouble.value = null;
        this.step.value = null;
        this.draw();
      },
      (why: unknown) => {
        if (this.doc.value !== doc || !(why instanceof Refused) || why.refusal.kind === "stopped") return;
        this.trouble.value = why.refusal;
        this.step.value = null;
      });
  }

  /** draw asks for the drawing of the layer that is shown. */
  draw(): void {
    const a = this.answer.value;
    if (!a) return;
    let id = this.layer.value;
    if (!a.views.some((v) => v.id === id)) id = null;
    id ??= a.views.find((v) => /^(set-out-of-boards|carrier-boards)/.test(v.id))?.id ?? a.views[0]?.id ?? null;
    this.layer.value = id;
    if (!id || (this.view.value !== "set-out" && this.view.value !== "day")) return;
    this.engine.ask("view", { name: id }).then((v) => { if (this.answer.value === a && this.layer.value === v.id) this.drawn.value = v; },
      () => {});
  }

  /** show turns to another sheet of the set. */
  show(view: ViewKey): void {
    this.view.value = view;
    if (view === "day" && this.answer.value) {
      const mat = this.answer.value.views.find((v) => v.id.startsWith("buckets-"));
      if (mat) this.layer.value = mat.id;
    }
    if (view === "set-out" && this.layer.value?.startsWith("buckets-")) this.layer.value = null;
    this.draw();
  }

  /** faults are what is missing or wrong in the roof, where there is no plan. */
  faults(): readonly Fault[] {
    return this.trouble.value?.faults ?? [];
  }

  ask: Engine["ask"] = (kind, question, step) => this.engine.ask(kind, question, step);
}
