// A command is one value: its name in the catalogue of words, its key, and what it does to a
// document. Button, key, list row and drag all run the same one. Asked without being carried out,
// it says whether it could.

import { apply, type Change } from "./change";
import type { Deck, Doc, Id } from "./doc";
import { bends, flawOf } from "./geometry";
import type { Act } from "./history";
import type { Refused, Why } from "./why";

/** Label names an act in the catalogue of words. */
export type Label =
  | "moveCorner" | "addCorner" | "removeCorner" | "moveEdge" | "setLength" | "setEdge" | "bendEdge"
  | "addDeck" | "moveDeck" | "removeDeck" | "setDeck" | "tapeDeck" | "dropTape"
  | "addPiece" | "movePiece" | "sizePiece" | "setPiece" | "removePiece"
  | "setFall" | "turnFall" | "setRatio" | "moveFallLine" | "setExit" | "setJob";

/** Outcome of a command: its changes, and what is chosen after it when that is another member. */
export type Outcome = { readonly changes: readonly Change[]; readonly chosen?: Id | null } | Refused;

/** Command on a document; key is the key that runs it on what is chosen, as KeyboardEvent.key names it. */
export interface Command<A> {
  readonly label: Label;
  readonly key: string | null;
  readonly run: (doc: Doc, args: A) => Outcome;
}

/** Made is an act with the document that it leads to. */
export interface Made {
  readonly act: Act;
  readonly doc: Doc;
}

/** attempt runs a command and holds its outlines against crossing; a join names the field that is being typed in. */
export function attempt<A>(doc: Doc, command: Command<A>, args: A, join?: string): Made | Refused {
  const r = command.run(doc, args);
  if ("why" in r) return r;
  const after = apply(doc, r.changes);
  if ("why" in after) return after;
  const flaw = newFlaw(doc, after.doc);
  if (flaw) return { why: flaw };
  const act: Act = { label: command.label, changes: r.changes, ...(r.chosen === undefined ? {} : { chosen: r.chosen }),
    ...(join === undefined ? {} : { join }) };
  return { act, doc: after.doc };
}

/** allowed says why a command cannot run; null where it can. */
export function allowed<A>(doc: Doc, command: Command<A>, args: A): Why | null {
  const r = attempt(doc, command, args);
  return "why" in r ? r.why : null;
}

/** newFlaw finds an outline that was simple, or was not there, and is not simple now. What was wrong before may be mended in steps. */
function newFlaw(before: Doc, after: Doc): Why | null {
  for (const deck of after.decks) {
    const old = before.decks.find((d) => d.id === deck.id);
    if (old?.corners === deck.corners || deck.fields["survey"] !== undefined) continue;
    const why = whyFlawed(deck);
    if (why && !(old && whyFlawed(old))) return why;
  }
  return null;
}

/** whyFlawed says what is wrong with a deck's outline, null where it is simple and anticlockwise. */
export function whyFlawed(deck: Deck): Why | null {
  const f = flawOf(bends(deck.corners));
  if (!f) return null;
  if (f.flaw === "crosses") return { key: "crosses", first: f.first + 1, second: f.second + 1 };
  return f.flaw === "flat" ? { key: "flat", edge: f.edge + 1 } : { key: "inside out" };
}

/** gone is the refusal of a command whose member is not there. */
export const gone = (id: Id): Refused => ({ why: { key: "gone", id } });
