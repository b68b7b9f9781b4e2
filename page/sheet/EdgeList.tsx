// The roof as a list: its decks, their edges, what stands on them and how the water runs, each with
// its fields. It is the way of the keyboard and of the screen reader to every act of the drawing,
// and the row of what is chosen on either is chosen on both.

import { useSignal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { choiceOf } from "../model/choice";
import { addPiece, attempt, type Command, type Made } from "../model/commands";
import type { Deck, Doc, Id } from "../model/doc";
import { drawnArea, middle } from "../model/falls";
import { deckName, freshIds, pieceLists } from "../model/find";
import { bends, lengthOf } from "../model/geometry";
import type { Act } from "../model/history";
import type { Refused, Why } from "../model/why";
import { kindWord, pieceLabel } from "./DeckDrawing";
import { DeckFields, FallFields, fallName, fallRatios } from "./DeckFields";
import { EdgeFields } from "./EdgeFields";
import { conditionName, conditionOf } from "./marks";
import { drops, dropped } from "./mode";
import { PieceFields } from "./PieceFields";
import { rove } from "./roving";
import { SectionPicture } from "./sections";
import { useSpeech } from "./speech";

/** Acting tries a command on the document of the list and hands on what came of it. */
export type Acting = <A>(command: Command<A>, args: A) => void;

export interface EdgeListProps {
  readonly doc: Doc;
  readonly chosen: Id | null;
  readonly onChoose: (chosen: Id | null) => void;
  readonly onAct: (act: Act) => void;
  /** Where the engine's survey puts the corners of a taped deck, to keep when the tape is let go of. */
  readonly shown?: (deck: Id) => readonly { readonly x: number; readonly y: number }[] | undefined;
  /** Calls the tape again for a deck. */
  readonly onTape?: (deck: Id) => void;
}

export function EdgeList(props: EdgeListProps) {
  const { doc } = props, say = useSpeech(), refused = useSignal<Why | null>(null), focus = useSignal("");
  const take = (made: Made | Refused): void => {
    refused.value = "why" in made ? made.why : null;
    if (!("why" in made) && made.act.changes.length > 0) props.onAct(made.act);
  };
  const acting: Acting = (command, args) => take(attempt(doc, command, args));
  const rows = doc.decks.flatMap((d) => [d.id, ...d.corners.map((c) => c.id), ...pieceLists.flatMap((l) => d[l].map((p) => p.id)),
    `${d.id}@fall`]);
  const stop = rows.includes(focus.value) ? focus.value : (rows[0] ?? "");
  const row = { props, stop, onFocus: (id: string) => void (focus.value = id) };
  return <div class="roof-list" role="group" aria-label={say.words.list.group} onKeyDown={(e) => {
    if (e.target instanceof HTMLElement && e.target.classList.contains("row")) rove(e, "button.row", "column");
  }}>
    {doc.decks.length === 0 && <p>{say.words.list.empty}</p>}
    {doc.decks.map((deck) => <DeckPart key={deck.id} {...row} deck={deck} acting={acting} take={take} />)}
    <p class="refusal" role="alert">{refused.value ? say.why(refused.value) : ""}</p>
  </div>;
}

interface Rowed {
  readonly props: EdgeListProps;
  readonly stop: string;
  readonly onFocus: (id: string) => void;
}

/** Row is a line of the list: chosen by it, unfolded while it is. */
function Row({ props, stop, onFocus, id, open, picture, name, figure, children }: Rowed & {
  readonly id: Id; readonly open: boolean; readonly picture?: ComponentChildren; readonly name: ComponentChildren; readonly figure?: string;
    readonly children: ComponentChildren }) {
  return <li class={open ? "open" : ""}>
    <button type="button" class="row" aria-expanded={open} tabIndex={stop === id ? 0 : -1} onFocus={() => onFocus(id)}
      onClick={() => props.onChoose(open ? null : id)}>
      {picture ?? <span />}<span class="row-name">{name}</span><span class="row-figure">{figure}</span>
    </button>
    {open && <div class="fields">{children}</div>}
  </li>;
}

function DeckPart({ deck, acting, take, ...row }: Rowed & { readonly deck: Deck; readonly acting: Acting; readonly take: (m: Made
  | Refused) => void }) {
  const { props } = row, { doc } = props, say = useSpeech(), list = say.words.list, c = choiceOf(props.chosen), ring = bends(deck.corners),
    name = deckName(doc, deck);
  const on = (id: Id): boolean => c?.id === id && (c.part === null || c.part === "corner");
  const kinds: { readonly [kind: string]: string } = say.words.kinds;
  return <section aria-label={list.deck(name)}>
    <ul>
      <Row {...row} id={deck.id} open={on(deck.id) || (c?.id === deck.id && c.part === "exit")} name={<b>{list.deck(name)}</b>}
        figure={say.area(drawnArea(deck))}>
        <DeckFields doc={doc} deck={deck} acting={acting} take={take} {...(props.onTape ? { onTape: props.onTape } : {})} {...(props.shown
          ? { shown: props.shown(deck.id) } : {})} />
      </Row>
    </ul>
    <h3>{list.edges}</h3>
    <ul>{deck.corners.map((x, i) => <Row key={x.id} {...row} id={x.id} open={on(x.id)} picture={<SectionPicture
      condition={conditionOf(x.edge)} />}
      name={<span>{i + 1} <span class={conditionOf(x.edge) === null ? "unsaid" : ""}>{conditionName(say.words, conditionOf(x.edge),
        "along")}</span></span>} figure={say.withUnit(lengthOf(ring[i]!))}>
      <EdgeFields doc={doc} deck={deck} at={i} acting={acting} />
    </Row>)}</ul>
    <h3>{list.pieces}</h3>
    <ul>{pieceLists.flatMap((l) => deck[l].map((p) => <Row key={p.id} {...row} id={p.id} open={on(p.id)} name={pieceLabel(say, l, p)}
      figure="">
      <PieceFields deck={deck} piece={p} list={l} acting={acting} kind={kindWord(say, l, p)} />
    </Row>))}</ul>
    <div class="put" role="group" aria-label={list.pieces} onKeyDown={(e) => rove(e, "button", "row")}>
      {drops.filter((d) => d !== "exit").map((what, i) => <button key={what} type="button" tabIndex={i === 0 ? 0 : -1}
        aria-label={list.put(kinds[what] ?? what)}
        onClick={() => take(put(doc, deck, what, (k) => kinds[k] ?? k))}>+ {kinds[what]}</button>)}
    </div>
    <h3>{list.fall}</h3>
    <ul><FallRow {...row} deck={deck} acting={acting} open={c?.id === deck.id && c.part === "fall"} /></ul>
  </section>;
}

function FallRow({ deck, acting, open, ...row }: Rowed & { readonly deck: Deck; readonly acting: Acting; readonly open: boolean }) {
  const say = useSpeech();
  return <Row {...row} id={`${deck.id}@fall`} open={open} name={fallName(say, deck)} figure={fallRatios(say, deck)}><FallFields deck={deck}
    acting={acting} /></Row>;
}

/** put stands a piece in the middle of a deck, from where the arrows of the keyboard move it. */
function put(doc: Doc, deck: Deck, what: (typeof drops)[number], name: (kind: string) => string): Made | Refused {
  const p = middle(deck.corners), alone = { ...doc, decks: [deck] };
  if (what === "joint") {
    const ys = deck.corners.map((c) => c.y);
    return attempt(doc, addPiece, { deck: deck.id, list: "movement_joints", fields: { line: [[p.x, Math.min(...ys)],
      [p.x, Math.max(...ys)]] }, id: freshIds() });
  }
  const made = dropped(alone, what, [p], name);
  return "why" in made ? made : { act: made.act, doc };
}
