// Every command there is, in one place for whoever offers them.

export { allowed, attempt, type Command, type Label, type Made, type Outcome } from "./command";
export { addCorner, bendEdge, moveCorner, moveEdge, removeCorner, setEdge, setLength } from "./outline";
export { addDeck, dropTape, moveDeck, removeDeck, setDeck, setJob, tapeDeck, withOutline } from "./decks";
export { addPiece, movePiece, removePiece, repeatPiece, setPiece, sizePiece } from "./pieces";
export { moveFallLine, setExit, setFall, setRatio, turnFall } from "./falls";

import { choiceOf } from "./choice";
import { attempt, gone, type Made } from "./command";
import { moveDeck, removeDeck } from "./decks";
import type { Doc, Id } from "./doc";
import { arrowsOf, setExit, turnFall } from "./falls";
import { find } from "./find";
import { bends, dot, outward, plus, pointOf, turned, type Point } from "./geometry";
import { moveCorner, moveEdge, removeCorner } from "./outline";
import { movePiece, removePiece } from "./pieces";
import type { Refused } from "./why";

/** remove takes away whatever is chosen; of an edge, the corner that it leaves. */
export function remove(doc: Doc, chosen: Id): Made | Refused {
  const c = choiceOf(chosen), f = c && find(doc, c.id);
  if (!c || !f || c.part === "fall") return gone(chosen);
  if (c.part === "exit") return attempt(doc, setExit, { deck: c.id, at: null });
  if (f.what === "deck") return attempt(doc, removeDeck, { deck: c.id });
  return f.what === "piece" ? attempt(doc, removePiece, { piece: c.id }) : attempt(doc, removeCorner, { corner: c.id });
}

/** turnStep: a nudge of 50 mm turns the arrow of a fall by five degrees. */
const turnStep = -100;

/** nudge moves whatever is chosen by metres, an edge square to itself, a fall's arrow round; join makes a row of key presses one entry. */
export function nudge(doc: Doc, chosen: Id, by: Point): Made | Refused {
  const c = choiceOf(chosen), f = c && find(doc, c.id), join = `nudge ${chosen}`;
  if (!c || !f) return gone(chosen);
  if (f.what === "piece") return attempt(doc, movePiece, { piece: c.id, by }, join);
  if (f.what === "corner") {
    if (c.part === "corner") return attempt(doc, moveCorner, { corner: c.id, to: plus(f.corner, by) }, join);
    return attempt(doc, moveEdge, { corner: c.id, by: dot(by, outward({ ...bends(f.deck.corners)[f.at]!, bulge: 0 }, 0.5)) }, join);
  }
  if (c.part === "exit") return attempt(doc, setExit, { deck: c.id, at: plus(pointOf(f.deck.fields["exit"]) ?? { x: 0, y: 0 }, by) }, join);
  const arrow = arrowsOf(f.deck)[0];
  if (c.part === "fall" && arrow) return attempt(doc, turnFall, { deck: c.id, plane: arrow.plane, towards: turned(arrow.towards,
    (by.x - by.y) * turnStep) }, join);
  return c.part === null ? attempt(doc, moveDeck, { deck: c.id, by }, join) : gone(chosen);
}
