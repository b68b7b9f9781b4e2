// Every command there is, in one place for whoever offers them.

export { allowed, attempt, type Command, type Label, type Made, type Outcome } from "./command";
export { addCorner, bendEdge, moveCorner, moveEdge, removeCorner, setEdge, setLength } from "./outline";
export { addDeck, dropTape, moveDeck, removeDeck, setDeck, setJob, tapeDeck, withOutline } from "./decks";
export { addPiece, movePiece, removePiece, setPiece, sizePiece } from "./pieces";
export { moveFallLine, setExit, setFall, setRatio, turnFall } from "./falls";

import { attempt, type Made } from "./command";
import { moveDeck, removeDeck } from "./decks";
import type { Doc, Id } from "./doc";
import { find } from "./find";
import { plus, type Point } from "./geometry";
import { moveCorner, removeCorner } from "./outline";
import { movePiece, removePiece } from "./pieces";
import type { Refused } from "./why";

/** remove takes away whatever an id names. */
export function remove(doc: Doc, id: Id): Made | Refused {
  const f = find(doc, id);
  if (f?.what === "deck") return attempt(doc, removeDeck, { deck: id });
  if (f?.what === "piece") return attempt(doc, removePiece, { piece: id });
  return attempt(doc, removeCorner, { corner: id });
}

/** nudge moves whatever an id names by metres; join makes a row of key presses one entry. */
export function nudge(doc: Doc, id: Id, by: Point): Made | Refused {
  const f = find(doc, id), join = `nudge ${id}`;
  if (f?.what === "deck") return attempt(doc, moveDeck, { deck: id, by }, join);
  if (f?.what === "piece") return attempt(doc, movePiece, { piece: id, by }, join);
  return attempt(doc, moveCorner, { corner: id, to: f?.what === "corner" ? plus(f.corner, by) : by }, join);
}
