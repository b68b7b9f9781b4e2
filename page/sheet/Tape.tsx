// The tape is called: one hand holds its end. Length, turn, next, on our own large keys; the sheet
// shows at once what would close the outline. Whether it closes well enough the engine says.

import { useSignal } from "@preact/signals";
import { useEffect, useMemo } from "preact/hooks";
import { attempt, tapeDeck } from "../model/commands";
import type { Doc, Id, Json } from "../model/doc";
import { deckOf, freshIds } from "../model/find";
import { boundsOf, distance, type Point } from "../model/geometry";
import type { Act } from "../model/history";
import { at as fieldAt, isList, numberAt, textAt } from "../model/json";
import { called, cornerName, walkOf, walkText } from "../model/walk";
import type { Why } from "../model/why";
import { pathOf, upright } from "./shape";
import { useSpeech, type Saying } from "./speech";
import { closesWith, pressed, sketchOf, startTaping, tapedAgain, type Key, type Sketch, type Taping } from "./taping";
import { fit, onSheet, type View } from "./view";

export interface TapeProps {
  readonly doc: Doc;
  readonly onAct: (act: Act) => void;
  /** The survey is done, or left. */
  readonly onDone: () => void;
  /** A deck that is taped again; left out, a new one. */
  readonly deck?: Id;
  /** The document as it would be, whenever a survey could be judged; null while it could not. */
  readonly onDraft?: (doc: Doc | null) => void;
  /** What the engine says of that survey, shown on the sheet. */
  readonly verdict?: string;
}

export function Tape({ doc, onAct, onDone, deck, onDraft, verdict }: TapeProps) {
  const say = useSpeech(), words = say.words.tape, taping = useSignal<Taping>(useMemo(() => before(doc, deck, say), [])), refused = useSignal<Why | null>(null), text = useSignal<string | null>(null);
  const t = taping.value, sketch = sketchOf(t, say.parse), closed = t.asks === "diagonal";
  const press = (key: Key): void => {
    refused.value = null;
    taping.value = pressed(taping.value, key, say.parse);
  };
  const make = () => attempt(doc, tapeDeck, { walk: t.walk, measured: t.measured, fresh: freshIds, ...(deck === undefined ? {} : { deck }) });
  const end = (): void => {
    const made = make();
    if ("why" in made) return void (refused.value = made.why);
    onAct(made.act);
    onDone();
  };
  useEffect(() => {
    if (!onDraft) return;
    const made = closed ? make() : null;
    onDraft(made && !("why" in made) ? made.doc : null);
  }, [closed, t.walk, t.measured]);
  const takeText = (): void => {
    const r = called(text.value ?? "", say.parse);
    if ("why" in r) return void (refused.value = r.why);
    if (r.walk.length < 3) return void (refused.value = { key: "walk", part: "short", at: r.walk.length, said: String(r.walk.length) });
    refused.value = null;
    text.value = null;
    taping.value = tapedAgain(r.walk, [], say.length);
  };
  return <section class="tape" aria-label={words.title} onKeyDown={(e) => {
    if (e.target instanceof HTMLInputElement || e.altKey || e.ctrlKey || e.metaKey) return;
    const key = keyOf(e.key);
    // Enter on a button presses that button.
    if (!key || (e.key === "Enter" && e.target instanceof HTMLButtonElement && !e.target.classList.contains("digit"))) return;
    e.preventDefault();
    press(key);
  }}>
    <header><h2>{words.title}</h2><span>{words.place(deck === undefined ? doc.decks.length + 1 : doc.decks.findIndex((d) => d.id === deck) + 1, Math.min(t.walk.length + (closed ? 0 : 1), 60))}</span></header>
    <Walked sketch={sketch} taping={t} {...(verdict === undefined ? {} : { verdict })} />
    <div class="tape-says" role="status">{refused.value ? <b class="fault">{say.why(refused.value)}</b> : sentence(say, t, sketch)}</div>
    <div class="tape-figure"><output class={t.typed === "" ? "empty" : ""}>{t.typed === "" ? shownLength(say, t) : t.typed}</output>
      <span class="tape-unit">{t.asks === "other" ? "°" : say.units === "metres" ? "m" : "ft"}</span><Ways taping={t} sketch={sketch} press={press} /></div>
    {text.value === null ? null : <div class="tape-text"><input type="text" aria-label={words.typed} placeholder={words.typedHint} value={text.value} onInput={(e) => void (text.value = e.currentTarget.value)}
      onKeyDown={(e) => e.key === "Enter" && takeText()} /><button type="button" onClick={takeText}>{words.use}</button></div>}
    <div class="pad" role="group" aria-label={words.pad}>
      {rows(say, t).map(([label, key, kind, name]) => <button key={label + kind} type="button" class={kind} aria-label={name}
        onClick={() => (key === "done" ? end() : press(key))}>{label}</button>)}
    </div>
    <div class="tape-foot">
      <button type="button" onClick={() => void (text.value = text.value === null ? walkText(t.walk) : null)} aria-expanded={text.value !== null}>{words.typed}</button>
      <button type="button" onClick={onDone}>{words.cancel}</button>
    </div>
  </section>;
}

/** before is where the tape begins: anew, or with what was called of a deck. */
function before(doc: Doc, deck: Id | undefined, say: Saying): Taping {
  const d = deck === undefined ? null : deckOf(doc, deck), walk = d && walkOf(d), measured = fieldAt(d?.fields, ["survey", "measured"]);
  return walk ? tapedAgain(walk, isList(measured) ? measured : [], say.length) : startTaping;
}

/** keyOf a keyboard for the pad. */
function keyOf(key: string): Key | null {
  if (/^[0-9]$/.test(key) || key === "'" || key === '"' || key === "/") return { digit: key };
  const keys: { readonly [key: string]: Key } = { ".": { digit: "." }, ",": { digit: "." }, Backspace: "erase", ArrowLeft: "left", l: "left", ArrowRight: "right", r: "right", Enter: "next", o: "other", "?": "unreached" };
  return keys[key] ?? null;
}

type Padded = readonly [label: string, key: Key | "done", kind: string, name?: string];

/** rows of the pad, four by four: digits on the left, acts on the right, the act that goes on below. */
function rows(say: Saying, t: Taping): readonly Padded[] {
  const w = say.words.tape, d = (n: string): Padded => [n, { digit: n }, "digit"], length = say.parse(t.typed);
  const acts: readonly Padded[] = t.asks === "diagonal"
    ? [[`${w.from} ${cornerName(t.from)}`, "from", "turn"], [`${w.to} ${cornerName(t.to)}`, "to", "turn"], t.typed === "" ? ["", "erase", "turn empty", w.eraseLabel] : [w.next, "next", "turn"], [w.done, "done", "go"]]
    : t.asks === "length" ? [[w.left, "left", "turn"], [w.right, "right", "turn"], [w.other, "other", "turn"], [length !== null && closesWith(t, length) ? w.close : w.next, "next", "go"]]
      : t.asks === "other" ? [[w.leftBy(t.typed || "45"), "left", "turn"], [w.rightBy(t.typed || "45"), "right", "turn"], [w.arc, "arc", "turn"], [w.free, "free", "turn"]]
        : [[w.left, "left", "turn"], [w.right, "right", "turn"], ["", "erase", "turn empty", w.eraseLabel], [w.next, "next", "go"]];
  return [d("7"), d("8"), d("9"), acts[0]!, d("4"), d("5"), d("6"), acts[1]!, d("1"), d("2"), d("3"), acts[2]!,
    say.units === "feet" ? d("'") : [w.point, { digit: "." }, "digit"], d("0"), [w.erase, "erase", "digit", w.eraseLabel], acts[3]!];
}

function shownLength(say: Saying, t: Taping): string {
  return t.asks === "other" ? "45" : t.length !== null && t.asks !== "rise" ? say.length(t.length) : "0.00";
}

/** Ways are the small buttons beside the figure: a side not reached, and what would close. */
function Ways({ taping: t, sketch, press }: { readonly taping: Taping; readonly sketch: Sketch; readonly press: (k: Key) => void }) {
  const say = useSpeech(), w = say.words.tape;
  if (t.asks !== "length" || t.walk.length === 0 || sketch.pending) return null;
  return <span class="tape-ways"><button type="button" onClick={() => press("unreached")}>{w.notReached}</button>
    {t.walk.length >= 2 && <button type="button" onClick={() => press("closing")}>{w.closing}</button>}</span>;
}

function sentence(say: Saying, t: Taping, s: Sketch): string {
  const w = say.words.tape;
  if (t.asks === "diagonal") return w.diagonals;
  if (t.asks === "rise") return w.arcHow;
  if (t.walk.length === 0) return w.first;
  if (s.pending && s.closing && s.closing.gap <= 0.15) return w.closesNow;
  return s.closing ? w.wouldClose(closingText(say, s)) : w.more;
}

function closingText(say: Saying, s: Sketch): string {
  const c = s.closing!;
  return c.two ? `${say.length(c.two.first)}, ${say.words.tape[c.two.hand]}, ${say.length(c.two.second)}` : say.withUnit(c.one.length);
}

/** Walked is the outline so far. */
function Walked({ sketch: s, taping: t, verdict }: { readonly sketch: Sketch; readonly taping: Taping; readonly verdict?: string }) {
  const say = useSpeech(), w = say.words.tape, size = { x: 390, y: 330 }, first = s.corners[0]!, last = s.corners.at(-1)!, between = s.closing?.two?.between;
  const view = useMemo(() => {
    const { low, high } = boundsOf(between ? [...s.corners, between] : s.corners);
    // A sheet that does not shrink with the first side: four metres at least.
    return fit({ low, high: { x: Math.max(high.x, low.x + 4), y: Math.max(high.y, low.y + 3) } }, size.x, size.y, 48);
  }, [s.corners, between]);
  const sides = s.corners.slice(1).map((q, i) => [s.corners[i]!, q] as const), closed = t.asks === "diagonal";
  return <svg class="tape-svg" viewBox={`0 0 ${size.x} ${size.y}`} role="img" aria-label={w.soFar(t.walk.length)}>
    <path class="draft-line" d={pathOf(view, s.pending ? s.corners.slice(0, -1) : s.corners, false)} />
    {s.pending && <path class="draft-rubber" d={pathOf(view, s.corners.slice(-2), false)} />}
    {s.closing && <path class="draft-close" d={pathOf(view, between ? [last, between, first] : [last, first], false)} />}
    {closed && s.corners[t.from] && s.corners[t.to] && <path class="tape-diagonal" d={pathOf(view, [s.corners[t.from]!, s.corners[t.to]!], false)} />}
    {t.measured.map((m, i) => <Measured key={`m${i}`} view={view} corners={s.corners} reading={m} />)}
    {sides.map(([a, b], i) => <SideLength key={i} view={view} a={a} b={b} inner={middleOf(s.corners)} live={s.pending && i === sides.length - 1}
      text={(s.walk[i]?.length ?? null) === null ? `(${say.length(distance(a, b))})` : say.length(distance(a, b))} />)}
    {s.closing && !between && <SideLength view={view} a={last} b={first} inner={middleOf(s.corners)} text={say.length(s.closing.gap)} soft />}
    {s.closing && between && s.closing.two && [[last, between, s.closing.two.first], [between, first, s.closing.two.second]].map(([a, b, m], i) =>
      <SideLength key={`c${i}`} view={view} a={a as Point} b={b as Point} inner={middleOf(s.corners)} text={say.length(m as number)} soft />)}
    {s.corners.slice(0, closed ? t.walk.length : undefined).map((c, i, all) => <g key={i}>
      <circle class={!closed && i === all.length - 1 && i > 0 ? "knob chosen" : "knob"} cx={onSheet(view, c).x} cy={onSheet(view, c).y} r={!closed && i === all.length - 1 && i > 0 ? 7 : 5} />
      {(i === 0 || distance(c, first) > 0.3) && <text class="small" x={onSheet(view, c).x + 9} y={onSheet(view, c).y - 9}>{cornerName(i)}</text>}</g>)}
    {verdict !== undefined && <text class="tape-verdict" x={size.x / 2} y={size.y - 8} text-anchor="middle">{verdict}</text>}
  </svg>;
}

/** Measured is a diagonal that was called, along its line. */
function Measured({ view, corners, reading }: { readonly view: View; readonly corners: readonly Point[]; readonly reading: Json }) {
  const say = useSpeech(), length = numberAt(reading, ["length_m"]) ?? 0, names = corners.map((_, i) => cornerName(i));
  const from = textAt(reading, ["from"]) ?? "", to = textAt(reading, ["to"]) ?? "", a = corners[names.indexOf(from)], b = corners[names.indexOf(to)];
  if (!a || !b) return null;
  const p = onSheet(view, a), q = onSheet(view, b), x = p.x * 0.6 + q.x * 0.4, y = p.y * 0.6 + q.y * 0.4;
  return <g><path class="hair" stroke-dasharray="8 5" d={pathOf(view, [a, b], false)} />
    <text class="edge-name" x={x} y={y - 7} text-anchor="middle" transform={`rotate(${upright({ x: q.x - p.x, y: q.y - p.y })} ${x} ${y})`}>{say.words.tape.checked(from, to, say.length(length))}</text></g>;
}

const middleOf = (ps: readonly Point[]): Point => ({ x: ps.reduce((s, p) => s + p.x, 0) / ps.length, y: ps.reduce((s, p) => s + p.y, 0) / ps.length });

/** SideLength stands on the side of a line that is away from the middle of the roof. */
function SideLength({ view, a, b, inner, text, live, soft }: {
  readonly view: View; readonly a: Point; readonly b: Point; readonly inner: Point; readonly text: string; readonly live?: boolean; readonly soft?: boolean }) {
  const p = onSheet(view, a), q = onSheet(view, b), m = onSheet(view, inner), long = Math.hypot(q.x - p.x, q.y - p.y);
  if (long < 20) return null;
  const mid = { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 }, n = { x: (q.y - p.y) / long, y: -(q.x - p.x) / long };
  const away = n.x * (mid.x - m.x) + n.y * (mid.y - m.y) >= 0 ? 14 : -14, x = mid.x + n.x * away, y = mid.y + n.y * away;
  return <text class={live ? "dimension live" : soft ? "edge-name" : "dimension"} x={x} y={y} text-anchor="middle" dominant-baseline="central"
    transform={`rotate(${upright({ x: q.x - p.x, y: q.y - p.y })} ${x} ${y})`}>{text}</text>;
}
