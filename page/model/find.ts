// Finding members of the document by id, and naming them as the engine does.

import type { Corner, Deck, Doc, Id, Piece } from "./doc";
import { textAt } from "./json";

/** Lists of a deck whose members have ids. */
export const pieceLists = ["openings", "penetrations", "movement_joints"] as const;
export type PieceList = (typeof pieceLists)[number];

/** Found is what bears an id; at is its place in its list, from 0. */
export type Found =
  | { readonly what: "deck"; readonly deck: Deck; readonly at: number }
  | { readonly what: "corner"; readonly deck: Deck; readonly corner: Corner; readonly at: number }
  | { readonly what: "piece"; readonly deck: Deck; readonly list: PieceList; readonly piece: Piece; readonly at: number };

/** find looks an id up, null where nothing bears it. */
export function find(doc: Doc, id: Id): Found | null {
  for (let i = 0; i < doc.decks.length; i++) {
    const deck = doc.decks[i]!;
    if (deck.id === id) return { what: "deck", deck, at: i };
    const at = deck.corners.findIndex((c) => c.id === id);
    if (at >= 0) return { what: "corner", deck, corner: deck.corners[at]!, at };
    for (const list of pieceLists) {
      const k = deck[list].findIndex((p) => p.id === id);
      if (k >= 0) return { what: "piece", deck, list, piece: deck[list][k]!, at: k };
    }
  }
  return null;
}

/** deckOf is the deck that bears an id or has the member that does. */
export function deckOf(doc: Doc, id: Id): Deck | null {
  return find(doc, id)?.deck ?? null;
}

/** deckName is a deck's name as the engine says it: the one given, else main, or deck 2 among several. */
export function deckName(doc: Doc, deck: Deck): string {
  return textAt(deck.fields, ["name"]) || (doc.decks.length === 1 ? "main" : `deck ${doc.decks.indexOf(deck) + 1}`);
}

/** pieceNames are the names of a list's pieces as the engine says them. */
export function pieceNames(deck: Deck, list: "openings" | "penetrations"): string[] {
  const fallback = list === "openings" ? "opening" : "penetration";
  return deck[list].map((p, i) => textAt(p.fields, ["name"]) || `${fallback} ${i + 1}`);
}

/** Fresh makes an id that was never used before. */
export type Fresh = () => Id;

/** freshIds makes ids of sixteen random letters each: twelve bytes, so that two devices never make the same. */
export const freshIds: Fresh = () => {
  const bytes = crypto.getRandomValues(new Uint8Array(12));
  return btoa(String.fromCharCode(...bytes)).replaceAll("+", "-").replaceAll("/", "_");
};
