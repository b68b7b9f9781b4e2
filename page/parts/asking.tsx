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
import { useSpeech, type Saying } from "../sheet/speech";
import { margin as words } from "../words/spoken";

/** Question is what nobody has said: what an edge meets, or which way a deck's water runs. */
export type Question = { readonly asks: "edge"; readonly deck: Deck; readonly at: number } | { readonly asks: "fall"; readonly deck: Deck };

/** questionsOf a document are all that nobody has said, in the order in which they are asked. */
export function questionsOf(doc: Doc): readonly Question[] {
  const edges = doc.decks.flatMap((deck) => deck.corners.map((c, at) => (conditionOf(c.edge) === null ? { asks: "edge" as const, deck, at }
    : null)));
  const dry = doc.decks.filter((d) => {
    const kind = kindOf(d);
    return kind === null || (kind === "one way" && arrowsOf(d).length === 0);
  });
  return [...edges.filter((q) => q !== null), ...dry.map((deck) => ({ asks: "fall" as const, deck }))];
}

/** placeOf a question is what is chosen while it is asked. */
export const placeOf = (q: Question): Id => (q.asks === "edge" ? q.deck.corners[q.at]!.id : choose(q.deck.id, "fall"));

/** headOf a question is the question in words. */
export function headOf(say: Saying, doc: Doc, q: Question): string {
  if (q.asks === "fall") return words.askFall(doc.decks.length > 1 ? deckName(doc, q.deck) : "");
  return words.askEdge(q.at + 1, q.deck.corners.length, say.withUnit(lengthOf(bends(q.deck.corners)[q.at]!)));
}

/**
 * Asking puts the question about what is chosen, else the one that it put last, else the first; nothing once all is said. Whoever answers
 * with keys stays at the question: the focus follows it.
 */
export function Asking({ session }: { session: Session }) {
  const all = questionsOf(session.doc.value), here = useRef<HTMLElement>(null), asked = useRef(false), last = useRef<Id | null>(null);
  const about = (id: Id | null): Question | undefined => all.find((x) => placeOf(x) === id);
  const q = about(session.chosen.value) ?? about(last.current) ?? all[0], place = q ? placeOf(q) : null;
  last.current = place;
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
    {q.asks === "fall" ? <FallQuestion session={session} q={q} /> : <EdgeQuestion session={session} q={q} />}
  </section>;
}

function EdgeQuestion({ session, q }: { session: Session; q: Question & { readonly asks: "edge" } }) {
  const head = headOf(useSpeech(), session.doc.value, q), { deck, at } = q;
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

function FallQuestion({ session, q }: { session: Session; q: Question & { readonly asks: "fall" } }) {
  const say = useSpeech(), head = headOf(say, session.doc.value, q), { deck } = q;
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
