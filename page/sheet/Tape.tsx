// The tape is called: one hand holds its end. Length, turn, next, on our own large keys; the sheet
// shows at once what would close the outline. Whether it closes well enough the engine says.

import { useSignal } from "@preact/signals";
import { useEffect, useLayoutEffect, useMemo, useRef } from "preact/hooks";
import { attempt, tapeDeck } from "../model/commands";
import type { Doc, Id } from "../model/doc";
import { deckOf, freshIds } from "../model/find";
import type { Act } from "../model/history";
import { at as fieldAt, isList, numberAt, textAt } from "../model/json";
import { called, cornerName, walkOf, walkText } from "../model/walk";
import type { Why } from "../model/why";
import { useSpeech, type Saying } from "./speech";
import { closesWith, pressed, sketchOf, startTaping, tapedAgain, type Judgement, type Key, type Line, type Sketch,
  type Taping } from "./taping";
import { Walked } from "./TapeSketch";

export interface TapeProps {
  readonly doc: Doc;
  readonly onAct: (act: Act) => void;
  /** The survey is done, or left. */
  readonly onDone: () => void;
  /** A deck that is taped again; left out, a new one. */
  readonly deck?: Id;
  /** The document as it would be, whenever a survey could be judged; null while it could not. */
  readonly onDraft?: (doc: Doc | null) => void;
  /** The survey in its own letters, as it was called, for the engine to judge; null while there is none. */
  readonly onAsk?: (called: { readonly walk: string; readonly lengths: readonly string[] } | null) => void;
  /** What the engine says of that survey. */
  readonly judged?: Judgement | null;
}

export function Tape({ doc, onAct, onDone, deck, onDraft, onAsk, judged = null }: TapeProps) {
  const say = useSpeech(), words = say.words.tape, taping = useSignal<Taping>(useMemo(() => before(doc, deck, say), [])), refused =
    useSignal<Why | null>(null), text = useSignal<string | null>(null);
  const t = taping.value, sketch = sketchOf(t, say.parse), closed = t.asks === "diagonal" || t.asks === "again";
  const press = (key: Key): void => {
    refused.value = null;
    taping.value = pressed(taping.value, key, say.parse);
  };
  const make = () => attempt(doc, tapeDeck, { walk: t.walk, measured: t.measured, fresh: freshIds, ...(deck === undefined ? {}
    : { deck }) });
  const end = (): void => {
    const made = make();
    if ("why" in made) return void (refused.value = made.why);
    onAct(made.act);
    onDone();
  };
  useEffect(() => {
    const made = closed ? make() : null, whole = made && !("why" in made) ? made.doc : null;
    onDraft?.(whole);
    onAsk?.(whole && askOf(t));
  }, [closed, t.walk, t.measured]);
  const next = judged?.next ?? null;
  useEffect(() => {
    if (next) taping.value = pressed(taping.value, { wanted: next }, say.parse);
  }, [next?.from, next?.to]);
  const takeText = (): void => {
    const r = called(text.value ?? "", say.parse);
    if ("why" in r) return void (refused.value = r.why);
    if (r.walk.length < 3) return void (refused.value = { key: "walk", part: "short", at: r.walk.length, said: String(r.walk.length) });
    refused.value = null;
    text.value = null;
    taping.value = tapedAgain(r.walk, [], say.length);
  };
  const whole = useRef<HTMLElement>(null);
  // Keys are for the tape from the moment it is seen: after painting, the first would be lost on a slow machine.
  useLayoutEffect(() => whole.current?.focus({ preventScroll: true }), []);
  return <section ref={whole} tabIndex={-1} class={closed ? "tape closed" : "tape"} aria-label={words.title} onKeyDown={(e) => {
    if (e.target instanceof HTMLInputElement || e.altKey || e.ctrlKey || e.metaKey) return;
    const key = keyOf(e.key, closed);
    // Enter on a button presses that button.
    if (!key || (e.key === "Enter" && e.target instanceof HTMLButtonElement && !e.target.classList.contains("digit"))) return;
    e.preventDefault();
    press(key);
  }}>
    <header><h1>{words.title}</h1><span>{words.place(deck === undefined ? doc.decks.length + 1 : doc.decks.findIndex((d) => d.id === deck)
      + 1, Math.min(t.walk.length + (closed ? 0 : 1), 60))}</span></header>
    <Walked sketch={sketch} taping={t} judged={closed ? judged : null} onCorner={(corner) => press({ corner })} />
    <div class="tape-says" role="status">{refused.value ? <b class="fault">{say.why(refused.value)}</b> : sentence(say, t, sketch)}</div>
    <div class="tape-figure"><output class={t.typed === "" ? "empty" : ""}>{t.typed === "" ? shownLength(say, t) : t.typed}</output>
      <span class="tape-unit">{t.asks === "other" ? "°" : say.units === "metres" ? "m" : "ft"}</span></div>
    <Ways taping={t} sketch={sketch} press={press} />
    {closed && <Readings taping={t} judged={judged} press={press} />}
    {text.value === null ? null : <div class="tape-text"><input type="text" aria-label={words.typed} placeholder={words.typedHint}
      value={text.value} onInput={(e) => void (text.value = e.currentTarget.value)}
      onKeyDown={(e) => e.key === "Enter" && takeText()} /><button type="button" onClick={takeText}>{words.use}</button></div>}
    <div class="pad" role="group" aria-label={words.pad}>
      {rows(say, t).map(([label, key, kind, name]) => <button key={label + kind} type="button" class={kind} aria-label={name}
        onClick={() => (key === "done" ? end() : press(key))}>{label}</button>)}
    </div>
    <div class="tape-foot">
      <button type="button" onClick={() => void (text.value = text.value === null ? walkText(t.walk) : null)} aria-expanded={text.value !==
        null}>{words.typed}</button>
      <button type="button" onClick={onDone}>{words.cancel}</button>
    </div>
  </section>;
}

/** askOf is a survey as the engine is asked of it; null where something but lengths was measured beside the walk. */
function askOf(t: Taping): { readonly walk: string; readonly lengths: readonly string[] } | null {
  const lengths = t.measured.map((m) => {
    const from = textAt(m, ["from"]), to = textAt(m, ["to"]), length = numberAt(m, ["length_m"]);
    return from === undefined || to === undefined || length === undefined ? null : `${from}-${to}=${length}`;
  });
  return lengths.some((l) => l === null) ? null : { walk: walkText(t.walk), lengths: lengths.filter((l) => l !== null) };
}

/** before is where the tape begins: anew, or with what was called of a deck. */
function before(doc: Doc, deck: Id | undefined, say: Saying): Taping {
  const d = deck === undefined ? null : deckOf(doc, deck), walk = d && walkOf(d), measured = fieldAt(d?.fields, ["survey", "measured"]);
  return walk ? tapedAgain(walk, isList(measured) ? measured : [], say.length) : startTaping;
}

/** keyOf a keyboard for the pad. */
function keyOf(key: string, closed: boolean): Key | null {
  if (closed && /^[a-z]$/i.test(key)) return { corner: key.toUpperCase().charCodeAt(0) - 65 };
  if (/^[0-9]$/.test(key) || key === "'" || key === '"' || key === "/") return { digit: key };
  const keys: { readonly [key: string]: Key } = { ".": { digit: "." }, ",": { digit: "." }, Backspace: "erase", ArrowLeft: "left",
    l: "left", ArrowRight: "right", r: "right", Enter: "next", o: "other", "?": "unreached" };
  return keys[key] ?? null;
}

type Padded = readonly [label: string, key: Key | "done", kind: string, name?: string];

/** rows of the pad, four by four: digits on the left, acts on the right, the act that goes on below. */
function rows(say: Saying, t: Taping): readonly Padded[] {
  const w = say.words.tape, d = (n: string): Padded => [n, { digit: n }, "digit"], length = say.parse(t.typed);
  const again: readonly Padded[] = [["", "erase", "turn empty", w.eraseLabel], ["", "erase", "turn empty", w.eraseLabel], [w.keep, "erase",
    "turn"], [w.next, "next", "go"]];
  const acts: readonly Padded[] = t.asks === "again" ? again : t.asks === "diagonal"
    ? [[`${w.from} ${cornerName(t.from)}`, "from", "turn"], [`${w.to} ${cornerName(t.to)}`, "to", "turn"], t.typed === "" ? ["", "erase",
      "turn empty", w.eraseLabel] : [w.next, "next", "turn"], [w.done, "done", "go"]]
    : t.asks === "length" ? [[w.left, "left", "turn"], [w.right, "right", "turn"], [w.other, "other", "turn"],
      [length !== null && closesWith(t, length) ? w.close : w.next, "next", "go"]]
      : t.asks === "other" ? [[w.leftBy(t.typed || "45"), "left", "turn"], [w.rightBy(t.typed || "45"), "right", "turn"], [w.arc, "arc",
        "turn"], [w.free, "free", "turn"]]
        : [[w.left, "left", "turn"], [w.right, "right", "turn"], ["", "erase", "turn empty", w.eraseLabel], [w.next, "next", "go"]];
  return [d("7"), d("8"), d("9"), acts[0]!, d("4"), d("5"), d("6"), acts[1]!, d("1"), d("2"), d("3"), acts[2]!,
    say.units === "feet" ? d("'") : [w.point, { digit: "." }, "digit"], d("0"), [w.erase, "erase", "digit", w.eraseLabel], acts[3]!];
}

function shownLength(say: Saying, t: Taping): string {
  return t.asks === "other" ? "45" : t.length !== null && t.asks !== "rise" ? say.length(t.length) : "0.00";
}

/** Ways are the small buttons under the figure: a side not reached, what would close, and the end of the walk as it was called. */
function Ways({ taping: t, sketch, press }: { readonly taping: Taping; readonly sketch: Sketch; readonly press: (k: Key) => void }) {
  const say = useSpeech(), w = say.words.tape;
  if (t.asks !== "length" || t.walk.length === 0) return null;
  const last = sketch.walk.length >= 3 && (sketch.closing?.gap ?? 0) > 0.15;
  if (sketch.pending && !last) return null;
  return <div class="tape-ways">
    {!sketch.pending && <button type="button" onClick={() => press("unreached")}>{w.notReached}</button>}
    {!sketch.pending && t.walk.length >= 2 && <button type="button" onClick={() => press("closing")}>{w.closing}</button>}
    {last && <button type="button" onClick={() => press("ends")}>{sketch.pending ? w.lastSide : w.thatIsAll}</button>}
  </div>;
}

/** Readings are the diagonals so far, each to be taken away, and what would mend a survey that does not close. */
function Readings({ taping: t, judged, press }: { readonly taping: Taping; readonly judged: Judgement | null; readonly press: (k: Key) =>
  void }) {
  const say = useSpeech(), w = say.words.tape, blunder = judged?.blunder ?? null, first = blunder?.lines[0];
  const mend = blunder && first && blunder.instead !== null && blunder.lines.length === 1 ? { line: first, length: blunder.instead } : null;
  return <>
    {judged && judged.whole !== "" && <p class={judged.closes ? "tape-whole" : "tape-whole stop"} role="status">{judged.whole}</p>}
    <div class="tape-ways">
      {mend && <button type="button" class="act" onClick={() => press({ mend: mend.line, length: mend.length })}>
        {w.mend(mend.line.from, mend.line.to, say.withUnit(mend.length))}</button>}
      {blunder?.lines.slice(0, 3).map((l: Line) => <button key={l.from + l.to} type="button"
        onClick={() => press({ again: l })}>{w.again(l.from, l.to)}</button>)}
      {t.measured.map((m, i) => <button key={i} type="button" class="tape-reading" onClick={() => press({ drop: i })}>
        {w.drop(textAt(m, ["from"]) ?? "", textAt(m, ["to"]) ?? "", say.length(numberAt(m, ["length_m"]) ?? 0))}</button>)}
    </div>
  </>;
}

function sentence(say: Saying, t: Taping, s: Sketch): string {
  const w = say.words.tape;
  if (t.asks === "again") return w.againHow(cornerName(t.from), cornerName(t.to));
  if (t.asks === "diagonal") return t.picked === null ? w.diagonals(cornerName(t.from), cornerName(t.to))
    : w.pickedHow(cornerName(t.picked));
  if (t.asks === "rise") return w.arcHow;
  if (t.walk.length === 0) return w.first;
  if (s.pending && s.closing && s.closing.gap <= 0.15) return w.closesNow;
  return s.closing ? w.wouldClose(closingText(say, s)) : w.more;
}

function closingText(say: Saying, s: Sketch): string {
  const c = s.closing!;
  return c.two ? `${say.length(c.two.first)}, ${say.words.tape[c.two.hand]}, ${say.length(c.two.second)}` : say.withUnit(c.one.length);
}
