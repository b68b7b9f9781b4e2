// From the places that the engine speaks of to the members of the document:
// "decks[main].openings[RL1].kerb_mm" is a path, `deck "main", edge 3 of 4 (wall)` is for people.

import type { Deck, Doc, Id } from "./doc";
import { deckName, pieceNames } from "./find";

/**
 * placeOf is the id of the member that a place of the engine means: of a corner for an edge, else of the deck; null for the job as a whole.
 */
export function placeOf(doc: Doc, place: string): Id | null {
  const path = /^decks\[([^\]]*)\](?:\.(.*))?$/s.exec(place);
  if (path) {
    const deck = keyed(doc.decks, doc.decks.map((d) => deckName(doc, d)), path[1]!);
    return deck && (within(deck, path[2] ?? "") ?? deck.id);
  }
  if (/^deck(\.|$)/.test(place) && doc.decks.length === 1) return within(doc.decks[0]!, place.slice(5)) ?? doc.decks[0]!.id;
  const words = /^deck (?:"([^"]*)"|([^,]*))(?:, (.*))?$/s.exec(place);
  if (!words) return null;
  const name = words[1] ?? words[2] ?? "", deck = doc.decks.find((d) => deckName(doc, d) === name);
  return deck ? (said(deck, words[3] ?? "") ?? deck.id) : null;
}

/** keyed finds a member by what stands in the brackets of a path: its name, or its number from 0. */
function keyed<T>(list: readonly T[], names: readonly string[], key: string): T | null {
  const named = names.indexOf(key);
  if (named >= 0) return list[named]!;
  return /^[0-9]+$/.test(key) ? (list[Number(key)] ?? null) : null;
}

function within(deck: Deck, rest: string): Id | null {
  const m = /^(edges|outline|openings|penetrations|movement_joints)\[([^\]]*)\]/.exec(rest);
  if (!m) return null;
  const key = m[2]!, list = m[1]!;
  if (list === "edges" || list === "outline") return deck.corners[Number(key)]?.id ?? null;
  if (list === "movement_joints") return deck.movement_joints[Number(key)]?.id ?? null;
  const pieces = list as "openings" | "penetrations";
  return keyed(deck[pieces], pieceNames(deck, pieces), key)?.id ?? null;
}

function said(deck: Deck, rest: string): Id | null {
  const numbered = /^(edge|corner|joint|movement joint) ([0-9]+)/.exec(rest);
  if (numbered) {
    const i = Number(numbered[2]) - 1;
    return (numbered[1]!.endsWith("joint") ? deck.movement_joints[i]?.id : deck.corners[i]?.id) ?? null;
  }
  const named = /^(opening|penetration|rooflight|hatch|chimney|void|pipe|flue|outlet|overflow|post) "([^"]*)"/.exec(rest);
  if (!named) return null;
  for (const list of ["openings", "penetrations"] as const) {
    const i = pieceNames(deck, list).indexOf(named[2]!);
    if (i >= 0) return deck[list][i]!.id;
  }
  return null;
}
