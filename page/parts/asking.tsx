// What a roof that is drawn still needs from a person, one question at a time: what each edge meets,
// then which way the water runs. What is asked about is chosen on the sheet.

import { useEffect, useRef } from "preact/hooks";
import { choose } from "../model/choice";
import { attempt, setEdge, setFall, turnFall } from "../model/commands";
import type { Deck, Doc, Id } from "../model/doc";
import { arrowsOf, innerCorners, kindOf } from "../model/falls";
import { deckName } from "../model/find";
import { bends, distance, dot, lengthOf, outward, type Point } from "../model/geometry";
import type { Session } from "../session/session";
import { Conditions } from "../sheet/EdgeFields";
import { conditionName, conditionOf } from "../sheet/marks";
import { useSpeech } from "../sheet/speech";
import { margin as words } from "../words/margin";

/** Question is the first thing that nobody has said: what an edge meets, or which way a deck's water runs. */
type Question = { readonly asks: "edge"; readonly deck: Deck; readonly at: number } | { readonly asks: "fall"; readonly deck: Deck };

/** questionOf a document; null where all of it is said. */
export function questionOf(doc: Doc): Question | null {
  for (const deck of doc.decks) {
    const at = deck.corners.findIndex((c) => conditionOf(c.edge) === null);
    if (at >= 0) return { asks: "edge", deck, at };
  }
  const dry = doc.decks.find((d) => { const kind = kindOf(d); return kind === null || (kind === "one way" && arrowsOf(d).length === 0); });
  return dry ? { asks: "fall", deck: dry } : null;
}

/** placeOf a question is what is chosen while it is asked. */
const placeOf = (q: Question | null): Id | null => (q === null ? null : q.asks === "edge" ? q.deck.corners[q.at]!.id : choose(q.deck.id,
  "fall"));

/** Asking puts the next question, and nothing once all is said. Whoever answers with keys stays at the question: the focus follows it. */
export function Asking({ session }: { session: Session }) {
  const q = questionOf(session.doc.value), place = placeOf(q), here = useRef<HTMLElement>(null), asked = useRef(false);
  useEffect(() => {
    if (place !== null) session.chosen.value = place;
    else if (asked.current) session.chosen.value = null;
    const free = document.activeElement === document.body || (here.current?.contains(document.activeElement) ?? false);
    if (free && session.history.value.done.length > 0 && (place !== null || asked.current)) {
      (here.current?.querySelector<HTMLElement>("button") ?? document.querySelector<SVGElement>(".sheet-svg"))?.focus({
        preventScroll: true });
    }
    asked.current = place !== null;
  }, [place]);
  if (!q) return null;
  return <section ref={here} aria-label={words.missing} class="asking">
    {q.asks === "fall" ? <FallQuestion session={session} deck={q.deck} /> : <EdgeQuestion session={session} deck={q.deck} at={q.at} />}
  </section>;
}

function EdgeQuestion({ session, deck, at }: { session: Session; deck: Deck; at: number }) {
  const say = useSpeech(), e = bends(deck.corners)[at]!, head = words.askEdge(at + 1, deck.corners.length, say.withUnit(lengthOf(e)));
  return <>
    <h2>{head}</h2>
    <Conditions value={null} label={head} onChoose={(condition) =>
      session.made(attempt(session.doc.value, setEdge, { corner: deck.corners[at]!.id, field: "condition", value: condition }))} />
  </>;
}

/** drains are the conditions over which water leaves a roof. */
const drains: readonly (string | null)[] = ["drip", "box gutter", "step down"];

/** Way is one answer to the question of the fall. */
interface Way {
  readonly text: string;
  readonly towards: Point;
}

function waysOf(deck: Deck, named: (edge: number) => string): Way[] {
  const out: Way[] = [], ring = bends(deck.corners);
  deck.corners.forEach((c, i) => {
    if (!drains.includes(conditionOf(c.edge))) return;
    const towards = outward({ ...ring[i]!, bulge: 0 }, 0.5);
    if (!out.some((w) => distance(w.towards, towards) < 1e-3)) out.push({ text: named(i), towards });
  });
  return out;
}

function FallQuestion({ session, deck }: { session: Session; deck: Deck }) {
  const say = useSpeech(), doc = session.doc.value, head = words.askFall(doc.decks.length > 1 ? deckName(doc, deck) : "");
  const ways = waysOf(deck, (i) => words.toEdge(i + 1, conditionName(say.words, conditionOf(deck.corners[i]!.edge), "name")));
  const folds = ways.length === 2 && Math.abs(dot(ways[0]!.towards, ways[1]!.towards)) < 0.1 && innerCorners(deck).length === 1;
  const fall = (kind: "hip" | "to point"): void => void session.made(attempt(session.doc.value, setFall, { deck: deck.id, kind }));
  const compass: readonly Way[] = [["north", 0, 1], ["east", 1, 0], ["south", 0, -1], ["west", -1, 0]]
    .map(([name, x, y]) => ({ text: say.words.compass[name as "north"], towards: { x: Number(x), y: Number(y) } }));
  return (
    <>
      <h2>{head}</h2>
      <div class="acts">
        {(ways.length > 0 ? ways : compass).map((w) => <button key={w.text} type="button" class="act"
          onClick={() => session.made(attempt(session.doc.value, turnFall, { deck: deck.id, plane: "only", towards: w.towards }))}>{w.text}
            </button>)}
        {folds && <button type="button" class="act" onClick={() => fall("hip")}>{words.toBoth}</button>}
        <button type="button" class="act" onClick={() => fall("to point")}>{words.toOutlet}</button>
      </div>
      <p class="small">{words.fallElse}</p>
    </>
  );
}
