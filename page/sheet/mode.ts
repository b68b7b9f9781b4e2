// What a tap on the sheet does.

import type { Json } from "../model/doc";
import { addDeck, addPiece, attempt, setExit, type Made } from "../model/commands";
import type { Doc } from "../model/doc";
import { freshIds, pieceNames } from "../model/find";
import { bends, distance, inside, nearestOn, type Point } from "../model/geometry";
import { openingAt, openingKinds, penetrationAt, penetrationKinds, within, type OpeningKind, type PenetrationKind } from "../model/pieces";
import type { Refused } from "../model/why";

/** Drop is what can be put on a roof. */
export type Drop = OpeningKind | PenetrationKind | "joint" | "exit";

export const drops: readonly Drop[] = ["rooflight", "chimney", "hatch", "pipe", "outlet", "joint", "exit"];

/** Mode: move what is there, draw an outline, drop a piece, or scale the picture under it. */
export type Mode = { readonly does: "edit" } | { readonly does: "draw" } | { readonly does: "drop"; readonly what: Drop }
  | { readonly does: "scale" };

/** taps that a mode waits for before it acts; an outline is closed, not counted. */
export const tapsOf = (m: Mode): number => (m.does === "scale" || (m.does === "drop" && m.what === "joint") ? 2 : 1);

/** dropped is what the taps of a drop make. */
export function dropped(doc: Doc, what: Drop, taps: readonly Point[], name: (kind: string) => string): Made | Refused {
  const p = taps[0] ?? { x: 0, y: 0 }, deck = deckUnder(doc, p);
  if (!deck) return { why: { key: "gone", id: "" } };
  if (what === "exit") return attempt(doc, setExit, { deck: deck.id, at: p });
  if (what === "joint") return attempt(doc, addPiece, { deck: deck.id, list: "movement_joints", fields: { line: taps.map((q): Json => [q.x,
    q.y]) }, id: freshIds() });
  const opening = openingKinds.find((k) => k === what);
  if (opening) {
    return attempt(doc, addPiece, { deck: deck.id, list: "openings", fields: openingAt(opening, named(pieceNames(deck, "openings"),
      name(what)), within(deck, opening, p)), id: freshIds() });
  }
  const kind = penetrationKinds.find((k) => k === what) ?? "pipe";
  return attempt(doc, addPiece, { deck: deck.id, list: "penetrations", fields: penetrationAt(kind, named(pieceNames(deck, "penetrations"),
    name(what)), p), id: freshIds() });
}

/** named numbers a kind's name until nobody bears it. */
function named(names: readonly string[], kind: string): string {
  let n = 1;
  while (names.includes(`${kind} ${n}`)) n++;
  return `${kind} ${n}`;
}

/** deckUnder a point, else the one whose edge is nearest. */
function deckUnder(doc: Doc, p: Point): Doc["decks"][number] | null {
  const on = doc.decks.findLast((d) => inside(bends(d.corners), p));
  if (on) return on;
  const far = (d: Doc["decks"][number]): number => Math.min(...bends(d.corners).map((e) => nearestOn(e, p).off));
  return doc.decks.toSorted((a, b) => far(a) - far(b))[0] ?? null;
}

/** outlined is the deck that the tapped corners make. */
export const outlined = (doc: Doc, corners: readonly Point[]): Made | Refused => attempt(doc, addDeck, { corners, fresh: freshIds });

/**
 * Underlay is a photo or scaled drawing under the sheet: a blob URL, its size in pixels, where its lower left corner lies, m, and metres a
 * pixel.
 */
export interface Underlay {
  readonly url: string;
  readonly width: number;
  readonly height: number;
  readonly at: Point;
  readonly scale: number;
}

/** scaledBy makes two points of the picture so many metres apart; the first stays. */
export function scaledBy(u: Underlay, p: Point, q: Point, metres: number): Underlay {
  const now = distance(p, q);
  if (!(now > 0 && metres > 0)) return u;
  const f = metres / now;
  return { ...u, scale: u.scale * f, at: { x: p.x + (u.at.x - p.x) * f, y: p.y + (u.at.y - p.y) * f } };
}
